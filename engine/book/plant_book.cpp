// Which plant a book is of, and what it therefore takes: FORMAT.md section 10.
#include "engine/book/inside.h"

#include <nlohmann/json.hpp>

namespace engine {
namespace {

constexpr std::size_t kIdShown = 8; ///< digits: enough to tell two apart by eye

std::string id_shown(const PlantMark& mark)
{
    return mark.id.substr(0, kIdShown) + (mark.invented ? ", an invented demo plant" : "");
}

} // namespace

/// The first own entry that says it; it is said once.
void Book::Inside::load_mark()
{
    mark = {};
    for (const char* kind : {kind::genesis, kind::plant})
        for (const Entry& entry : ledger.of_kind(kind)) {
            const auto number = ledger.number_of(entry.dev);
            if (!mark.id.empty() || !number || !ledger.is_own(*number)) continue;
            mark = plant_mark_in(entry.body());
        }
}

Status Book::Inside::is_this_plant(const PlantMark& other) const
{
    if (other.id.empty() || other.id == mark.id) return Unit{};
    if (!mark.id.empty())
        return failure(Fault::bad_input, "It belongs to another plant (" + plant + ", id " + id_shown(other) +
                                             "); this book is of " + plant + ", id " + id_shown(mark) + ".");
    if (!other.invented) return Unit{};
    Query      any(ledger.db(), "SELECT place FROM plain LIMIT 1");
    const bool holds_more = any.row();
    if (!any.status()) return any.status();
    if (!holds_more) return Unit{};
    return failure(Fault::bad_input,
                   "It belongs to an invented demo plant (" + plant + ", id " + id_shown(other) +
                       "); this book holds a record of its own, which is not mixed with it.");
}

Status Book::Inside::says_this_plant(const Entry& entry) const
{
    const PlantMark said = plant_mark_in(entry.body());
    if (said.id.empty() || mark.id.empty() || said.id == mark.id) return Unit{};
    return failure(Fault::bad_input, "Entry " + std::to_string(entry.seq) + " of " + entry.dev.substr(0, 16) +
                                         " belongs to another plant (" + entry.plant + ", id " +
                                         id_shown(said) + "), so it is not taken.");
}

const PlantMark& Book::plant_mark() const
{
    return inside_->mark;
}

Status Book::is_this_plant(const PlantMark& mark) const
{
    return inside_->is_this_plant(mark);
}

Status Book::adopt_plant(const PlantMark& mark)
{
    if (Status ours = inside_->is_this_plant(mark); !ours) return ours;
    if (mark.id.empty() || mark.id == inside_->mark.id) return Unit{};
    nlohmann::json body = nlohmann::json::object();
    put_plant_mark(body, mark);
    Draft draft;
    draft.kind = kind::plant;
    draft.body = std::make_shared<const nlohmann::json>(std::move(body));
    if (const auto kept = append(draft); !kept) return kept.failure();
    inside_->mark = mark;
    return Unit{};
}

} // namespace engine
