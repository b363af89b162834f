#include "engine/book/catalogue_codec.h"

#include "engine/book/spellings.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace engine {
namespace {

using nlohmann::json;

std::int64_t scaled(double value, double scale)
{
    return std::llround(value * scale);
}

std::int64_t dum(Millimetres length)
{
    return scaled(length.value, 1e4);
}

json limits(const LengthLimits& limits)
{
    return json::array({dum(limits.low), dum(limits.high)});
}

Draft draft(const char* kind, const std::string& actor, json body)
{
    return {actor, kind, "", "", "", {}, std::make_shared<const json>(std::move(body))};
}

void add_optional(json& body, const UnitSheet& unit)
{
    if (unit.clearance_before) body["clearance_before_dum"] = limits(*unit.clearance_before);
    if (unit.clearance_after) body["clearance_after_dum"] = limits(*unit.clearance_after);
    if (unit.shim) body["shim_dum"] = dum(*unit.shim);
    if (unit.float_total) body["float_total_dum"] = dum(*unit.float_total);
    if (unit.cap_torque) body["cap_torque_mnm"] = scaled(unit.cap_torque->value, 1e3);
}

} // namespace

Draft draft_of(const UnitSheet& unit, const std::string& actor)
{
    json body{{"code", unit.code},
              {"revision", unit.revision},
              {"mount", spelling_of(unit.mount)},
              {"split_housing", unit.split_housing},
              {"shaft_dum", dum(unit.shaft)},
              {"bearing_bore_dum", dum(unit.bearing_bore)},
              {"raceway_dum", dum(unit.raceway)},
              {"seat_width_dum", dum(unit.seat_width)},
              {"taper_x1000", scaled(unit.taper, 1e3)},
              {"pitch_nm", scaled(unit.pitch.value, 1e6)},
              {"slots", unit.slots},
              {"tangs", unit.tangs},
              {"turn_min_mdeg", scaled(unit.turn_min.value, 1e3)},
              {"turn_max_mdeg", scaled(unit.turn_max.value, 1e3)},
              {"seat_class", unit.seat_class},
              {"seat_form", unit.seat_form},
              {"clearance_group", unit.clearance_group},
              {"bolts", unit.bolts},
              {"bolt_size", unit.bolt_size},
              {"bolt_class", unit.bolt_class},
              {"bolt_torque_mnm", scaled(unit.bolt_torque.value, 1e3)},
              {"misalignment_max_mdeg", scaled(unit.misalignment_max.value, 1e3)},
              {"grease_mg", scaled(unit.grease.value, 1e3)},
              {"run_in_limit_mc", scaled(unit.run_in_limit.value, 1e3)},
              {"run_in_rise_mk", scaled(unit.run_in_rise.value, 1e3)},
              {"asks", unit.asks}};
    add_optional(body, unit);
    return draft(kind::unit, actor, std::move(body));
}

Draft draft_of(const Person& person, const std::string& actor)
{
    json body{{"badge", person.badge}, {"role", spelling_of(person.role)}};
    if (!person.pin_check.empty()) body["pin_check"] = person.pin_check;
    return draft(kind::person, actor, std::move(body));
}

Draft draft_of(const Instrument& instrument, const std::string& actor)
{
    json body{{"tag", instrument.tag},
              {"tool", spelling_of(instrument.tool)},
              {"unit", spelling_of(instrument.unit)},
              {"low_e6", scaled(instrument.low, 1e6)},
              {"high_e6", scaled(instrument.high, 1e6)},
              {"resolution_e6", scaled(instrument.resolution, 1e6)},
              {"error_limit_e6", scaled(instrument.error_limit, 1e6)},
              {"calibration_due", instrument.calibration_due}};
    if (!instrument.retired.empty()) body["retired"] = instrument.retired;
    return draft(kind::instrument, actor, std::move(body));
}

Draft draft_of(const Job& job, const std::string& actor)
{
    json positions = json::array();
    for (const Position& position : job.positions) {
        json one{{"letter", position.letter},
                 {"unit_code", position.unit_code},
                 {"role", spelling_of(position.role)}};
        if (!position.serial.empty()) one["serial"] = position.serial;
        positions.push_back(std::move(one));
    }
    Draft opened = draft(kind::job_open, actor,
                         {{"title", job.title},
                          {"asset", job.asset},
                          {"positions", std::move(positions)},
                          {"old_bearing_out", job.old_bearing_out},
                          {"span_dum", dum(job.span)},
                          {"rise_mk", scaled(job.rise.value, 1e3)},
                          {"alpha_e9", scaled(job.alpha.value, 1e9)},
                          {"speed_mrpm", scaled(job.speed.value, 1e3)},
                          {"run_in_s", scaled(job.run_in.value, 3600.0)},
                          {"due", job.due}});
    opened.job   = job.number;
    return opened;
}

} // namespace engine
