#pragma once
// A job told entry by entry, without a store: acts go through the rules (`act`), or past them (`force`).
#include "engine/book/photos.h"
#include "engine/procedure/act.h"
#include "engine/procedure/facts_codec.h"

#include <algorithm>
#include <optional>

#include "tests/support/job_plant.h"

namespace support {

inline engine::Entered value(const std::string& text, engine::UnitOf unit)
{
    auto entered = engine::enter(text, unit);
    if (!entered) throw std::runtime_error(entered.error().message);
    return *std::move(entered);
}

/// An answer that closes the step, by the limit rule of the ask. Inputs of the invented plant.
inline std::string good_text(const engine::Ask& ask)
{
    static const std::map<std::string, std::string> texts{{"seat", "49.970"},
                                                          {"turn", "110"},
                                                          {"tab", "10"},
                                                          {"clearance_before", "0.048"},
                                                          {"shim", "0.700"},
                                                          {"gap_each", "2.00"},
                                                          {"offset", "1.0"},
                                                          {"clearance_after", "0.030"},
                                                          {"soft_foot", "0.02"},
                                                          {"bolt_torque", "200"},
                                                          {"cap_torque", "100"},
                                                          {"grease", "30"},
                                                          {"temperature", "40"},
                                                          {"vibration", "1.0"},
                                                          {"sleeve_travel", "0.61"},
                                                          {"nut_torque", "150"}};
    const auto                                      found = texts.find(ask.limits);
    return found == texts.end() ? "20.0" : found->second;
}

inline std::string good_tool(const engine::Ask& ask)
{
    if (!ask.tool) return {};
    if (ask.limits == "shim") return "M-08";
    for (const auto& [tag, instrument] : plant().instruments)
        if (instrument.tool == *ask.tool) return tag;
    return {};
}

class JobScript {
  public:
    static constexpr const char* kFitter = "F-11";
    static constexpr const char* kPin    = "2100"; ///< of both supervisors
    static constexpr const char* kToday  = "2026-11-25";

    explicit JobScript(const engine::Job& job) : plan_(plan_of(job)), catalogue_(plant())
    {
        static const std::string check      = *engine::pin_check_of(kPin);
        catalogue_.people["S-21"].pin_check = check;
        catalogue_.people["S-22"].pin_check = check;
        look();
    }

    engine::Catalogue&                              catalogue() { return catalogue_; }
    [[nodiscard]] const engine::Plan&               plan() const { return plan_; }
    [[nodiscard]] const engine::Progress&           progress() const { return progress_; }
    [[nodiscard]] const std::vector<engine::Entry>& entries() const { return entries_; }
    [[nodiscard]] const engine::StepStatus& step(const std::string& key, const std::string& pos = {}) const
    {
        const engine::StepStatus* const found = progress_.step({key, pos});
        if (found == nullptr) throw std::runtime_error("no step " + key + " at " + pos);
        return *found;
    }

    /// What the rules say about an act.
    [[nodiscard]] engine::Status may(const engine::Act& act, const std::string& actor = kFitter) const
    {
        return engine::allowed(plan_, catalogue_, progress_, actor, act, kToday);
    }
    /// Through the rules: kept when they allow it.
    engine::Status act(const engine::Act& act, const std::string& actor = kFitter)
    {
        engine::Status good = may(act, actor);
        if (good) force(act, actor);
        return good;
    }
    /// Past the rules, as a faulty machine might; gives the entry's id.
    std::string force(const engine::Act& act, const std::string& actor = kFitter)
    {
        return keep(std::visit([&](const auto& one) { return draft(one, actor); }, act));
    }
    std::string keep(engine::Draft said)
    {
        engine::Entry entry;
        const auto    count = static_cast<std::int64_t>(entries_.size()) + 1;
        entry.id            = engine::hex(engine::sha256("entry " + std::to_string(count)));
        entry.dev           = std::string(64, 'd');
        entry.seq           = static_cast<std::uint64_t>(count);
        entry.wall_ms = entry.hlc_ms = 1795590000000 + count * 60'000;
        entry.tz_min                 = 60;
        entry.said                   = std::move(said);
        entries_.push_back(std::move(entry));
        look();
        return entries_.back().id;
    }

    engine::Act good_answer(const engine::StepRef& at, const engine::Ask& ask, const std::string& slot) const
    {
        using namespace engine;
        switch (ask.kind) {
        case AskKind::reading:
            return TakeReading{
                at, ask.name, slot, value(good_text(ask), ask.units.front()), good_tool(ask), 20000, "typed"};
        case AskKind::choice:
            return Choose{at, ask.name, ask.options.front().value};
        case AskKind::code:
            return GiveCode{at, ask.name, "SN-" + at.pos + "1", "scan"};
        case AskKind::photo:
            break;
        }
        return KeepPhoto{at, ask.name, {0xFF, 0xD8}, "test"};
    }
    /// Gives all a step still misses.
    void give_all(const engine::StepRef& at)
    {
        const engine::Step& row = plan_.find(at)->step;
        for (const auto& [name, slot] : std::vector(step(at.key, at.pos).missing))
            must(act(good_answer(at, *std::ranges::find(row.asks, name, &engine::Ask::name), slot)));
    }
    void finish(const engine::StepRef& at)
    {
        give_all(at);
        must(act(engine::CloseStep{at}));
    }
    /// Works along the order shown until this step is the next one.
    void work_up_to(const engine::StepRef& at)
    {
        while (progress_.next && *progress_.next != at)
            finish(*progress_.next);
        if (!progress_.next) throw std::runtime_error("never came to " + at.key);
    }

