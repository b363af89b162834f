#pragma once
// What the plant owns, as read back from the book: the newest sheet of each unit, people, instruments and
// open jobs.
#include "engine/base/result.h"
#include "engine/catalogue/job.h"
#include "engine/catalogue/people.h"
#include "engine/catalogue/unit_sheet.h"

#include <compare>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace engine {

/// When a sheet came into the book, in the order readers show entries: milliseconds, then a count.
struct Moment {
    std::int64_t hlc_ms                                    = 0;
    std::int64_t hlc_c                                     = 0;
    friend auto  operator<=>(const Moment&, const Moment&) = default;
};
struct SheetIssue {
    Moment    since;
    UnitSheet sheet;
};

struct Catalogue {
    std::map<std::string, UnitSheet>  units;       ///< by code, the newest sheet
    std::map<std::string, Person>     people;      ///< by badge
    std::map<std::string, Instrument> instruments; ///< by tag
    std::map<std::string, Job>        jobs;        ///< by number

    std::map<std::string, std::vector<SheetIssue>> issues; ///< by code, every sheet there was, oldest first

    [[nodiscard]] const UnitSheet* unit(const std::string& code) const;
    /// The sheet that was in force then: a job is judged by the sheet it was done with. The oldest one for a
    /// moment before all of them (clocks of two machines).
    [[nodiscard]] const UnitSheet*  unit_at(const std::string& code, const Moment& then) const;
    [[nodiscard]] const Person*     person(const std::string& badge) const;
    [[nodiscard]] const Instrument* instrument(const std::string& tag) const;
    [[nodiscard]] const Job*        job(const std::string& number) const;
};

/// Planners and supervisors say that a job is not gone on with.
[[nodiscard]] bool may_end_jobs(const Catalogue& catalogue, const std::string& badge);

/// Pair kind. Two positions: one fixed pillow block and one expansion; two fixed pillow blocks; two flange
/// units. More than two, or a mix: line. Refuses (Fault::bad_input, naming job and position) an unknown unit
/// code, two expansion units and no fixed one, an expansion role on a unit without float, and no position at
/// all.
[[nodiscard]] Result<Arrangement> arrangement_of(const Job& job, const Catalogue& catalogue);

} // namespace engine
