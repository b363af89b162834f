#pragma once
// Zones of vibration severity, measured on the housing of a running machine: r.m.s. velocity, 10 to 1000 Hz
// (ISO 20816-3 for machines above 15 kW; boundaries in assets/tables/vibration_zones.csv, [CODE-VIB-1]
// [CODE-VIB-2] [CODE-VIB-3]). A boundary belongs to the quieter zone.
//   A: as new.  B: fit for long running.  C: not for long running.  D: does damage.
// Group 1: above 300 kW, or motors of 315 mm shaft height and more. Group 2: 15 to 300 kW, or 160 to 315 mm.
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace engine {

enum class Support { rigid, flexible };
/// "rigid" or "flexible". Fails: Fault::bad_input.
[[nodiscard]] Result<Support> support_from(std::string_view name);

struct VibrationCase {
    MmPerSecond rms;           ///< 0..200
    int         group     = 2; ///< 1 or 2
    Support     support   = Support::rigid;
    double      u_percent = 10; ///< expanded uncertainty (k = 2) of the reading, 0..50
};

struct VibrationFigures {
    char                       zone  = 'A';               ///< of the reading as it stands
    char                       worst = 'A';               ///< of the reading plus its uncertainty
    std::optional<MmPerSecond> next_boundary;             ///< where the next zone begins; none in D
    std::array<MmPerSecond, 3> boundaries;                ///< A|B, B|C, C|D
    Verdict                    verdict = Verdict::inside; ///< against B|C, U considered
    std::string                source;
};

/// Fails: Fault::out_of_range.
[[nodiscard]] Result<VibrationFigures> vibration_zone(const VibrationCase& machine);

} // namespace engine
