#pragma once
// Parse and print numbers with their units. A number without a unit is refused: a bare number is a guess.
// No locale is ever consulted; `,` is taken for `.` as the decimal mark where it cannot stand for thousands.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace engine {

/// A finite decimal number and nothing else ("12", "-0.055", ".5", "1,5", "0,085"). Refuses "", nan, inf,
/// hex, exponents beyond 1e15, trailing text, and a comma that may part thousands or decimals ("3,000").
[[nodiscard]] Result<double> parse_number(std::string_view text);

/// The same for a text the record holds already: every comma was taken for a decimal mark then, and is now.
[[nodiscard]] Result<double> parse_kept_number(std::string_view text);

/// "3,000mm" is 3000mm to one reader and 3.000mm to another: both readings, of a text whose number has one
/// mark, a comma before exactly three digits. None for any other text, and none for "0,085mm": a group of
/// thousands never begins with 0.
[[nodiscard]] std::optional<std::pair<std::string, std::string>> two_readings(std::string_view text);

/// Unit of a reading or an option. The engine keeps one SI-derived integer for each (see `si_unit`).
enum class UnitOf {
    mm,
    um,
    inch,
    thou,
    deg,
    turn,
    celsius,
    newton_metre,
    lbf_ft,
    gram,
    hour,
    minute,
    mm_per_s,
    percent,
    count,
    text
};

/// "49.972mm", "1-15/16in", "15/16in", "2.5thou", "95deg", "0.75turn", "31C", "40N·m"/"40Nm", "18tpi".
/// Each refuses a missing or foreign unit with one sentence naming the text and the units it takes.
[[nodiscard]] Result<Millimetres>
parse_length(std::string_view text); ///< mm, um, in (decimal or fraction), thou
[[nodiscard]] Result<ThreadPitch> parse_pitch(std::string_view text); ///< mm, in, tpi (threads per inch)
[[nodiscard]] Result<Degrees>     parse_angle(std::string_view text); ///< deg, turn
[[nodiscard]] Result<Celsius>     parse_temperature(std::string_view text); ///< C, F
[[nodiscard]] Result<NewtonMetres>
parse_torque(std::string_view text); ///< Nm, lbf·ft, lbf·in; also lb ft, ft-lb, in·lb and their like
[[nodiscard]] Result<Hours> parse_duration(std::string_view text); ///< h, min
[[nodiscard]] Result<Grams> parse_mass(std::string_view text);     ///< g, kg, oz

/// Fixed decimals, '.' mark, no grouping, never "-0.00".
[[nodiscard]] std::string fixed(double value, int decimals);

/// "1-15/16" for 49.2125 mm when it lies within 0.001 in of a fraction with denominator up to
/// `largest_denominator` (power of two), else decimal inches with four places.
[[nodiscard]] std::string inches_as_fraction(Millimetres length, int largest_denominator = 64);

/// A reading as it was entered: text and unit untouched, value in the unit's SI integer.
struct Entered {
    std::string  text; ///< exactly as typed, trailing zeros kept: "49.970", "1-15/16"
    UnitOf       unit = UnitOf::mm;
    std::int64_t si   = 0; ///< see si_unit(unit): um*10, mdeg, mC, mN.m, mg, s, um/s
};

/// Name of the SI integer a unit is kept in: lengths "dum" (0.1 um), angles "mdeg", temperatures "mC",
/// torques "mNm", masses "mg", times "s", velocities "um_s", percent "mpc", counts and texts "1".
[[nodiscard]] std::string_view si_unit(UnitOf unit);
[[nodiscard]] std::string_view
unit_symbol(UnitOf unit); ///< "mm", "in", "thou", "°", "turn", "°C", "N·m", ...
[[nodiscard]] Result<UnitOf> unit_from_symbol(std::string_view symbol);

/// Makes an Entered from keypad text; fractions allowed for inch only. Refuses what parse_number refuses.
[[nodiscard]] Result<Entered> enter(std::string_view text, UnitOf unit);
/// The same for a text the record holds already.
[[nodiscard]] Result<Entered> enter_kept(std::string_view text, UnitOf unit);

/// SI integer back to a number in the given unit (same dimension), and from it.
[[nodiscard]] double       from_si(std::int64_t si, UnitOf unit);
[[nodiscard]] std::int64_t to_si(double value, UnitOf unit);

} // namespace engine
