// Room on the disk: the ballast, and photos that may leave.
#include "engine/book/inside.h"

#include <algorithm>
#include <set>
#include <system_error>

namespace engine {
namespace {

constexpr std::int64_t kAway = 1, kAskedFor = 2; // worth of the mark

/// Of the mark that says a photo was let go.
std::string away_mark(const std::string& sha256)
{
    return "away " + sha256;
}

} // namespace

std::filesystem::path Book::Inside::ballast_file() const
{
    return book_parts::beside(file, ".d") / kBallastName;
}

bool Book::Inside::give_up_ballast() const
{
    std::error_code none;
    if (!std::filesystem::exists(ballast_file(), none)) return false;
    return io->remove(ballast_file()).has_value();
}

Space Book::space() const
{
    Space      space;
    const auto free = inside_->io->free_bytes(book_parts::beside(inside_->file, ".d"));
    if (!free) return space;
    space.known      = true;
    space.free_bytes = *free;
    if (*free < kLowSpace) space.level = SpaceLevel::low;
    std::error_code none;
    const bool      used_up =
        inside_->ballast_bytes > 0 && !std::filesystem::exists(inside_->ballast_file(), none);
    if (*free < kCriticalSpace || (used_up && space.level == SpaceLevel::low))
        space.level = SpaceLevel::critical;
    return space;
}

Status Book::tend_space()
{
    Inside& inside = *inside_;
    if (inside.read_only || inside.ballast_bytes == 0) return Unit{};
    const std::filesystem::path file = inside.ballast_file();
    std::error_code             none;
    if (std::filesystem::exists(file, none) && std::filesystem::file_size(file, none) == inside.ballast_bytes)
        return Unit{};
    const auto free = inside.io->free_bytes(file.parent_path());
    // Twice its size must be free: ballast must not be what fills the disk.
    if (!free || *free < 2 * inside.ballast_bytes) return Unit{};
    Status made = inside.io->reserve(file, inside.ballast_bytes);
    if (made || made.error().fault != Fault::no_space) return made;
    return inside.io->remove(file);
}

Book::PhotoPlace Book::photo_place(const std::string& sha256) const
{
    if (inside_->photos.has(sha256)) return PhotoPlace::here;
    switch (inside_->ledger.mark(away_mark(sha256).c_str())) {
    case kAway:
        return PhotoPlace::in_folder;
    case kAskedFor:
        return PhotoPlace::asked_for;
    default:
        return PhotoPlace::missing;
    }
}

/// The entry stands in the folder, and a machine that is neither its writer nor this one has read it there.
bool Book::Inside::stands_elsewhere(std::int64_t number, std::uint64_t seq) const
{
    const bool to_send =
        number == ledger.self() && static_cast<std::uint64_t>(ledger.mark("published")) < seq;
    return !to_send && ledger.witnessed_beside(ledger.dev_of(number), ledger.self()) >= seq;
}

bool Book::Inside::may_leave(const std::string& sha256) const
{
    const auto named = ledger.naming(sha256);
    return !named.empty() && std::all_of(named.begin(), named.end(), [this](const auto& at) {
        return stands_elsewhere(at.number, at.seq);
    });
}

std::vector<std::string> Book::photos_that_may_leave(std::size_t most) const
{
    std::vector<std::string> leave;
    std::set<std::string>    met;
    inside_->ledger.each_photo([&](const std::string& sha256) {
        if (met.insert(sha256).second && inside_->photos.has(sha256) && inside_->may_leave(sha256))
            leave.push_back(sha256);
        return leave.size() < most;
    });
    return leave;
}

Status Book::let_go(const std::string& sha256)
{
    if (inside_->read_only)
        return failure(Fault::locked, "The book was opened for reading only; no photo leaves it.");
    if (!inside_->may_leave(sha256))
        return failure(Fault::refused, "The photo " + sha256.substr(0, 8) +
                                           " stays: no other machine has read it in the shared folder yet.");
    // Noted first: should the power go in between, the file is still here and that is what counts.
    if (Status set = inside_->ledger.set_mark(away_mark(sha256).c_str(), kAway); !set) return set;
    return inside_->photos.remove(sha256);
}

Status Book::want_back(const std::string& sha256)
{
    if (inside_->read_only)
        return failure(Fault::locked, "The book was opened for reading only; nothing is fetched into it.");
    if (photo_place(sha256) != PhotoPlace::in_folder) return Unit{};
    return inside_->ledger.set_mark(away_mark(sha256).c_str(), kAskedFor);
}

std::size_t Book::photos_let_go() const
{
    return inside_->ledger.marked(away_mark(""), kAway);
}

std::vector<std::string> Book::photos_cared_for(const std::string& after, std::size_t most) const
{
    std::vector<std::string> found;
    inside_->ledger.each_photo_behind(after, [&](const std::string& sha256) {
        // One let go whose file is still here was on its way out when the power went: it is cared for.
        if (photo_place(sha256) != PhotoPlace::in_folder) found.push_back(sha256);
        return found.size() < most;
    });
    return found;
}

} // namespace engine
