// witnessmark review: the shift, exceptions first. The supervisor's answer to it is in sign.cpp.
#include "engine/evidence/causes.h"
#include "field/cli/as_json.h"
#include "field/cli/commands.h"
#include "field/cli/opened.h"
#include "field/cli/plant_notice.h"
#include "field/cli/when.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>
#include <memory>

namespace field::cli {
namespace {

using engine::ShiftJob;

struct ReviewOptions {
    std::string book, since, until;
    bool        json = false;
};

engine::Result<engine::TimeWindow> window_of(const ReviewOptions& options, int tz_min)
{
    engine::TimeWindow window;
    if (!options.since.empty()) {
        const auto since = parse_when(options.since, tz_min);
        if (!since) return since.failure();
        window.from_ms = *since;
    }
    if (!options.until.empty()) {
        const auto until = parse_when(options.until, tz_min);
        if (!until) return until.failure();
        window.to_ms = *until;
    }
    if (window.to_ms < window.from_ms)
        return engine::failure(engine::Fault::bad_input, "--until lies before --since.");
    return window;
}

nlohmann::json document_of(const engine::Exception& exception)
{
    nlohmann::json object{{"finding", engine::name_of(exception.finding)},
                          {"step", exception.at.key},
                          {"pos", exception.at.pos},
                          {"what", exception.what},
                          {"sentence", exception.sentence}};
    if (exception.value)
        put_value(object, *exception.value, exception.limits, exception.u_si, exception.verdict);
    else
        object["verdict"] = engine::name_of(exception.verdict);
    put_signed(object, exception.by);
    if (!exception.photo.empty()) object["photo_sha256"] = exception.photo;
    return object;
}

nlohmann::json document_of(const ShiftJob& shift)
{
    nlohmann::json object{{"job", shift.job.number},
                          {"title", shift.job.title},
                          {"asset", shift.job.asset},
                          {"people", shift.people},
                          {"steps_done", shift.done},
                          {"steps", shift.steps},
                          {"closed", shift.closed},
                          {"needs_decision", shift.needs_decision},
                          {"last_ms", shift.last_wall_ms},
                          {"last", engine::iso_time(shift.last_wall_ms, shift.tz_min)},
                          {"exceptions", nlohmann::json::array()}};
    for (const auto& exception : shift.exceptions)
        object["exceptions"].push_back(document_of(exception));
    if (shift.ended) {
        nlohmann::json ended{{"reason", shift.ended->reason}};
        put_signed(ended, shift.ended->at);
        object["ended"] = std::move(ended);
    }
    if (shift.review) {
        nlohmann::json review{{"countersigned", shift.review->countersigned},
                              {"reason", shift.review->reason},
                              {"older_than_record", shift.review->older_than_record}};
        put_signed(review, shift.review->at);
        object["review"] = std::move(review);
    }
    return object;
}

std::string review_words(const ShiftJob& shift)
{
    if (shift.ended) return "ended by " + shift.ended->at.actor + ": " + shift.ended->reason;
    if (!shift.review) return shift.needs_decision ? "needs a decision" : "in work";
    std::string words = shift.review->countersigned ? "countersigned by " : "returned by ";
    words += shift.review->at.actor;
    if (shift.review->older_than_record) words += ", older than the record";
    return shift.needs_decision ? words + ", needs a decision" : words;
}

std::string place_of(const engine::StepRef& at)
{
    return at.pos.empty() ? at.key : at.key + " at " + at.pos;
}

std::string short_value(const engine::Exception& one)
{
    return one.what + " " + one.value->text + " " + std::string(engine::unit_symbol(one.value->unit));
}

/// One cause in one line: the reading with its limits, what goes with it, where it went on, and whose
/// decision let it.
std::string line_of(const engine::Cause& cause)
{
    const engine::Exception& lead = cause.lead;
    std::string              line = std::string(engine::name_of(cause.finding)) + ": ";
    if (lead.value)
        line +=
            place_of(lead.at) + ", " + lead.what + " " + value_line(*lead.value, lead.limits, lead.verdict);
    else
        line += lead.sentence;
    std::string also;
    for (const auto& one : cause.also)
        if (one.value &&
            !(one.figure && lead.value && one.value->si == lead.value->si)) // the same number once more
            also += (also.empty() ? "; also " : ", ") + short_value(one);
    line += also;
    for (const auto& step : cause.carried_to)
        line += "; and so " + place_of(step);
    if (cause.decision && lead.finding != engine::Finding::deviation)
        line += "; released by " + cause.decision->by.actor + ": " + cause.decision->what;
    if (!lead.by.actor.empty()) line += " (" + lead.by.actor + ")";
    return line;
}

nlohmann::json document_of(const engine::Cause& cause)
{
    nlohmann::json object{{"finding", engine::name_of(cause.finding)},
                          {"lead", document_of(cause.lead)},
                          {"also", nlohmann::json::array()},
                          {"carried_to", nlohmann::json::array()},
                          {"line", line_of(cause)}};
    for (const auto& one : cause.also)
        object["also"].push_back(document_of(one));
    for (const auto& step : cause.carried_to)
        object["carried_to"].push_back({{"step", step.key}, {"pos", step.pos}});
    if (cause.decision) object["decision"] = document_of(*cause.decision);
    return object;
}

void print_plain(const ShiftJob& shift)
{
    std::cout << shift.job.number << "  " << shift.job.title << "  " << shift.done << " of " << shift.steps
              << " steps  " << engine::date_time(shift.last_wall_ms, shift.tz_min) << "  "
              << review_words(shift) << '\n';
    for (const auto& cause : engine::causes_of(shift.exceptions))
        std::cout << "    " << line_of(cause) << '\n';
}

nlohmann::json with_causes(const ShiftJob& shift)
{
    nlohmann::json object = document_of(shift);
    object["causes"]      = nlohmann::json::array();
    for (const auto& cause : engine::causes_of(shift.exceptions))
        object["causes"].push_back(document_of(cause));
    return object;
}

int review(const ReviewOptions& options)
{
    const auto opened = Opened::reading(options.book);
    if (!opened) return complain(opened.error());
    const auto window = window_of(options, (*opened)->clock().now().tz_min);
    if (!window) return complain(window.error());
    std::vector<std::string> complaints;
    const auto               jobs  = engine::shift_of((*opened)->bench(), *window, &complaints);
    const auto               plant = standing_of((*opened)->bench().book());
    if (options.json) {
        nlohmann::json document{{"jobs", nlohmann::json::array()}, {"complaints", complaints}};
        put_plant(document, plant);
        for (const ShiftJob& shift : jobs)
            document["jobs"].push_back(with_causes(shift));
        std::cout << document.dump(2) << '\n';
    } else {
        print_plant(std::cout, plant);
        if (jobs.empty()) std::cout << "No job was touched in this stretch of time.\n";
        for (const ShiftJob& shift : jobs)
            print_plain(shift);
        for (const std::string& complaint : complaints)
            std::cerr << "witnessmark: " << complaint << '\n';
    }
    const bool open =
        std::any_of(jobs.begin(), jobs.end(), [](const ShiftJob& s) { return s.needs_decision; });
    return open || !complaints.empty() ? 1 : 0;
}

} // namespace

void add_review(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<ReviewOptions>();
    auto* command = app.add_subcommand("review", "The shift, exceptions first");
    command->add_option("--book", options->book, "Book to look into")->required();
    command->add_option("--since", options->since, "From this moment on, such as 2026-11-25T06:00");
    command->add_option("--until", options->until, "Up to this moment");
    command->add_flag("--json", options->json, "One JSON document on standard output");
    command->footer(
        "Exit code 0 nothing to decide, 1 something needs a decision, 2 bad use or book.\n"
        "--json: {jobs:[{job,title,asset,people,steps_done,steps,closed,needs_decision,last_ms,last,\n"
        "  review:{countersigned,by,at_ms,at,reason,older_than_record},ended:{reason,by,at_ms,at},\n"
        "  exceptions:[{finding,step,pos,what,sentence,entered,value_U,u_U,low_U,high_U,limit_source,\n"
        "    verdict,by,at_ms,at,photo_sha256}],\n"
        "  "
        "causes:[{finding,lead,also,carried_to,decision,line}]}],complaints,plant,plant_id,plant_enrolled,\n"
        "  plant_invented,plant_notices}: a cause is one line, as printed\n"
        "finding: held broken_entry outside undecided deviation skipped back_off photo_missing problem\n"
        "  corrected; U: mm deg c nm g s mm_s percent count.");
    command->callback([options, &outcome] { outcome.exit_code = review(*options); });
}

} // namespace field::cli
