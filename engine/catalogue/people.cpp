#include "engine/catalogue/people.h"

#include <array>
#include <utility>

namespace engine {
namespace {

using namespace std::string_view_literals;

constexpr std::array kRoles{
    std::pair{Role::fitter, "fitter"sv},
    std::pair{Role::supervisor, "supervisor"sv},
    std::pair{Role::auditor, "auditor"sv},
    std::pair{Role::planner, "planner"sv},
};

constexpr std::array kTools{
    std::pair{Tool::micrometer, "micrometer"sv},
    std::pair{Tool::feeler, "feeler"sv},
    std::pair{Tool::rule, "rule"sv},
    std::pair{Tool::caliper, "caliper"sv},
    std::pair{Tool::torque_wrench, "torque_wrench"sv},
    std::pair{Tool::thermometer, "thermometer"sv},
    std::pair{Tool::dial, "dial"sv},
    std::pair{Tool::level, "level"sv},
    std::pair{Tool::grease_gun, "grease_gun"sv},
    std::pair{Tool::vibration_meter, "vibration_meter"sv},
};

template <class Names> std::string all_of(const Names& names)
{
    std::string list;
    for (const auto& [value, name] : names)
        list += (list.empty() ? "" : ", ") + std::string(name);
    return list;
}

template <class Names, class Value> std::string_view name_in(const Names& names, Value wanted)
{
    for (const auto& [value, name] : names)
        if (value == wanted) return name;
    return "unknown";
}

template <class Value, class Names>
Result<Value> find_in(const Names& names, std::string_view wanted, const char* what)
{
    for (const auto& [value, name] : names)
        if (name == wanted) return value;
    return failure(Fault::bad_input,
                   "'" + std::string(wanted) + "' is no " + what + "; give one of " + all_of(names) + ".");
}

} // namespace

std::string_view name_of(Role role)
{
    return name_in(kRoles, role);
}

std::string_view name_of(Tool tool)
{
    return name_in(kTools, tool);
}

Result<Role> role_from(std::string_view name)
{
    return find_in<Role>(kRoles, name, "role");
}

Result<Tool> tool_from(std::string_view name)
{
    return find_in<Tool>(kTools, name, "kind of instrument");
}

} // namespace engine
