#include "engine/book/spellings.h"

#include <array>
#include <utility>

namespace engine {
namespace {

template <class Choice> using Spelling = std::pair<Choice, const char*>;

constexpr std::array kMounts{Spelling<Mount>{Mount::pillow_block, "pillow_block"},
                             Spelling<Mount>{Mount::flange, "flange"}};
constexpr std::array kHolds{Spelling<Hold>{Hold::fixed, "fixed"},
                            Spelling<Hold>{Hold::expansion, "expansion"}};
constexpr std::array kRoles{
    Spelling<Role>{Role::fitter, "fitter"}, Spelling<Role>{Role::supervisor, "supervisor"},
    Spelling<Role>{Role::auditor, "auditor"}, Spelling<Role>{Role::planner, "planner"}};
constexpr std::array kTools{Spelling<Tool>{Tool::micrometer, "micrometer"},
                            Spelling<Tool>{Tool::feeler, "feeler"},
                            Spelling<Tool>{Tool::rule, "rule"},
                            Spelling<Tool>{Tool::caliper, "caliper"},
                            Spelling<Tool>{Tool::torque_wrench, "torque_wrench"},
                            Spelling<Tool>{Tool::thermometer, "thermometer"},
                            Spelling<Tool>{Tool::dial, "dial"},
                            Spelling<Tool>{Tool::level, "level"},
                            Spelling<Tool>{Tool::grease_gun, "grease_gun"},
                            Spelling<Tool>{Tool::vibration_meter, "vibration_meter"}};
constexpr std::array kUnits{Spelling<UnitOf>{UnitOf::mm, "mm"},
                            Spelling<UnitOf>{UnitOf::um, "um"},
                            Spelling<UnitOf>{UnitOf::inch, "inch"},
                            Spelling<UnitOf>{UnitOf::thou, "thou"},
                            Spelling<UnitOf>{UnitOf::deg, "deg"},
                            Spelling<UnitOf>{UnitOf::turn, "turn"},
                            Spelling<UnitOf>{UnitOf::celsius, "celsius"},
                            Spelling<UnitOf>{UnitOf::newton_metre, "newton_metre"},
                            Spelling<UnitOf>{UnitOf::lbf_ft, "lbf_ft"},
                            Spelling<UnitOf>{UnitOf::gram, "gram"},
                            Spelling<UnitOf>{UnitOf::hour, "hour"},
                            Spelling<UnitOf>{UnitOf::minute, "minute"},
                            Spelling<UnitOf>{UnitOf::mm_per_s, "mm_per_s"},
                            Spelling<UnitOf>{UnitOf::percent, "percent"},
                            Spelling<UnitOf>{UnitOf::count, "count"},
                            Spelling<UnitOf>{UnitOf::text, "text"}};

template <class Table, class Choice> std::string spelled(const Table& table, Choice choice)
{
    for (const auto& [known, text] : table)
        if (known == choice) return text;
    return {};
}

template <class Choice, std::size_t n>
std::optional<Choice> choice_of(const std::array<Spelling<Choice>, n>& table, const std::string& text)
{
    for (const auto& [known, spelling] : table)
        if (text == spelling) return known;
    return std::nullopt;
}

} // namespace

std::string spelling_of(Mount mount)
{
    return spelled(kMounts, mount);
}

std::string spelling_of(Hold role)
{
    return spelled(kHolds, role);
}

std::string spelling_of(Role role)
{
    return spelled(kRoles, role);
}

std::string spelling_of(Tool tool)
{
    return spelled(kTools, tool);
}

std::string spelling_of(UnitOf unit)
{
    return spelled(kUnits, unit);
}

std::optional<Mount> mount_spelled(const std::string& text)
{
    return choice_of(kMounts, text);
}

std::optional<Hold> hold_spelled(const std::string& text)
{
    return choice_of(kHolds, text);
}

std::optional<Role> role_spelled(const std::string& text)
{
    return choice_of(kRoles, text);
}

std::optional<Tool> tool_spelled(const std::string& text)
{
    return choice_of(kTools, text);
}

std::optional<UnitOf> unit_spelled(const std::string& text)
{
    return choice_of(kUnits, text);
}

} // namespace engine
