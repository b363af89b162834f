// A reading as it was typed, and the integer it is kept in.
#include "engine/base/numbers.h"

#include <array>
#include <cmath>
#include <limits>

namespace engine {
namespace {

struct UnitRow {
    UnitOf           unit;
    std::string_view symbol;
    std::string_view si_name;
    double           per_unit; ///< SI integers in one unit
};

// Exact by definition: 1 lbf = 4.4482216152605 N, 1 ft = 0.3048 m (NIST SP 811 appendix B).
constexpr double kMilliNewtonMetresPerPoundFoot = 4.4482216152605 * 0.3048 * 1000;

// In the order of the enumeration: looked up by index.
constexpr std::array kUnits{
    UnitRow{UnitOf::mm, "mm", "dum", 1e4},
    UnitRow{UnitOf::um, "\u00b5m", "dum", 10},
    UnitRow{UnitOf::inch, "in", "dum", 254e3},
    UnitRow{UnitOf::thou, "thou", "dum", 254},
    UnitRow{UnitOf::deg, "\u00b0", "mdeg", 1000},
    UnitRow{UnitOf::turn, "turn", "mdeg", 360e3},
    UnitRow{UnitOf::celsius, "\u00b0C", "mC", 1000},
    UnitRow{UnitOf::newton_metre, "N\u00b7m", "mNm", 1000},
    UnitRow{UnitOf::lbf_ft, "lb\u00b7ft", "mNm", kMilliNewtonMetresPerPoundFoot},
    UnitRow{UnitOf::gram, "g", "mg", 1000},
    UnitRow{UnitOf::hour, "h", "s", 3600},
    UnitRow{UnitOf::minute, "min", "s", 60},
    UnitRow{UnitOf::mm_per_s, "mm/s", "um_s", 1000},
    UnitRow{UnitOf::percent, "%", "mpc", 1000},
    UnitRow{UnitOf::count, "count", "1", 1},
    UnitRow{UnitOf::text, "text", "1", 1},
};
static_assert(kUnits.size() == static_cast<std::size_t>(UnitOf::text) + 1);

struct Alias {
    std::string_view symbol;
    UnitOf           unit;
};
constexpr std::array kAliases{
    Alias{"um", UnitOf::um},
    Alias{"\u03bcm", UnitOf::um},
    Alias{"deg", UnitOf::deg},
    Alias{"C", UnitOf::celsius},
    Alias{"degC", UnitOf::celsius},
    Alias{"Nm", UnitOf::newton_metre},
    Alias{"N.m", UnitOf::newton_metre},
    Alias{"inch", UnitOf::inch},
    Alias{"lbf\u00b7ft", UnitOf::lbf_ft},
    Alias{"lbf_ft", UnitOf::lbf_ft},
    Alias{"lbf.ft", UnitOf::lbf_ft},
    Alias{"lb.ft", UnitOf::lbf_ft},
    Alias{"lb ft", UnitOf::lbf_ft},
    Alias{"lbf ft", UnitOf::lbf_ft},
    Alias{"lb-ft", UnitOf::lbf_ft},
    Alias{"lbft", UnitOf::lbf_ft},
    Alias{"lbfft", UnitOf::lbf_ft},
    Alias{"ft\u00b7lb", UnitOf::lbf_ft},
    Alias{"ft lb", UnitOf::lbf_ft},
    Alias{"ft-lb", UnitOf::lbf_ft},
    Alias{"ftlb", UnitOf::lbf_ft},
};

const UnitRow& row_of(UnitOf unit)
{
    const auto index = static_cast<std::size_t>(unit);
    return kUnits.at(index < kUnits.size() ? index : kUnits.size() - 1);
}

constexpr double kLargestSi = 9.0e15; // every integer up to here is exact in a double

Result<double> inches_of(std::string_view text)
{
    const auto length = parse_length(std::string(text) + "in");
    if (!length)
        return failure(Fault::bad_input,
                       "'" + std::string(text) + "' is not a number of inches, such as 1.9375 or 1-15/16.");
    return length->value / kMillimetresPerInch;
}

} // namespace

std::string_view si_unit(UnitOf unit)
{
    return row_of(unit).si_name;
}

std::string_view unit_symbol(UnitOf unit)
{
    return row_of(unit).symbol;
}

Result<UnitOf> unit_from_symbol(std::string_view symbol)
{
    for (const UnitRow& row : kUnits)
        if (row.symbol == symbol) return row.unit;
    for (const Alias& alias : kAliases)
        if (alias.symbol == symbol) return alias.unit;
    return failure(Fault::bad_input,
                   "'" + std::string(symbol.substr(0, 32)) +
                       "' is not a unit; use mm, um, in, thou, deg, turn, C, Nm, lb\u00b7ft, g, h, min, "
                       "mm/s, %, count or text.");
}

Result<Entered> enter(std::string_view text, UnitOf unit)
{
    if (unit != UnitOf::text && two_readings(text))
        if (const auto number = parse_number(text); !number) return number.failure();
    return enter_kept(text, unit);
}

Result<Entered> enter_kept(std::string_view text, UnitOf unit)
{
    Entered reading;
    reading.text = std::string(text);
    reading.unit = unit;
    if (unit == UnitOf::text) {
        if (text.find_first_not_of(" \t\r\n") == std::string_view::npos)
            return failure(Fault::bad_input, "The text is empty; write what was seen.");
        return reading;
    }
    const bool fraction = unit == UnitOf::inch && text.find('/') != std::string_view::npos;
    const auto value    = fraction ? inches_of(text) : parse_kept_number(text);
    if (!value) return value.failure();
    if (unit == UnitOf::count && *value != std::floor(*value))
        return failure(Fault::bad_input, "'" + reading.text + "' is not a whole number; count again.");
    if (unit == UnitOf::celsius && *value < -273.15)
        return failure(Fault::out_of_range, "'" + reading.text + "' is below absolute zero.");
    if (!(std::abs(*value * row_of(unit).per_unit) <= kLargestSi))
        return failure(Fault::out_of_range, "'" + reading.text + "' is too large to be a reading.");
    reading.si = to_si(*value, unit);
    return reading;
}

double from_si(std::int64_t si, UnitOf unit)
{
    return static_cast<double>(si) / row_of(unit).per_unit;
}

std::int64_t to_si(double value, UnitOf unit)
{
    const double scaled = value * row_of(unit).per_unit;
    if (std::isnan(scaled)) return 0;
    if (scaled >= kLargestSi) return static_cast<std::int64_t>(kLargestSi);
    if (scaled <= -kLargestSi) return -static_cast<std::int64_t>(kLargestSi);
    return std::llround(scaled);
}

} // namespace engine
