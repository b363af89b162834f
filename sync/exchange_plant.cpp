// Whose folder it is: asked before anything is taken or written, said by the first machine that knows.
#include "sync/inside.h"
#include "sync/plant_file.h"

#include <utility>

namespace share {

using engine::Fault;

std::optional<Work> Exchange::Inside::plant_work()
{
    if (std::exchange(at_piece, true) || listing->plants.empty()) return std::nullopt;
    if (listing->plants.size() > 1) {
        stop({Fault::bad_input,
              "The shared folder says that it is of two plants; find out which one it is of, and give the "
              "other a folder of its own. Nothing was taken or written.",
              {}});
        return std::nullopt;
    }
    if (listing->plants.front() == book->plant_mark().id) return std::nullopt;
    Work made  = work(Work::Task::fetch_text, "reading whose folder it is");
    made.paths = {plant_path(listing->plants.front())};
    made.most  = kLargestPlantFile;
    return made;
}

void Exchange::Inside::absorb_plant(const Done& what)
{
    const auto plant = folder_plant_in(what.text);
    if (what.segment.state != State::ok || !plant || plant->mark.id != listing->plants.front())
        return stop(
            {Fault::bad_input,
             "The file " + plant_path(listing->plants.front()) +
                 " of the shared folder is damaged or not complete yet; try again, then look at it by "
                 "hand. Nothing was taken or written.",
             {}});
    if (const engine::Status may = may_use(*book, *plant); !may) return stop(may.error());
    if (const engine::Status adopted = book->adopt_plant(plant->mark); !adopted) stop(adopted.error());
}

std::optional<Work> Exchange::Inside::plant_out_work()
{
    if (book->plant_mark().id.empty() || !listing->plants.empty() || std::exchange(plant_sent, true))
        return std::nullopt;
    Work              made = work(Work::Task::send, "saying whose folder it is");
    const std::string text = text_of(plant_of(*book));
    made.bytes.assign(text.begin(), text.end());
    made.paths         = {plant_path(book->plant_mark().id)};
    made.taken_is_fine = true;
    return made;
}

} // namespace share
