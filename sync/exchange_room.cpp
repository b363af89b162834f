// Room on this machine's disk: photos that others have may leave it, and none is fetched when it is nearly
// full.
#include "sync/inside.h"

#include <algorithm>
#include <utility>

namespace share {
namespace {

constexpr std::size_t kMostLeaving = 200; ///< photos in one pass

} // namespace

bool Exchange::Inside::has_room_for_photos()
{
    if (book->space().level != engine::SpaceLevel::critical) return true;
    report.findings.push_back(
        {State::waiting, "photo", book->machine_name(), "",
         book->machine_name() + ": its disk is nearly full, so no photo is fetched; make room on it.",
         false});
    return false;
}

/// Each is read in the folder once more before it goes.
std::optional<Work> Exchange::Inside::room_work()
{
    if (!std::exchange(at_piece, true) && book->space().level != engine::SpaceLevel::ok) {
        const auto may = book->photos_that_may_leave(kMostLeaving);
        leaving.assign(may.begin(), may.end());
    }
    while (!leaving.empty()) {
        const std::string sha256 = std::move(leaving.front());
        leaving.pop_front();
        const auto copies = listing->photos.find(sha256);
        if (copies == listing->photos.end()) continue; // sent in this very pass: next time
        Work made  = work(Work::Task::prove_photo, "making room on this tablet");
        made.photo = sha256;
        for (const PhotoName& copy : copies->second)
            made.paths.push_back(path_of(copy));
        return made;
    }
    return std::nullopt;
}

void Exchange::Inside::absorb_proved(const Done& what)
{
    if (what.segment.state != State::ok) return;
    if (engine::Status gone = book->let_go(current.photo); !gone) return stop(gone.error());
    ++report.photos_left;
}

} // namespace share
