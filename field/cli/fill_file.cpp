#include "field/cli/fill_file.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <initializer_list>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;
using FillJson = nlohmann::ordered_json;

engine::Failure bad(const FillItem& item, const std::string& what)
{
    return failure(Fault::bad_input, "Item " + std::to_string(item.number) +
                                         (item.name.empty() ? "" : " (" + item.name + ")") + ": " + what);
}

Status only(const FillItem& item, const FillJson& object, std::initializer_list<std::string_view> known)
{
    for (const auto& [key, value] : object.items()) {
        if (std::find(known.begin(), known.end(), key) != known.end()) continue;
        std::string right;
        for (const auto& name : known)
            right.append(right.empty() ? "" : ", ").append(name);
        std::string sentence("'");
        sentence.append(key).append("' is not known here; use ").append(right).append(".");
        return bad(item, sentence);
    }
    return engine::Unit{};
}

Result<std::string> text_of(const FillItem& item, const FillJson& object, const char* key, bool needed = true)
{
    if (!object.contains(key)) {
        if (!needed) return std::string();
        return bad(item, "'" + std::string(key) + "' is missing.");
    }
    if (!object[key].is_string()) return bad(item, "'" + std::string(key) + "' must be a text in quotes.");
    return object[key].get<std::string>();
}

Result<bool> flag_of(const FillItem& item, const FillJson& object, const char* key, bool otherwise)
{
    if (!object.contains(key)) return otherwise;
    if (!object[key].is_boolean()) return bad(item, "'" + std::string(key) + "' must be true or false.");
    return object[key].get<bool>();
}

Result<const FillJson*> part_of(const FillItem& item, const FillJson& object, const char* key)
{
    if (!object[key].is_object()) return bad(item, "'" + std::string(key) + "' must be an object { }.");
    return &object[key];
}

Result<std::optional<std::int64_t>> temperature_of(const FillItem& item, const FillJson& object)
{
    const auto text = text_of(item, object, "part", false);
    if (!text) return text.failure();
    if (text->empty()) return std::optional<std::int64_t>();
    const auto celsius = engine::parse_temperature(*text);
    if (!celsius) return bad(item, "'part': " + celsius.error().message);
    return std::optional<std::int64_t>(engine::to_si(celsius->value, engine::UnitOf::celsius));
}

/// One reading: "49.970 mm" or {"value": "49.970 mm", "tool": "M-07", "part": "21 C"}.
Result<engine::TakeReading> reading_of(const FillItem& item, const std::string& ask, const std::string& slot,
                                       const FillJson& value)
{
    engine::TakeReading take{item.at, ask, slot, {}, {}, {}, "typed"};
    std::string         text;
    if (value.is_object()) {
        if (const auto known = only(item, value, {"value", "tool", "part"}); !known) return known.failure();
        const auto number = text_of(item, value, "value");
        const auto tool   = text_of(item, value, "tool", false);
        const auto part   = temperature_of(item, value);
        if (!number) return number.failure();
        if (!tool) return tool.failure();
        if (!part) return part.failure();
        text         = *number;
        take.tool    = *tool;
        take.part_mc = *part;
    } else if (value.is_string()) {
        text = value.get<std::string>();
    } else {
        return bad(item, "reading '" + ask + "' must be a text with its unit, such as \"49.970 mm\".");
    }
    const auto entered = entered_from(text);
    if (!entered) return bad(item, "reading '" + ask + "': " + entered.error().message);
    take.value = *entered;
    return take;
}

/// A slot table is an object whose keys are slots; a single reading is a text or has a "value".
bool is_slot_table(const FillJson& value)
{
    return value.is_object() && !value.contains("value");
}

Status add_readings(FillItem& item, const FillJson& object)
{
    const auto readings = part_of(item, object, "readings");
    if (!readings) return readings.failure();
    const auto shared_part = temperature_of(item, object);
    if (!shared_part) return shared_part.failure();
    FillJson tools = FillJson::object();
    if (object.contains("tools")) {
        const auto given = part_of(item, object, "tools");
        if (!given) return given.failure();
        tools = **given;
    }
    const auto add = [&](const std::string& ask, const std::string& slot, const FillJson& value) -> Status {
        auto take = reading_of(item, ask, slot, value);
        if (!take) return take.failure();
        if (take->tool.empty()) {
            const auto tool = text_of(item, tools, ask.c_str(), false);
            if (!tool) return tool.failure();
            take->tool = *tool;
        }
        if (!take->part_mc) take->part_mc = *shared_part;
        item.deeds.push_back({item.actor, engine::Act(*std::move(take))});
        return engine::Unit{};
    };
    for (const auto& [ask, value] : (*readings)->items()) {
        if (!is_slot_table(value)) {
            if (const auto one = add(ask, "", value); !one) return one;
            continue;
        }
        for (const auto& [slot, slot_value] : value.items())
            if (const auto one = add(ask, slot, slot_value); !one) return one;
    }
    return engine::Unit{};
}

