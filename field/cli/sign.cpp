// witnessmark countersign | return | decide: the supervisor's answer to a record, or to a step that waits.
#include "engine/book/locked_key.h"
#include "engine/procedure/standing.h"
#include "field/cli/as_json.h"
#include "field/cli/commands.h"
#include "field/cli/opened.h"
#include "field/cli/secret.h"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <functional>
#include <iostream>
#include <memory>

namespace field::cli {
namespace {

struct SignOptions {
    std::string     book, job, badge, reason;
    PinSource       pin;
    engine::StepRef at;
    bool            accept = false, refuse = false;
};

int answer_with(const engine::Error& error)
{
    const int code = complain(error);
    return error.fault == engine::Fault::refused ? 1 : code;
}

int sign(const SignOptions& options, const std::function<engine::Act(std::string)>& act)
{
    auto pin = pin_from(options.pin, options.badge); // first: nobody types while the book is held
    if (!pin) return complain(pin.error());
    const auto opened = Opened::existing(options.book);
    if (!opened) return complain(opened.error());
    const auto kept = (*opened)->bench().carry_out(options.job, options.badge, act(*pin));
    engine::wipe(*pin);
    if (!kept) return answer_with(kept.error());
    std::cout << "Signed: entry " << kept->seq << " of this machine, " << kept->id << '\n';
    return 0;
}

std::string held_reading(const engine::ReadingFact& reading)
{
    return reading.ask + (reading.slot.empty() ? "" : "/" + reading.slot) + " " +
           value_line(reading.value, reading.limits, reading.verdict) + " (" + reading.at.actor + ")";
}

/// All the person decides on: what was read, chosen and reported, and what came of it.
void print_held(const engine::StepStatus& step)
{
    std::cout << "Decides on " << engine::words_of(step.ref) << ":\n";
    if (!step.assessment.sentence.empty()) std::cout << "    " << step.assessment.sentence << '\n';
    for (const auto& reading : step.facts.readings)
        std::cout << "    " << held_reading(reading) << '\n';
    for (const auto& choice : step.facts.choices)
        std::cout << "    " << choice.ask << ": " << choice.option << " (" << choice.at.actor << ")\n";
    for (const auto& code : step.facts.codes)
        std::cout << "    " << code.ask << ": " << code.text << " (" << code.at.actor << ")\n";
    for (const auto& photo : step.facts.photos)
        std::cout << "    photo " << photo.ask << ' ' << photo.sha256.substr(0, 16) << " (" << photo.at.actor
                  << ")\n";
    for (const auto& problem : step.facts.problems)
        std::cout << "    problem: " << problem.reason << (problem.skip ? ", asks to skip the step" : "")
                  << " (" << problem.at.actor << ")\n";
}

int decide(const SignOptions& options)
{
    if (options.accept == options.refuse)
        return complain({engine::Fault::bad_input, "Give --accept or --refuse, one of them.", {}});
    const auto opened = Opened::existing(options.book);
    if (!opened) return complain(opened.error());
    engine::Workbench& bench = (*opened)->bench();
    const auto         state = bench.job(options.job);
    if (!state) return complain(state.error());
    const engine::StepStatus* const step = (*state)->progress.step(options.at);
    if (step == nullptr)
        return complain({engine::Fault::not_found,
                         "Job " + options.job + " has no step " + engine::words_of(options.at) +
                             "; the step's key goes after --step, the letter of a position after --position.",
                         {}});
    if (step->state == engine::StepState::held) print_held(*step);
    auto pin = pin_from(options.pin, options.badge);
    if (!pin) return complain(pin.error());
    const auto kept = bench.carry_out(options.job, options.badge,
                                      engine::Decide{options.at, options.accept, options.reason, *pin});
    engine::wipe(*pin);
    if (!kept) return answer_with(kept.error());
    std::cout << (options.accept ? "Accepted" : "Refused") << " by " << options.badge << ": "
              << options.reason << ". Signed: entry " << kept->seq << " of this machine, " << kept->id
              << '\n';
    return 0;
}

std::shared_ptr<SignOptions> sign_options(CLI::App& command)
{
    auto options = std::make_shared<SignOptions>();
    command.add_option("job", options->job, "Number of the job")->required();
    command.add_option("--book", options->book, "Book the job stands in")->required();
    command.add_option("--badge,--actor", options->badge, "Badge of the supervisor")->required();
    take_pin(command, options->pin);
    return options;
}

void add_decide(CLI::App& app, Outcome& outcome)
{
    auto* command = app.add_subcommand("decide", "Accept or refuse a step that is held for a decision");
    auto  options = sign_options(*command);
    command->add_option("--step", options->at.key, "Key of the step, as `review` names it")->required();
    command->add_option("--position", options->at.pos, "Letter of its position; none for a step of the job");
    command->add_flag("--accept", options->accept, "Go on in spite of it");
    command->add_flag("--refuse", options->refuse, "Measure again");
    command->add_option("--reason", options->reason, "Why")->required();
    command->footer("Exit code 0 decided, 1 refused by a rule, 2 bad use or book.");
    command->callback([options, &outcome] { outcome.exit_code = decide(*options); });
}

} // namespace

void add_sign(CLI::App& app, Outcome& outcome)
{
    auto* countersign = app.add_subcommand("countersign", "Countersign the record of a job");
    auto  signing     = sign_options(*countersign);
    countersign->callback([signing, &outcome] {
        outcome.exit_code =
            sign(*signing, [](std::string pin) { return engine::Countersign{std::move(pin)}; });
    });

    auto* send_back = app.add_subcommand("return", "Send the record of a job back");
    auto  returning = sign_options(*send_back);
    send_back->add_option("--reason", returning->reason, "Why")->required();
    send_back->callback([returning, &outcome] {
        outcome.exit_code = sign(*returning, [&reason = returning->reason](std::string pin) {
            return engine::SendBack{reason, std::move(pin)};
        });
    });
    add_decide(app, outcome);
}

} // namespace field::cli
