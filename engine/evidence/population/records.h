#pragma once
// How long bearings ran: the input of the population figures. An event of 1 is a failure, 0 a suspension: the
// bearing was still running, or was taken out for another reason.
#include "engine/base/csv.h"
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace engine {

struct LifeRecord {
    std::string group; ///< what is compared: fitter, tool, lot; may be empty
    Hours       time;  ///< run, 0.001..10 000 000
    bool        failed = false;
    int         count  = 1; ///< bearings with this history, 1..1 000 000
};

/// None when every record is in range, there is at least one and at most 100 000 of them, and the counts add
/// up to at most 10 000 000. Fault::bad_input or Fault::out_of_range otherwise.
[[nodiscard]] std::optional<Failure> bad_records(std::span<const LifeRecord> records);

/// Columns time_h (or time) and event (0 or 1), and, if there, count and group. Fails: Fault::bad_input
/// naming file, line and what would be right.
[[nodiscard]] Result<std::vector<LifeRecord>> life_records_from(const CsvTable& table);

} // namespace engine
