#pragma once
// The life line of a bearing, a machine or a job: every entry in shown order, each with what it says, and
// whether this part of the record is whole.
#include "engine/procedure/workbench.h"

#include <vector>

namespace engine {

struct TraceKey {
    enum class By { serial, asset, job };
    By          by = By::job;
    std::string value;
};

struct LifeEvent {
    Entry                      entry;
    std::string                what; ///< kind and the names it carries: "reading seat/I.across"
    std::optional<ReadingFact> reading;
    std::string                text; ///< choice, code, reason: the plain value; else empty
    std::optional<Struck>
        struck; ///< of a correction: the value it strikes; of a reading: the newest correction of it
    std::optional<Instrument> tool;                       ///< of a reading: its instrument as it stood then
    bool                      out_of_calibration = false; ///< on the day of the reading
    std::string               photo;                      ///< hash, or empty
    bool                      photo_here = false;
};

struct LifePart { ///< one job of the life line
    Job                      job;
    std::vector<std::string> positions; ///< letters the search meant; empty: all of the job
    std::vector<LifeEvent>   events;
    std::vector<std::string> complaints;
    bool                     closed = false;
};

struct Wholeness {
    std::size_t entries = 0, signatures = 0, photos = 0, photos_missing = 0;
    bool        whole = true;
    std::string first_break; ///< one sentence; empty when whole
};

struct LifeLine {
    std::string found_as; ///< how the record spells what was asked for, when that is not how it was asked
    std::vector<LifePart> parts; ///< oldest job first
    Wholeness             wholeness;
};

/// Names are found in any case, and without blanks about them. Faults: not_found when nothing in the book
/// bears that name.
[[nodiscard]] Result<LifeLine> life_line(const Workbench& bench, const TraceKey& asked);

} // namespace engine
