#include "engine/procedure/conditions.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace engine {
namespace {

constexpr std::string_view kNot  = "not.";
constexpr std::string_view kAsks = "asks.";

/// Optional readings a sheet may want (UnitSheet::asks).
constexpr std::array<std::string_view, 4> kOptionalReadings{"clearance_before", "clearance_after",
                                                            "sleeve_travel", "nut_torque"};

struct Place {
    const Plan&      plan;
    const Position&  position;
    const UnitSheet& unit;

    [[nodiscard]] bool first() const
    {
        return !plan.tightening_order.empty() && plan.tightening_order.front() == position.letter;
    }
    [[nodiscard]] bool flange() const { return unit.mount == Mount::flange; }
};

struct Row {
    std::string_view name;
    bool (*holds)(const Place&);
};

constexpr std::array kConditions{
    Row{"old_bearing_out", [](const Place& p) { return p.plan.job.old_bearing_out; }},
    Row{"pair", [](const Place& p) { return p.plan.job.positions.size() > 1; }},
    Row{"single", [](const Place& p) { return p.plan.job.positions.size() == 1; }},
    Row{"fixed", [](const Place& p) { return p.position.role == Hold::fixed; }},
    Row{"expansion", [](const Place& p) { return p.position.role == Hold::expansion; }},
    Row{"pillow_block", [](const Place& p) { return !p.flange(); }},
    Row{"flange", [](const Place& p) { return p.flange(); }},
    Row{"split", [](const Place& p) { return p.unit.split_housing; }},
    Row{"first", [](const Place& p) { return p.first(); }},
    Row{"later", [](const Place& p) { return !p.first(); }},
    Row{"shimmed", [](const Place& p) { return p.flange() && !p.first(); }},
    Row{"bolted_hard", [](const Place& p) { return p.flange() && p.first(); }},
};

const Row* row_of(std::string_view name)
{
    const auto* const found = std::ranges::find(kConditions, name, &Row::name);
    return found == kConditions.end() ? nullptr : found;
}

bool holds_at(std::string_view name, const Place& place)
{
    if (name.starts_with(kNot)) return !holds_at(name.substr(kNot.size()), place);
    if (name.starts_with(kAsks)) return place.unit.asks_for(name.substr(kAsks.size()));
    const Row* const row = row_of(name);
    return row != nullptr && row->holds(place);
}

} // namespace

bool is_condition(const std::string& name)
{
    std::string_view rest = name;
    if (rest.starts_with(kNot)) rest.remove_prefix(kNot.size());
    if (rest.starts_with(kAsks))
        return std::ranges::find(kOptionalReadings, rest.substr(kAsks.size())) != kOptionalReadings.end();
    return row_of(rest) != nullptr;
}

bool holds(const std::string& condition, const Plan& plan, const std::string& letter)
{
    if (!is_condition(condition)) return false;
    return std::ranges::any_of(plan.job.positions, [&](const Position& position) {
        if (!letter.empty() && position.letter != letter) return false;
        const UnitSheet* const unit = plan.unit(position.letter);
        return unit != nullptr && holds_at(condition, Place{plan, position, *unit});
    });
}

bool all_hold(const std::vector<std::string>& conditions, const Plan& plan, const std::string& letter)
{
    return std::ranges::all_of(conditions,
                               [&](const std::string& name) { return holds(name, plan, letter); });
}

} // namespace engine
