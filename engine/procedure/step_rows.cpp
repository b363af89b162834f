#include "engine/procedure/step_rows.h"

#include "engine/procedure/assess.h"

#include <algorithm>
#include <array>
#include <utility>

namespace engine {
namespace {

std::string in_quotes(const std::string& text)
{
    return "'" + text + "'";
}

template <class T> struct Named {
    std::string_view name;
    T                value;
};
constexpr std::array kKinds{Named<AskKind>{"reading", AskKind::reading},
                            Named<AskKind>{"choice", AskKind::choice},
                            Named<AskKind>{"photo", AskKind::photo}, Named<AskKind>{"code", AskKind::code}};
constexpr std::array kScopes{Named<Scope>{"job", Scope::job}, Named<Scope>{"position", Scope::position}};
constexpr std::array kWheres{Named<Where>{"earlier", Where::earlier}, Named<Where>{"all", Where::all}};
constexpr std::array<std::string_view, 4> kLevels{"DANGER", "WARNING", "CAUTION", "NOTICE"};

template <class Rows> auto value_of(const Rows& rows, std::string_view name)
{
    const auto found = std::ranges::find_if(rows, [&](const auto& row) { return row.name == name; });
    return found == rows.end() ? std::nullopt : std::optional(found->value);
}

/// Names that records hold for ever: small letters, digits and underscores.
void check_name(TableReader& in, std::string_view key, const std::string& name)
{
    const bool good = name.size() <= 24 && std::ranges::all_of(name, [](char c) {
                          return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
                      });
    if (!good)
        in.complain(key,
                    in_quotes(name) + " is no name; use at most 24 small letters, digits and underscores.");
}

std::vector<std::string> conditions_of(TableReader& in)
{
    std::vector<std::string> conditions = in.texts("when");
    for (const std::string& name : conditions)
        if (!is_condition(name))
            in.complain("when", in_quotes(name) +
                                    " is not a condition; use those of plan.h, such as pair, expansion, "
                                    "not.bolted_hard or asks.clearance_after.");
    return conditions;
}

void read_value(TableReader& in, Ask& ask)
{
    ask.slots = in.texts("slots");
    if (ask.slots.empty()) ask.slots = {""};
    auto sorted = ask.slots;
    std::ranges::sort(sorted);
    if (const auto twice = std::ranges::adjacent_find(sorted); twice != sorted.end())
        in.complain("slots", in_quotes(*twice) + " is there twice; give each value its own slot.");
    for (const std::string& symbol : in.texts("units")) {
        if (const auto unit = unit_from_symbol(symbol))
            ask.units.push_back(*unit);
        else
            in.complain("units", unit.error().message);
    }
    if (ask.units.empty())
        in.complain("units", "a reading needs at least one unit, such as [\"mm\", \"in\"].");
    for (const UnitOf unit : ask.units)
        if (si_unit(unit) != si_unit(ask.units.front()))
            in.complain("units", "the units measure different things; offer units of one kind.");
    ask.limits = in.text("limits");
    if (!ask.limits.empty() && !is_limit_rule(ask.limits))
        in.complain("limits", in_quotes(ask.limits) +
                                  " is not a limit rule; use one of assess.h, such as seat or turn.");
    if (const std::string name = in.text("tool"); !name.empty()) {
        if (const auto tool = tool_from(name))
            ask.tool = *tool;
        else
            in.complain("tool", tool.error().message);
    }
}

void read_options(TableReader& in, Ask& ask, const std::string& file, Complaints& complaints)
{
    for (const toml::table* const table : in.tables("options")) {
        TableReader option(*table, file, complaints);
        option.only({"value", "goes_on"});
        Option read{option.wanted_text("value"), option.flag("goes_on", true)};
        check_name(option, "value", read.value);
        if (std::ranges::count(ask.options, read.value, &Option::value) > 0)
            option.complain("value",
                            in_quotes(read.value) + " is offered twice; give each option its own value.");
        ask.options.push_back(std::move(read));
    }
    if (ask.options.empty()) in.complain("options", "a choice needs options, such as [{ value = \"yes\" }].");
}

Ask read_ask(const toml::table& table, const std::string& file, Complaints& complaints)
{
    TableReader in(table, file, complaints);
    Ask         ask;
    const auto  name = in.wanted_text("kind");
    const auto  kind = value_of(kKinds, name);
    if (!kind && !name.empty())
        in.complain("kind", in_quotes(name) + " is not a kind of ask; use reading, choice, photo or code.");
    ask.kind = kind.value_or(AskKind::photo);
    ask.name = in.wanted_text("name");
    check_name(in, "name", ask.name);
    ask.when     = conditions_of(in);
    ask.optional = in.flag("optional");
    if (!kind) return ask;
    if (ask.kind == AskKind::reading) {
        in.only({"kind", "name", "when", "optional", "slots", "units", "limits", "tool"});
        read_value(in, ask);
        return ask;
    }
    ask.slots = {""};
    if (ask.kind == AskKind::choice) {
        in.only({"kind", "name", "when", "optional", "options"});
        read_options(in, ask, file, complaints);
    } else {
        in.only({"kind", "name", "when", "optional"});
    }
    return ask;
}

std::vector<Need> read_needs(TableReader& in)
{
    std::vector<Need> needs;
    for (const std::string& text : in.texts("needs")) {
        const auto colon = text.find(':');
        Need       need{text.substr(0, colon), Where::same};
        if (colon != std::string::npos) {
            const auto where = value_of(kWheres, text.substr(colon + 1));
            if (!where)
                in.complain("needs",
                            in_quotes(text) + " names no place; write step, step:earlier or step:all.");
            need.where = where.value_or(Where::same);
        }
        needs.push_back(std::move(need));
    }
    return needs;
}

std::optional<Caution> read_caution(TableReader& step, const std::string& file, Complaints& complaints)
{
    const toml::table* const table = step.table("caution");
    if (table == nullptr) return std::nullopt;
    TableReader in(*table, file, complaints);
    in.only({"level", "text"});
    Caution caution{in.wanted_text("level"), in.wanted_text("text")};
    if (!caution.level.empty() && std::ranges::find(kLevels, caution.level) == kLevels.end())
        in.complain("level", in_quotes(caution.level) +
                                 " is not a signal word; use DANGER, WARNING, CAUTION or NOTICE.");
    return caution;
}

ReadStep read_step(const toml::table& table, const std::string& file, Complaints& complaints)
{
    TableReader in(table, file, complaints);
    in.only({"key", "scope", "screen", "when", "needs", "ask", "caution", "hold", "attempt", "skippable",
             "rule"});
    ReadStep read;
    Step&    step   = read.step;
    read.file       = file;
    read.line       = table.source().begin.line;
    read.needs_line = in.line("needs");

    step.key = in.wanted_text("key");
    check_name(in, "key", step.key);
    if (const std::string name = in.text("scope"); !name.empty()) {
        const auto scope = value_of(kScopes, name);
        if (!scope) in.complain("scope", in_quotes(name) + " is not a scope; use job or position.");
        step.scope = scope.value_or(Scope::position);
    }
    step.screen = in.text("screen");
    if (step.screen.empty()) step.screen = "step";
    step.when      = conditions_of(in);
    step.needs     = read_needs(in);
    step.caution   = read_caution(in, file, complaints);
    step.hold      = in.flag("hold");
    step.attempt   = in.flag("attempt");
    step.skippable = in.flag("skippable");
    step.rule      = in.wanted_text("rule");
    if (step.attempt && step.scope == Scope::job)
        in.complain("attempt", "a step of the whole job belongs to no nut; leave it out.");
    for (const toml::table* const ask : in.tables("ask")) {
        step.asks.push_back(read_ask(*ask, file, complaints));
        const std::string& name = step.asks.back().name;
        if (std::ranges::count(step.asks, name, &Ask::name) > 1)
            TableReader(*ask, file, complaints)
                .complain("name", in_quotes(name) + " is asked twice in step " + step.key +
                                      "; give each ask its own name.");
    }
    return read;
}

} // namespace

void read_rows(const std::filesystem::path& file, std::vector<ReadStep>& rows, std::string& version,
               Complaints& complaints)
{
    const std::string name = file.filename().string();
    try {
        const toml::table table = toml::parse_file(file.string());
        TableReader       in(table, name, complaints);
        in.only({"version", "step"});
        if (in.has("version")) {
            if (!version.empty()) in.complain("version", "is stated in another file too; state it once.");
            version = in.wanted_text("version");
        }
        for (const toml::table* const step : in.tables("step"))
            rows.push_back(read_step(*step, name, complaints));
    } catch (const toml::parse_error& error) {
        complaints.add(name, error.source().begin.line, std::string(error.description()) + ".");
    }
}

} // namespace engine