  private:
    static void must(const engine::Status& status)
    {
        if (!status) throw std::runtime_error(status.error().message);
    }
    void look() { progress_ = engine::progress_of(plan_, catalogue_, entries_); }

    [[nodiscard]] engine::About about(const engine::StepRef& at, const std::string& actor) const
    {
        return {plan_.job.number, actor, at, engine::attempt_of(progress_, at)};
    }
    void judge(engine::ReadingFact& fact, const engine::StepRef& at) const
    {
        fact.limits =
            engine::limits_of_reading(plan_, progress_.facts(), at, fact.ask, fact.slot, fact.value.unit);
        fact.u_si =
            engine::uncertainty_of_reading(fact.value, catalogue_.instrument(fact.tool), fact.part_mc);
        fact.verdict = engine::verdict_of_reading(fact.value.si, fact.u_si, fact.limits);
    }

    engine::Draft draft(const engine::TakeReading& act, const std::string& actor) const
    {
        engine::ReadingFact fact;
        fact.ask     = act.ask;
        fact.slot    = act.slot;
        fact.value   = act.value;
        fact.part_mc = act.part_mc;
        fact.tool    = act.tool;
        fact.via     = act.via;
        judge(fact, act.at);
        return draft_of(about(act.at, actor), fact);
    }
    engine::Draft draft(const engine::Choose& act, const std::string& actor) const
    {
        return draft_of(about(act.at, actor), engine::ChoiceFact{{}, act.ask, act.option, true});
    }
    engine::Draft draft(const engine::GiveCode& act, const std::string& actor) const
    {
        return draft_of(about(act.at, actor), engine::CodeFact{{}, act.ask, act.text, act.via});
    }
    engine::Draft draft(const engine::KeepPhoto& act, const std::string& actor) const
    {
        return draft_of(about(act.at, actor),
                        engine::PhotoFact{{}, act.ask, engine::hex(engine::sha256(act.jpeg)), act.source},
                        engine::PhotoInfo{});
    }
    engine::Draft draft(const engine::CloseStep& act, const std::string& actor) const
    {
        const engine::StepStatus* const status = progress_.step(act.at);
        const auto assessment = status == nullptr ? engine::Assessment{} : status->assessment;
        return draft_of(about(act.at, actor),
                        engine::DoneFact{plan_.procedure_version, engine::kept_figures(assessment),
                                         assessment.verdict, assessment.verdict != engine::Verdict::inside});
    }
    engine::Draft draft(const engine::BackOff& act, const std::string& actor) const
    {
        return draft_of(about({"", act.pos}, actor), engine::BackOffFact{act.reason});
    }
    engine::Draft draft(const engine::ReportProblem& act, const std::string& actor) const
    {
        return draft_of(about(act.at, actor), engine::DeviationFact{{}, act.reason, act.skip});
    }
    engine::Draft draft(const engine::Decide& act, const std::string& actor) const
    {
        return draft_of(about(act.at, actor), engine::DecisionFact{{}, act.accept, act.reason},
                        engine::ids_of(step(act.at.key, act.at.pos).facts));
    }
    engine::Draft draft(const engine::Correct& act, const std::string& actor) const
    {
        for (const engine::StepStatus& status : progress_.steps)
            for (const engine::ReadingFact& reading : status.facts.readings)
                if (reading.at.id == act.entry_id) {
                    engine::CorrectionFact fact{act.entry_id, reading, act.reason};
                    fact.value.value = act.value;
                    judge(fact.value, status.ref);
                    return draft_of(about(status.ref, actor), fact);
                }
        engine::CorrectionFact fact{act.entry_id, {}, act.reason};
        fact.value.value = act.value;
        return draft_of(about({}, actor), fact);
    }
    engine::Draft draft(const engine::HandOver& act, const std::string& actor) const
    {
        return draft_of(about({}, actor), engine::HandOverFact{act.to_badge});
    }
    engine::Draft draft(const engine::Countersign&, const std::string& actor) const
    {
        return draft_of(about({}, actor),
                        engine::ReviewFact{true, {}, entries_.size(), engine::root_of(entries_)});
    }
    engine::Draft draft(const engine::SendBack& act, const std::string& actor) const
    {
        return draft_of(about({}, actor),
                        engine::ReviewFact{false, act.reason, entries_.size(), engine::root_of(entries_)});
    }

    engine::Draft draft(const engine::EndJob& act, const std::string& actor) const
    {
        return draft_of(about({}, actor), engine::EndFact{act.reason});
    }

    engine::Plan               plan_;
    engine::Catalogue          catalogue_;
    std::vector<engine::Entry> entries_;
    engine::Progress           progress_;
};

} // namespace support
