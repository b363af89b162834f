#include "field/cli/demo_player.h"

#include "field/cli/demo_photo.h"

#include <algorithm>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using engine::Status;

constexpr int kMostSteps = 2000; ///< far above any plan: a demo that does not end is a fault

/// The fault planted at a position, or for one of the positions when the step is one of the job.
DemoFault fault_at(const DemoJob& job, const engine::StepRef& at)
{
    for (const DemoFault& fault : job.faults)
        if (fault.pos == at.pos || at.pos.empty()) return fault;
    return {};
}

const engine::Ask* ask_of(const engine::JobState& state, const engine::StepRef& at, const std::string& name)
{
    const engine::PlanStep* const planned = state.plan.find(at);
    if (planned == nullptr) return nullptr;
    const auto found = std::ranges::find(planned->step.asks, name, &engine::Ask::name);
    return found == planned->step.asks.end() ? nullptr : &*found;
}

/// Reading time of a log, "A.30": minutes since the log began.
std::optional<std::int64_t> minute_of(const std::string& slot)
{
    const auto dot = slot.find('.');
    if (dot == std::string::npos) return std::nullopt;
    const auto minute = engine::parse_number(slot.substr(dot + 1));
    if (!minute) return std::nullopt;
    return static_cast<std::int64_t>(*minute);
}

} // namespace

Status DemoPlayer::play(const DemoJob& job)
{
    for (int done = 0; done < kMostSteps; ++done) {
        const auto state = bench_->job(job.number);
        if (!state) return state.failure();
        const engine::Progress& progress = (*state)->progress;
        if (job.stop_after && progress.done_count() >= *job.stop_after) return engine::Unit{};
        if (!progress.next) {
            if (!job.countersign) return engine::Unit{};
            clock_->advance_minutes(20);
            return act(job, job.people.supervisor, engine::Countersign{job.people.pin});
        }
        if (const Status one = step(job, **state); !one) return one;
    }
    return failure(Fault::conflict, "Demo job " + job.number + " does not come to an end.");
}

Status DemoPlayer::step(const DemoJob& job, const engine::JobState& state)
{
    const engine::StepRef           at     = *state.progress.next;
    const engine::StepStatus* const status = state.progress.step(at);
    if (status == nullptr) return failure(Fault::not_found, "Demo job " + job.number + " has lost a step.");
    if (status->state == engine::StepState::held) return decide(job, *status);
    if (!status->missing.empty()) {
        const auto [ask, slot] = status->missing.front();
        return give(job, state, at, ask, slot);
    }
    if (backs_off(job, state, at)) {
        clock_->advance_minutes(2);
        return act(job, job.people.fitter, engine::BackOff{at.pos, "zero_late"});
    }
    clock_->advance_minutes(dice_->whole(1, 3));
    return act(job, job.people.fitter, engine::CloseStep{at});
}

/// The planted back-off comes when the turn of the first attempt is read.
bool DemoPlayer::backs_off(const DemoJob& job, const engine::JobState& state, const engine::StepRef& at) const
{
    const DemoFault fault = fault_at(job, at);
    if (fault.kind != DemoFault::Kind::back_off || fault.pos != at.pos || at.pos.empty()) return false;
    const auto* position = state.progress.position(at.pos);
    const auto* planned  = state.plan.find(at);
    const bool  turning =
        planned != nullptr && std::ranges::count(planned->step.asks, "turn", &engine::Ask::limits) > 0;
    return turning && position != nullptr && position->attempt == 1;
}

Status DemoPlayer::give(const DemoJob& job, const engine::JobState& state, const engine::StepRef& at,
                        const std::string& ask, const std::string& slot)
{
    const engine::Ask* const asked = ask_of(state, at, ask);
    if (asked == nullptr) return failure(Fault::not_found, "Demo job " + job.number + " has lost an ask.");
    if (asked->kind != engine::AskKind::reading) return answer(job, at, *asked);

    const engine::StepStatus* const status = state.progress.step(at);
    if (const auto minute = minute_of(slot); minute && *minute > 0 && !status->facts.readings.empty())
        clock_->advance_to(status->facts.readings.front().at.wall_ms + *minute * 60'000);
    else
        clock_->advance_ms(dice_->whole(20, 70) * std::int64_t{1000});
    auto reading =
        demo_reading({state, fault_at(job, at), at, *asked, slot}, bench_->book().catalogue(), *dice_);
    if (!reading) return reading.failure();
    return act(job, job.people.fitter,
               engine::TakeReading{at, ask, slot, reading->value, reading->tool, reading->part_mc, "typed"});
}

Status DemoPlayer::answer(const DemoJob& job, const engine::StepRef& at, const engine::Ask& ask)
{
    clock_->advance_ms(dice_->whole(15, 90) * std::int64_t{1000});
    const std::string& fitter = job.people.fitter;
    if (ask.kind == engine::AskKind::choice) {
        std::vector<std::string> good;
        for (const engine::Option& option : ask.options)
            if (option.goes_on) good.push_back(option.value);
        if (good.empty()) return failure(Fault::not_found, "No answer to " + ask.name + " goes on.");
        const auto place = static_cast<std::size_t>(dice_->whole(0, static_cast<int>(good.size()) - 1));
        return act(job, fitter, engine::Choose{at, ask.name, good[place]});
    }
    if (ask.kind == engine::AskKind::code) {
        const std::string number = std::to_string(dice_->whole(10000, 99999));
        const std::string text   = ask.name == "lock_number" ? "L-" + number.substr(0, 3)
                                                             : "SL" + job.number + at.pos + "-" + number;
        return act(job, fitter, engine::GiveCode{at, ask.name, text, "typed"});
    }
    const auto  state    = bench_->job(job.number);
    const auto* position = state ? (*state)->progress.position(at.pos) : nullptr;
    DemoPicture picture;
    if (position != nullptr && position->turned) picture.angle = *position->turned;
    picture.shade = static_cast<std::uint32_t>(dice_->between(0.0, 4294967295.0));
    return act(job, fitter, engine::KeepPhoto{at, ask.name, demo_photo(picture), "test"});
}

Status DemoPlayer::decide(const DemoJob& job, const engine::StepStatus& held)
{
    clock_->advance_minutes(dice_->whole(4, 15));
    if (held.facts.problems.empty())
        return act(job, job.people.fitter, engine::ReportProblem{held.ref, "beside_limit", false});
    return act(job, job.people.supervisor,
               engine::Decide{held.ref, true, "accepted_after_look", job.people.pin});
}

Status DemoPlayer::act(const DemoJob& job, const std::string& who, const engine::Act& act)
{
    const auto kept = bench_->carry_out(job.number, who, act);
    if (!kept) return kept.failure();
    return engine::Unit{};
}

} // namespace field::cli
