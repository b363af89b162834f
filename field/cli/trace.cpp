// witnessmark trace: the life line of a bearing, a machine or a job, and whether its record is whole.
#include "engine/evidence/trace_query.h"
#include "field/cli/as_json.h"
#include "field/cli/commands.h"
#include "field/cli/opened.h"
#include "field/cli/plant_notice.h"
#include "field/cli/which.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <iostream>
#include <memory>

namespace field::cli {
namespace {

struct TraceOptions {
    std::string book;
    Which       which;
    bool        json = false;
};

nlohmann::json document_of(const engine::LifeEvent& event)
{
    const engine::Entry& entry = event.entry;
    nlohmann::json       object{{"id", entry.id},
                          {"machine", entry.dev},
                          {"seq", entry.seq},
                          {"at_ms", entry.wall_ms},
                          {"at", engine::iso_time(entry.wall_ms, entry.tz_min)},
                          {"by", entry.said.actor},
                          {"kind", entry.said.kind},
                          {"step", entry.said.step},
                          {"pos", entry.said.pos},
                          {"what", event.what}};
    if (!event.text.empty()) object["text"] = event.text;
    if (event.reading) {
        const engine::ReadingFact& reading = *event.reading;
        nlohmann::json value{{"ask", reading.ask}, {"slot", reading.slot}, {"tool", reading.tool}};
        put_value(value, reading.value, reading.limits, reading.u_si, reading.verdict);
        if (event.tool) {
            value["calibration_due"]    = event.tool->calibration_due;
            value["out_of_calibration"] = event.out_of_calibration;
        }
        object["reading"] = std::move(value);
    }
    if (event.struck) {
        nlohmann::json struck{
            {"entered", event.struck->text + " " + std::string(engine::unit_symbol(event.struck->unit))},
            {"reason", event.struck->reason}};
        put_signed(struck, event.struck->by);
        object[entry.said.kind == engine::kind::correction ? "strikes" : "corrected_to"] = std::move(struck);
    }
    if (!event.photo.empty()) object["photo"] = {{"sha256", event.photo}, {"here", event.photo_here}};
    return object;
}

nlohmann::json document_of(const engine::LifePart& part)
{
    nlohmann::json object{
        {"job", part.job.number},           {"title", part.job.title}, {"asset", part.job.asset},
        {"positions", part.positions},      {"closed", part.closed},   {"complaints", part.complaints},
        {"events", nlohmann::json::array()}};
    for (const auto& event : part.events)
        object["events"].push_back(document_of(event));
    return object;
}

nlohmann::json document_of(const engine::LifeLine& line)
{
    const engine::Wholeness& whole = line.wholeness;
    nlohmann::json           document{{"found_as", line.found_as}, {"parts", nlohmann::json::array()},
                            {"whole", whole.whole},      {"first_break", whole.first_break},
                            {"entries", whole.entries},  {"signatures", whole.signatures},
                            {"photos", whole.photos},    {"photos_missing", whole.photos_missing}};
    for (const auto& part : line.parts)
        document["parts"].push_back(document_of(part));
    return document;
}

std::string tool_words(const engine::LifeEvent& event)
{
    if (event.reading->tool.empty()) return {};
    std::string words = ", by " + event.reading->tool;
    if (event.tool) words += ", calibrated to " + event.tool->calibration_due;
    return event.out_of_calibration ? words + ": OUT OF CALIBRATION" : words;
}

std::string struck_words(const engine::LifeEvent& event)
{
    const std::string value = event.struck->text + " " + std::string(engine::unit_symbol(event.struck->unit));
    return event.entry.said.kind == engine::kind::correction
               ? ", strikes " + value + " of " + event.struck->by.actor
               : ", STRUCK: corrected to " + value + " by " + event.struck->by.actor + ", " +
                     event.struck->reason;
}

void print_plain(const engine::LifeEvent& event)
{
    const engine::Entry& entry = event.entry;
    std::cout << "  " << engine::date_time(entry.wall_ms, entry.tz_min) << "  "
              << (entry.said.pos.empty() ? "-" : entry.said.pos) << "  " << entry.said.step << "  "
              << event.what;
    if (!event.text.empty()) std::cout << ": " << event.text;
    if (event.reading)
        std::cout << ": " << value_line(event.reading->value, event.reading->limits, event.reading->verdict)
                  << tool_words(event);
    if (event.struck) std::cout << struck_words(event);
    if (!event.photo.empty())
        std::cout << ": " << event.photo.substr(0, 16) << (event.photo_here ? "" : " (not on this machine)");
    std::cout << "  (" << entry.said.actor << ")\n";
}

void print_plain(const engine::LifeLine& line)
{
    if (!line.found_as.empty()) std::cout << "Found as " << line.found_as << ".\n";
    for (const auto& part : line.parts) {
        std::cout << "Job " << part.job.number << "  " << part.job.title << "  " << part.job.asset << '\n';
        for (const auto& event : part.events)
            print_plain(event);
        for (const auto& complaint : part.complaints)
            std::cout << "  ! " << complaint << '\n';
    }
    const engine::Wholeness& whole = line.wholeness;
    std::cout << whole.entries << " entries, " << whole.signatures << " signatures good, " << whole.photos
              << " photos here, " << whole.photos_missing << " elsewhere. "
              << (whole.whole ? "The record is whole." : "The record is broken: " + whole.first_break)
              << '\n';
}

int trace(const TraceOptions& options)
{
    const auto opened = Opened::reading(options.book);
    if (!opened) return complain(opened.error());
    const auto line = engine::life_line((*opened)->bench(), options.which.key());
    if (!line) return complain(line.error());
    const auto plant = standing_of((*opened)->bench().book());
    if (options.json) {
        auto document = document_of(*line);
        put_plant(document, plant);
        std::cout << document.dump(2) << '\n';
    } else {
        print_plant(std::cout, plant);
        print_plain(*line);
    }
    return line->wholeness.whole ? 0 : 1;
}

} // namespace

void add_trace(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<TraceOptions>();
    auto* command = app.add_subcommand("trace", "The life line of a bearing, a machine or a job");
    command->add_option("--book", options->book, "Book to look into")->required();
    options->which.add_to(*command, "What to follow, one of");
    command->add_flag("--json", options->json, "One JSON document on standard output");
    command->footer(
        "Exit code 0 the record is whole, 1 it is broken, 2 bad use or nothing found.\n"
        "--json: {parts:[{job,title,asset,positions,closed,complaints,events:[{id,machine,seq,\n"
        "  at_ms,at,by,kind,step,pos,what,text,photo:{sha256,here},reading:{ask,slot,tool,entered,\n"
        "  value_U,u_U,low_U,high_U,limit_source,verdict}}]}],whole,first_break,entries,\n"
        "  signatures,photos,photos_missing,plant,plant_id,plant_enrolled,plant_invented,\n"
        "  plant_notices}; U: mm deg c nm g s mm_s percent count.");
    command->callback([options, &outcome] { outcome.exit_code = trace(*options); });
}

} // namespace field::cli