/// Codes, choices and photos: plain tables of names to texts.
Status add_table(FillItem& item, const FillJson& object, const char* key)
{
    if (!object.contains(key)) return engine::Unit{};
    const auto table = part_of(item, object, key);
    if (!table) return table.failure();
    const std::string_view kind = key;
    for (const auto& [ask, value] : (*table)->items()) {
        const auto text = text_of(item, **table, ask.c_str());
        if (!text) return text.failure();
        Deed deed{item.actor, NamedPhoto{item.at, ask, *text}};
        if (kind == "codes") deed.what = engine::Act(engine::GiveCode{item.at, ask, *text, "typed"});
        if (kind == "choices") deed.what = engine::Act(engine::Choose{item.at, ask, *text});
        item.deeds.push_back(std::move(deed));
    }
    return engine::Unit{};
}

Status add_problem(FillItem& item, const FillJson& object)
{
    if (!object.contains("problem")) return engine::Unit{};
    engine::ReportProblem report{item.at, {}, false};
    if (object["problem"].is_string()) {
        report.reason = object["problem"].get<std::string>();
    } else {
        const auto given = part_of(item, object, "problem");
        if (!given) return given.failure();
        if (const auto known = only(item, **given, {"reason", "skip"}); !known) return known;
        const auto reason = text_of(item, **given, "reason");
        const auto skip   = flag_of(item, **given, "skip", false);
        if (!reason) return reason.failure();
        if (!skip) return skip.failure();
        report.reason = *reason;
        report.skip   = *skip;
    }
    item.deeds.push_back({item.actor, engine::Act(report)});
    return engine::Unit{};
}

Status add_decision(FillItem& item, const FillJson& object)
{
    if (!object.contains("decide")) return engine::Unit{};
    const auto given = part_of(item, object, "decide");
    if (!given) return given.failure();
    if (const auto known = only(item, **given, {"badge", "pin", "accept", "reason"}); !known) return known;
    const auto badge  = text_of(item, **given, "badge");
    const auto pin    = text_of(item, **given, "pin", false);
    const auto accept = flag_of(item, **given, "accept", true);
    const auto reason = text_of(item, **given, "reason");
    if (!badge) return badge.failure();
    if (!pin) return pin.failure();
    if (!accept) return accept.failure();
    if (!reason) return reason.failure();
    item.deeds.push_back({*badge, engine::Act(engine::Decide{item.at, *accept, *reason, *pin})});
    return engine::Unit{};
}

Status parse_step(FillItem& item, const FillJson& object)
{
    const auto step = text_of(item, object, "step");
    const auto pos  = text_of(item, object, "pos", false);
    if (!step) return step.failure();
    if (!pos) return pos.failure();
    item.at   = {*step, *pos};
    item.name = "step " + *step + (pos->empty() ? "" : " at " + *pos);
    if (const auto known = only(item, object,
                                {"step", "pos", "actor", "codes", "choices", "readings", "tools", "part",
                                 "photos", "problem", "decide", "close", "note"});
        !known)
        return known;
    if (const auto codes = add_table(item, object, "codes"); !codes) return codes;
    if (const auto choices = add_table(item, object, "choices"); !choices) return choices;
    if (object.contains("readings"))
        if (const auto readings = add_readings(item, object); !readings) return readings;
    if (const auto photos = add_table(item, object, "photos"); !photos) return photos;
    if (const auto problem = add_problem(item, object); !problem) return problem;
    if (const auto decision = add_decision(item, object); !decision) return decision;
    const auto close = flag_of(item, object, "close", true);
    if (!close) return close.failure();
    item.close = *close;
    return engine::Unit{};
}

Status parse_back_off(FillItem& item, const FillJson& object)
{
    item.name = "back_off";
    if (const auto known = only(item, object, {"pos", "reason"}); !known) return known;
    const auto pos    = text_of(item, object, "pos");
    const auto reason = text_of(item, object, "reason");
    if (!pos) return pos.failure();
    if (!reason) return reason.failure();
    item.name = "back_off at " + *pos;
    item.deeds.push_back({item.actor, engine::Act(engine::BackOff{*pos, *reason})});
    return engine::Unit{};
}

