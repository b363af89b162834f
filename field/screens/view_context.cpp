#include "field/screens/view_context.h"

#include <array>

namespace field::screens {

using engine::UnitOf;

namespace {

/// "{turn}" and the like, worked out from the unit at the position.
std::string value_of(const std::string& name, const engine::Plan& plan, const engine::StepRef& at)
{
    const engine::UnitSheet* unit = plan.unit(at.pos);
    if (name == "pos") return at.pos;
    if (name == "first") return plan.tightening_order.empty() ? "" : plan.tightening_order.front();
    if (unit == nullptr) return "";
    if (name == "turn_min") return engine::fixed(unit->turn_min.value, 0) + "°";
    if (name == "turn_max") return engine::fixed(unit->turn_max.value, 0) + "°";
    if (name == "turn") return value_of("turn_min", plan, at) + " to " + value_of("turn_max", plan, at);
    if (name == "shim") return unit->shim ? engine::fixed(unit->shim->value, 2) + " mm" : "";
    if (name == "torque") return engine::fixed(unit->bolt_torque.value, 0) + " N·m";
    if (name == "cap_torque")
        return unit->cap_torque ? engine::fixed(unit->cap_torque->value, 0) + " N·m" : "";
    if (name == "grease") return engine::fixed(unit->grease.value, 0) + " g";
    if (name == "bolts") return std::to_string(unit->bolts);
    if (name == "angle_max") return engine::fixed(unit->misalignment_max.value, 0) + "°";
    if (name == "hot") return engine::fixed(unit->run_in_limit.value, 0) + " °C";
    if (name == "unit") return unit->code;
    if (name == "revision") return unit->revision;
    return "";
}

} // namespace

namespace {

/// "1.2 GB", "340 MB"
std::string size_words(std::uint64_t bytes)
{
    constexpr double kMega = 1e6;
    constexpr double kGiga = 1e9;
    const auto       all   = static_cast<double>(bytes);
    return all >= kGiga ? engine::fixed(all / kGiga, 1) + " GB" : engine::fixed(all / kMega, 0) + " MB";
}

} // namespace

bool no_room(const ViewContext& context)
{
    return context.no_memory || (context.space.known && context.space.level == engine::SpaceLevel::critical);
}

std::string little_room(const ViewContext& context)
{
    if (context.no_memory) return context.words->say("space.no_memory");
    if (!context.space.known || context.space.level == engine::SpaceLevel::ok) return "";
    return context.words->say(no_room(context) ? "space.critical" : "space.low",
                              {size_words(context.space.free_bytes)});
}

Heading heading_of(const ViewContext& context, std::string title)
{
    Heading heading{std::move(title), "", engine::hour_minute(context.now.wall_ms, context.now.tz_min)};
    if (context.to_send > 0)
        heading.status = std::to_string(context.to_send) + " " + context.words->say("strip.to_send");
    return heading;
}

std::string place_title(const ViewContext& context, const engine::Plan& plan, const std::string& pos)
{
    const engine::Position* position = plan.position(pos);
    if (position == nullptr) return plan.job.title;
    const engine::UnitSheet* unit   = plan.unit(pos);
    const bool               flange = unit != nullptr && unit->mount == engine::Mount::flange;
    const std::string        role   = flange                                  ? "role.flange"
                                      : position->role == engine::Hold::fixed ? "role.fixed"
                                                                              : "role.expansion";
    return plan.job.title + " · " + pos + " · " + context.words->say(role);
}

int usual_decimals(UnitOf unit)
{
    switch (unit) {
    case UnitOf::mm:
        return 3;
    case UnitOf::inch:
        return 4;
    case UnitOf::thou:
        return 1;
    case UnitOf::turn:
        return 2;
    case UnitOf::celsius:
    case UnitOf::mm_per_s:
        return 1;
    default:
        return 0;
    }
}

std::string number_text(std::int64_t si, UnitOf unit, int decimals)
{
    return engine::fixed(engine::from_si(si, unit), decimals < 0 ? usual_decimals(unit) : decimals);
}

std::string quantity_text(std::int64_t si, UnitOf unit, int decimals)
{
    const std::string symbol(engine::unit_symbol(unit));
    return number_text(si, unit, decimals) + (symbol == "°" ? "" : " ") + symbol;
}

std::optional<engine::StepRef> step_to_go_on(const engine::Progress& progress)
{
    if (progress.last_done && !progress.last_done->pos.empty())
        for (const engine::StepStatus& status : progress.steps)
            if (status.ref.pos == progress.last_done->pos &&
                (status.state == engine::StepState::open || status.state == engine::StepState::held))
                return status.ref;
    return progress.next;
}

std::string step_words(const ViewContext& context, const engine::Plan& plan, const engine::StepRef& at,
                       const std::string& which)
{
    const std::string text = context.words->say("step." + at.key + "." + which);
    std::string       out;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t close = text[i] == '{' ? text.find('}', i) : std::string::npos;
        if (close == std::string::npos) {
            out += text[i++];
        } else {
            out += value_of(text.substr(i + 1, close - i - 1), plan, at);
            i = close + 1;
        }
    }
    return out;
}

} // namespace field::screens
