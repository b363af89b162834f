#include "engine/book/own_lines.h"

#include <algorithm>
#include <charconv>
#include <system_error>

namespace engine {
namespace {

constexpr std::size_t   kNameDigits  = 10;
constexpr std::uint64_t kMostWaiting = 16; ///< lines
constexpr std::size_t   kLongestOwn  = OwnLines::kLinesPerFile * (16 * 1024 + 256);

} // namespace

std::filesystem::path OwnLines::file_of(std::uint64_t first) const
{
    std::string digits = std::to_string(first);
    digits.insert(0, kNameDigits - std::min(kNameDigits, digits.size()), '0');
    return folder_ / (digits + ".jsonl");
}

std::vector<std::uint64_t> OwnLines::firsts() const
{
    std::vector<std::uint64_t> found;
    std::error_code            why;
    for (auto at = std::filesystem::directory_iterator(folder_, why);
         !why && at != std::filesystem::directory_iterator(); at.increment(why)) {
        const std::string name  = at->path().stem().string();
        std::uint64_t     first = 0;
        const auto [end, bad]   = std::from_chars(name.data(), name.data() + name.size(), first);
        const bool whole        = bad == std::errc() && end == name.data() + name.size();
        if (whole && first > 0 && file_of(first) == at->path()) found.push_back(first);
    }
    std::sort(found.begin(), found.end());
    return found;
}

Result<std::string> OwnLines::text_of(std::uint64_t first) const
{
    const auto bytes = io_->read_whole(file_of(first), kLongestOwn);
    if (bytes) return std::string(bytes->begin(), bytes->end());
    if (bytes.error().fault == Fault::not_found) return std::string();
    return bytes.failure();
}

Status OwnLines::complete_file(const Ledger& ledger, std::uint64_t first)
{
    const std::string   wanted = ledger.lines(ledger.self(), first, kLinesPerFile);
    const auto          lines  = static_cast<std::uint64_t>(std::count(wanted.begin(), wanted.end(), '\n'));
    const std::uint64_t last   = ledger.tail_of(ledger.self()).seq;
    // A file is never cut down to what happened to be readable.
    if (last < first || lines != std::min<std::uint64_t>(kLinesPerFile, last - first + 1))
        return failure(Fault::io, "The book could not be read; its lines beside it were left as they are.");
    const auto found = text_of(first);
    if (!found && found.error().fault != Fault::out_of_range) return found.failure();
    const std::string have  = found ? *found : std::string();
    const auto        apart = std::mismatch(wanted.begin(), wanted.end(), have.begin(), have.end());
    size_                   = wanted.size();
    if (found && apart.first == wanted.end() && apart.second == have.end()) return Unit{};
    const auto same = static_cast<std::uint64_t>(apart.first - wanted.begin());
    return io_->write_tail(file_of(first), newest_, same, std::string_view(wanted).substr(same), true);
}

Status OwnLines::complete(const Ledger& ledger)
{
    behind_ = true;
    drop_waiting(); // the ledger has them
    if (Status made = io_->make_folder(folder_); !made) return made;
    const Tail tail = ledger.tail_of(ledger.self());
    if (!ledger.db().first_trouble()) return ledger.db().first_trouble();
    if (tail.seq == 0) return Unit{};
    const std::vector<std::uint64_t> there  = firsts();
    const std::uint64_t              newest = first_of_file(tail.seq);
    for (std::uint64_t first = 1; first <= newest; first += kLinesPerFile) {
        // A full file was synced before the next one was begun: only the last two can be short.
        const bool settled =
            first + kLinesPerFile < newest && std::binary_search(there.begin(), there.end(), first);
        if (settled) continue;
        if (Status done = complete_file(ledger, first); !done) return done;
    }
    behind_ = false;
    return Unit{};
}

void OwnLines::add(const Ledger& ledger, std::span<const Entry> entries)
{
    for (const Entry& entry : entries) {
        if (behind_) {
            const Status caught_up = complete(ledger); // has the new lines too
            (void)caught_up;                           // still behind: the next one tries again
            return;
        }
        if (waiting_.empty()) waiting_from_ = entry.seq;
        waiting_ += entry.line;
        waiting_ += '\n';
        ++waiting_count_;
        const bool last_of_file = entry.seq % kLinesPerFile == 0;
        if (waiting_count_ == kMostWaiting || last_of_file) write_waiting();
    }
}

void OwnLines::write_waiting()
{
    if (waiting_.empty()) return;
    behind_ = !add_to_file(waiting_from_, waiting_);
    drop_waiting();
}

void OwnLines::drop_waiting()
{
    waiting_.clear();
    waiting_count_ = 0;
}

Status OwnLines::add_to_file(std::uint64_t first_seq, std::string_view lines)
{
    const std::uint64_t first  = first_of_file(first_seq);
    const bool          begins = first_seq == first;
    if (begins && first > 1) // the full one is made durable before the next is begun
        if (Status full = io_->write_tail(file_of(first - kLinesPerFile), newest_, size_, "", true); !full)
            return full;
    if (begins) size_ = 0;
    Status kept = io_->write_tail(file_of(first), newest_, size_, lines, begins);
    size_ += lines.size();
    return kept;
}

Result<std::vector<std::string>> OwnLines::read_all() const
{
    std::vector<std::string> lines;
    for (const std::uint64_t first : firsts()) {
        const auto text = text_of(first);
        if (!text) return text.failure();
        std::size_t from = 0;
        for (std::size_t end = text->find('\n'); end != std::string::npos; end = text->find('\n', from)) {
            lines.push_back(text->substr(from, end - from));
            from = end + 1;
        }
    }
    return lines;
}

} // namespace engine
