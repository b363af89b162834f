#pragma once
// Looking things up among the facts of a job, for the files that judge them.
#include "engine/procedure/assess.h"

#include <string_view>

namespace engine {

[[nodiscard]] const StepFacts* facts_at(const FactsByStep& facts, const StepRef& at);

/// The ask of a planned step by its name; null where step or ask is not in the plan.
[[nodiscard]] const Ask* ask_of(const Plan& plan, const StepRef& at, const std::string& ask);

/// The reading at a position (empty letter: of the job) whose ask is judged by this limit rule, whatever the
/// step is called; the first slot given. Null while there is none.
[[nodiscard]] const ReadingFact* reading_under(const Plan& plan, const FactsByStep& facts,
                                               const std::string& pos, std::string_view rule);

/// The same as a quantity; none while there is no reading.
[[nodiscard]] std::optional<Millimetres> length_under(const Plan& plan, const FactsByStep& facts,
                                                      const std::string& pos, std::string_view rule);
[[nodiscard]] std::optional<Degrees>     angle_under(const Plan& plan, const FactsByStep& facts,
                                                     const std::string& pos, std::string_view rule);

/// Temperature of the part among the readings of a step that is not judged: the first reading in degrees
/// Celsius, else the part temperature given with a reading.
[[nodiscard]] std::optional<Celsius> part_temperature(const StepFacts& facts);

/// "sheet SLW-P50-12 rev R3"
[[nodiscard]] std::string sheet_of(const UnitSheet& unit);
/// "seat at A", "align"
[[nodiscard]] std::string place_of(const StepRef& at);

[[nodiscard]] std::int64_t dum(Millimetres length); ///< 0.1 um
[[nodiscard]] std::int64_t dum(Micrometres length); ///< 0.1 um, rounded up: for uncertainties
[[nodiscard]] std::int64_t mdeg(Degrees angle);     ///< thousandths of a degree
[[nodiscard]] Millimetres  millimetres(std::int64_t dum);
[[nodiscard]] Degrees      degrees(std::int64_t mdeg);
[[nodiscard]] Celsius      celsius(std::int64_t mc);

/// A figure with its limits judged by ISO 14253-1.
[[nodiscard]] Figure figure(std::string key, UnitOf unit, std::int64_t si, std::int64_t u_si = 0,
                            std::optional<Limits> limits = {});

} // namespace engine
