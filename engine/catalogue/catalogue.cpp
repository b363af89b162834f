#include "engine/catalogue/catalogue.h"

#include <algorithm>
#include <cstddef>
#include <iterator>

namespace engine {
namespace {

template <class T> const T* find(const std::map<std::string, T>& items, const std::string& key)
{
    const auto found = items.find(key);
    return found == items.end() ? nullptr : &found->second;
}

std::string at(const Job& job, const Position& position)
{
    return "Job " + job.number + ", position " + position.letter + ": ";
}

Status check_position(const Job& job, const Position& position, const Catalogue& catalogue)
{
    const UnitSheet* unit = catalogue.unit(position.unit_code);
    if (unit == nullptr)
        return failure(Fault::bad_input, at(job, position) + "unit '" + position.unit_code +
                                             "' is not in the catalogue; import its sheet first.");
    if (position.role == Hold::expansion && !unit->float_total)
        return failure(Fault::bad_input,
                       at(job, position) + "unit " + unit->code +
                           " has no float, so it cannot be the expansion unit; choose a unit with float or "
                           "make the position fixed.");
    return Unit{};
}

} // namespace

const UnitSheet* Catalogue::unit(const std::string& code) const
{
    return find(units, code);
}

const UnitSheet* Catalogue::unit_at(const std::string& code, const Moment& then) const
{
    const auto* all = find(issues, code);
    if (all == nullptr || all->empty()) return unit(code);
    const auto after = std::ranges::upper_bound(*all, then, {}, &SheetIssue::since);
    return after == all->begin() ? &all->front().sheet : &std::prev(after)->sheet;
}

const Person* Catalogue::person(const std::string& badge) const
{
    return find(people, badge);
}

const Instrument* Catalogue::instrument(const std::string& tag) const
{
    return find(instruments, tag);
}

const Job* Catalogue::job(const std::string& number) const
{
    return find(jobs, number);
}

bool may_end_jobs(const Catalogue& catalogue, const std::string& badge)
{
    const Person* const person = catalogue.person(badge);
    return person != nullptr && (person->role == Role::planner || person->role == Role::supervisor);
}

Result<Arrangement> arrangement_of(const Job& job, const Catalogue& catalogue)
{
    const auto& places = job.positions;
    if (places.empty())
        return failure(Fault::bad_input,
                       "Job " + job.number + " has no position; give at least one unit to mount.");
    for (const Position& place : places)
        if (const Status fits = check_position(job, place, catalogue); !fits) return fits.failure();

    // A lone expansion unit is the exchange of one end of a line whose other end stays in place.
    if (places.size() == 1) return Arrangement::single;
    const auto expansions = std::ranges::count(places, Hold::expansion, &Position::role);
    if (static_cast<std::size_t>(expansions) == places.size())
        return failure(Fault::bad_input, at(job, places.front()) +
                                             "every unit of the line is an expansion unit, so nothing holds "
                                             "the shaft along its axis; make one position fixed.");
    if (places.size() > 2) return Arrangement::line;

    const auto flanges = std::ranges::count_if(places, [&](const Position& place) {
        return catalogue.unit(place.unit_code)->mount == Mount::flange;
    });
    if (flanges == 2) return Arrangement::two_flanges;
    if (flanges == 1) return Arrangement::line;
    return expansions == 1 ? Arrangement::fixed_and_expansion : Arrangement::two_fixed_pillow_blocks;
}

} // namespace engine