Status parse_sign(FillItem& item, const FillJson& object, bool countersign)
{
    item.name = countersign ? "countersign" : "return";
    if (const auto known = only(item, object, {"badge", "pin", "reason"}); !known) return known;
    const auto badge  = text_of(item, object, "badge");
    const auto pin    = text_of(item, object, "pin");
    const auto reason = text_of(item, object, "reason", !countersign);
    if (!badge) return badge.failure();
    if (!pin) return pin.failure();
    if (!reason) return reason.failure();
    if (countersign)
        item.deeds.push_back({*badge, engine::Act(engine::Countersign{*pin})});
    else
        item.deeds.push_back({*badge, engine::Act(engine::SendBack{*reason, *pin})});
    return engine::Unit{};
}

Status parse_item(FillItem& item, const FillJson& object)
{
    if (!object.is_object()) return bad(item, "must be an object { }.");
    const auto actor = text_of(item, object, "actor", false);
    if (!actor) return actor.failure();
    if (!actor->empty()) item.actor = *actor;
    if (object.contains("step")) return parse_step(item, object);
    if (const auto known = only(item, object, {"actor", "back_off", "hand_over", "countersign", "return"});
        !known)
        return known;
    if (object.contains("hand_over")) {
        const auto to = text_of(item, object, "hand_over");
        if (!to) return to.failure();
        item.name = "hand_over";
        item.deeds.push_back({item.actor, engine::Act(engine::HandOver{*to})});
        return engine::Unit{};
    }
    for (const char* key : {"back_off", "countersign", "return"}) {
        if (!object.contains(key)) continue;
        const auto inner = part_of(item, object, key);
        if (!inner) return inner.failure();
        const std::string_view kind = key;
        return kind == "back_off" ? parse_back_off(item, **inner)
                                  : parse_sign(item, **inner, kind == "countersign");
    }
    return bad(item, "is none of step, back_off, hand_over, countersign, return.");
}

Result<FillFile> parse_document(const FillJson& document)
{
    const FillItem whole;
    if (!document.is_object()) return failure(Fault::bad_input, "The file must hold one object { }.");
    if (const auto known = only(whole, document, {"job", "actor", "steps", "note"}); !known)
        return failure(Fault::bad_input, "The file: " + known.error().message);
    const auto job   = text_of(whole, document, "job");
    const auto actor = text_of(whole, document, "actor");
    if (!job || !actor || !document.contains("steps") || !document["steps"].is_array())
        return failure(Fault::bad_input,
                       "The file must give \"job\", \"actor\" (a badge) and \"steps\", a list.");
    FillFile file;
    file.job           = *job;
    std::string fitter = *actor;
    for (const FillJson& object : document["steps"]) {
        FillItem item;
        item.number = file.items.size() + 1;
        item.actor  = fitter;
        if (const auto parsed = parse_item(item, object); !parsed) return parsed.failure();
        if (item.name == "hand_over")
            fitter = std::get<engine::HandOver>(std::get<engine::Act>(item.deeds.front().what)).to_badge;
        file.items.push_back(std::move(item));
    }
    return file;
}

} // namespace

Result<engine::Entered> entered_from(std::string_view text)
{
    const auto trimmed = [](std::string_view part) {
        while (!part.empty() && part.front() == ' ')
            part.remove_prefix(1);
        while (!part.empty() && part.back() == ' ')
            part.remove_suffix(1);
        return part;
    };
    const std::string_view whole = trimmed(text);
    const auto             end   = whole.find_first_not_of("0123456789+-.,/");
    if (end == 0 || end == std::string_view::npos)
        return failure(Fault::bad_input, "'" + std::string(text.substr(0, 40)) +
                                             "' is not a number with its unit, such as 49.970 mm.");
    const auto unit = engine::unit_from_symbol(trimmed(whole.substr(end)));
    if (!unit) return unit.failure();
    return engine::enter(trimmed(whole.substr(0, end)), *unit);
}

Result<FillFile> parse_fill(std::string_view text)
{
    try {
        return parse_document(FillJson::parse(text));
    } catch (const nlohmann::json::parse_error& error) {
        return failure(Fault::bad_input,
                       "The file of readings is not JSON: it breaks off near byte " +
                           std::to_string(error.byte) + ".",
                       error.what());
    } catch (const nlohmann::json::exception& error) {
        return failure(Fault::bad_input, "The file of readings cannot be read.", error.what());
    }
}

} // namespace field::cli
