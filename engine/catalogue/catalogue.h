#pragma once
// What the plant owns, as read back from the book: the newest sheet of each unit, people, instruments and
// open jobs.
#include "engine/base/result.h"
#include "engine/catalogue/job.h"
#include "engine/catalogue/people.h"
#include "engine/catalogue/unit_sheet.h"

#include <map>
#include <string>
#include <vector>

namespace engine {

struct Catalogue {
    std::map<std::string, UnitSheet>  units;       ///< by code
    std::map<std::string, Person>     people;      ///< by badge
    std::map<std::string, Instrument> instruments; ///< by tag
    std::map<std::string, Job>        jobs;        ///< by number

    [[nodiscard]] const UnitSheet*  unit(const std::string& code) const;
    [[nodiscard]] const Person*     person(const std::string& badge) const;
    [[nodiscard]] const Instrument* instrument(const std::string& tag) const;
    [[nodiscard]] const Job*        job(const std::string& number) const;
};

/// Pair kind. Two positions: one fixed pillow block and one expansion; two fixed pillow blocks; two flange
/// units. More than two, or a mix: line. Refuses (Fault::bad_input, naming job and position) an unknown unit
/// code, two expansion units and no fixed one, an expansion role on a unit without float, and no position at
/// all.
[[nodiscard]] Result<Arrangement> arrangement_of(const Job& job, const Catalogue& catalogue);

} // namespace engine
