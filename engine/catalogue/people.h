#pragma once
// People by badge number, never by name, and the instruments they read with.
#include "engine/base/numbers.h"

#include <string>
#include <vector>

namespace engine {

enum class Role { fitter, supervisor, auditor, planner };

struct Person {
    std::string badge;
    Role        role = Role::fitter;
    std::string pin_check; ///< Argon2id string of the PIN (crypto_pwhash_str); empty: no PIN set
    friend bool operator==(const Person&, const Person&) = default;
};

enum class Tool {
    micrometer,
    feeler,
    rule,
    caliper,
    torque_wrench,
    thermometer,
    dial,
    level,
    grease_gun,
    vibration_meter
};

struct Instrument {
    std::string tag; ///< plant's tag, "M-07"
    Tool        tool = Tool::micrometer;
    UnitOf      unit = UnitOf::mm; ///< what it reads in
    double      low = 0, high = 0; ///< range, in `unit`
    double      resolution  = 0;   ///< in `unit`
    double      error_limit = 0;   ///< greatest permissible error, in `unit`
    std::string calibration_due;   ///< ISO date "2027-03-31"
    std::string retired;           ///< why nothing is read with it any more; empty: in use
    friend bool operator==(const Instrument&, const Instrument&) = default;
};

[[nodiscard]] std::string_view name_of(Role role); ///< "fitter", ...
[[nodiscard]] std::string_view name_of(Tool tool); ///< "micrometer", "torque_wrench", ...
[[nodiscard]] Result<Role>     role_from(std::string_view name);
[[nodiscard]] Result<Tool>     tool_from(std::string_view name);

} // namespace engine
