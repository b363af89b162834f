#include "field/cli/as_json.h"

#include "engine/base/clock.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace field::cli {

using engine::UnitOf;

namespace {

/// The unit the keys use for the dimension of `unit`.
UnitOf plain_unit(UnitOf unit)
{
    switch (unit) {
    case UnitOf::um:
    case UnitOf::inch:
    case UnitOf::thou:
        return UnitOf::mm;
    case UnitOf::turn:
        return UnitOf::deg;
    case UnitOf::lbf_ft:
        return UnitOf::newton_metre;
    default:
        return unit;
    }
}

/// Decimals that lose nothing of the SI integer.
int decimals_of(UnitOf unit)
{
    switch (plain_unit(unit)) {
    case UnitOf::mm:
        return 4;
    case UnitOf::count:
    case UnitOf::text:
        return 0;
    default:
        return 3;
    }
}

std::string shown(std::int64_t si, UnitOf unit)
{
    std::string text = engine::fixed(key_value(si, unit), decimals_of(unit));
    if (text.find('.') == std::string::npos) return text;
    while (text.back() == '0')
        text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

} // namespace

std::string_view key_unit(UnitOf unit)
{
    switch (plain_unit(unit)) {
    case UnitOf::deg:
        return "deg";
    case UnitOf::celsius:
        return "c";
    case UnitOf::newton_metre:
        return "nm";
    case UnitOf::gram:
        return "g";
    case UnitOf::hour:
    case UnitOf::minute:
        return "s";
    case UnitOf::mm_per_s:
        return "mm_s";
    case UnitOf::percent:
        return "percent";
    case UnitOf::count:
        return "count";
    case UnitOf::text:
        return "text";
    default:
        return "mm";
    }
}

double key_value(std::int64_t si, UnitOf unit)
{
    const UnitOf plain = plain_unit(unit);
    if (plain == UnitOf::hour || plain == UnitOf::minute) return static_cast<double>(si);
    return engine::from_si(si, plain);
}

void put_value(nlohmann::json& object, const engine::Entered& value,
               const std::optional<engine::Limits>& limits, std::int64_t u_si, engine::Verdict verdict)
{
    const std::string ending = "_" + std::string(key_unit(value.unit));
    object["entered"]        = value.text + " " + std::string(engine::unit_symbol(value.unit));
    if (value.unit != UnitOf::text) object["value" + ending] = key_value(value.si, value.unit);
    if (u_si > 0) object["u" + ending] = key_value(u_si, value.unit);
    if (limits) {
        if (limits->low) object["low" + ending] = key_value(*limits->low, value.unit);
        if (limits->high) object["high" + ending] = key_value(*limits->high, value.unit);
        object["limit_source"] = limits->source;
    }
    object["verdict"] = engine::name_of(verdict);
}

void put_signed(nlohmann::json& object, const engine::Signed& by)
{
    if (by.actor.empty()) return;
    object["by"]    = by.actor;
    object["at_ms"] = by.wall_ms;
    object["at"]    = engine::iso_time(by.wall_ms, by.tz_min);
}

std::string value_line(const engine::Entered& value, const std::optional<engine::Limits>& limits,
                       engine::Verdict verdict)
{
    std::string line = value.text + " " + std::string(engine::unit_symbol(value.unit));
    if (limits) {
        line += " [" + (limits->low ? shown(*limits->low, value.unit) : std::string()) + " .. " +
                (limits->high ? shown(*limits->high, value.unit) : std::string()) + "; " + limits->source +
                "]";
    }
    return line + " " + std::string(engine::name_of(verdict));
}

} // namespace field::cli
