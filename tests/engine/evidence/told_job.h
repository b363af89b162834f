#pragma once
// A job told through the one door: a real book, the workbench, a fitter and two supervisors of the invented
// plant.
#include "engine/book/book.h"
#include "engine/book/catalogue_codec.h"
#include "engine/procedure/workbench.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/fake_clock.h"
#include "tests/support/job_entries.h"
#include "tests/support/picture.h"
#include "tests/support/temp_folder.h"

namespace support {

class ToldJob {
  public:
    static constexpr const char* kFitter     = "F-11";
    static constexpr const char* kSupervisor = "S-21";
    static constexpr const char* kPin        = "2100";

    explicit ToldJob(const engine::Job& job)
        : book_(open(folder_.path() / "told.book", clock_)), bench_(book_, procedure(), clock_)
    {
        static const std::string check          = *engine::pin_check_of(kPin);
        auto                     catalogue      = plant();
        catalogue.people[kSupervisor].pin_check = check;
        for (const auto& [badge, person] : catalogue.people)
            REQUIRE(book_.append(draft_of(person, "P-31")));
        for (const auto& [code, unit] : catalogue.units)
            REQUIRE(book_.append(draft_of(unit, "P-31")));
        for (const auto& [tag, instrument] : catalogue.instruments)
            REQUIRE(book_.append(draft_of(instrument, "P-31")));
        plan(job);
    }
    /// Another job of the same book; `number` says of which the acts speak from now on.
    void plan(const engine::Job& job)
    {
        number_ = job.number;
        REQUIRE(book_.append(draft_of(job, "P-31")));
    }

    engine::Book&                                         book() { return book_; }
    engine::Workbench&                                    bench() { return bench_; }
    FakeClock&                                            clock() { return clock_; }
    [[nodiscard]] std::shared_ptr<const engine::JobState> state() const
    {
        const auto job = bench_.job(number_);
        REQUIRE(job);
        return *job;
    }
    [[nodiscard]] const engine::StepStatus& step(const engine::StepRef& at) const
    {
        const auto* const found = state()->progress.step(at);
        REQUIRE(found != nullptr);
        return *found;
    }

    engine::Result<engine::Kept> act(const engine::Act& act, const std::string& actor = kFitter)
    {
        clock_.advance_minutes(1);
        return bench_.carry_out(number_, actor, act);
    }
    std::string does(const engine::Act& one, const std::string& actor = kFitter)
    {
        const auto kept = act(one, actor);
        REQUIRE_MESSAGE(kept.has_value(), (kept ? std::string{} : kept.error().message));
        return kept->id;
    }
    std::string reads(const engine::StepRef& at, const std::string& ask, const std::string& slot,
                      const std::string& text)
    {
        const auto          now  = state();
        const engine::Step& row  = now->plan.find(at)->step;
        const engine::Ask&  what = *std::ranges::find(row.asks, ask, &engine::Ask::name);
        return does(engine::TakeReading{at, ask, slot, value(text, what.units.front()), good_tool(what),
                                        20000, "typed"});
    }
    /// All that the step misses, but for `but`.
    void give(const engine::StepRef& at, const std::string& but = {})
    {
        const auto                now = state();
        const engine::Step&       row = now->plan.find(at)->step;
        const engine::StepStatus& is  = *now->progress.step(at);
        for (const auto& [name, slot] : is.missing) {
            if (name == but) continue;
            const engine::Ask& ask = *std::ranges::find(row.asks, name, &engine::Ask::name);
            if (ask.kind == engine::AskKind::reading)
                reads(at, name, slot, good_text(ask));
            else if (ask.kind == engine::AskKind::choice)
                does(engine::Choose{at, name, ask.options.front().value});
            else if (ask.kind == engine::AskKind::code)
                does(engine::GiveCode{at, name, "SN-" + at.pos + "1", "scan"});
            else
                does(engine::KeepPhoto{at, name, numbered_jpeg(++photos_), "test"});
        }
    }
    void finish(const engine::StepRef& at)
    {
        give(at);
        does(engine::CloseStep{at});
    }
    void work_up_to(const engine::StepRef& at)
    {
        for (auto next = state()->progress.next; next && *next != at; next = state()->progress.next)
            finish(*next);
        REQUIRE(state()->progress.next.has_value());
    }
    void work_to_the_end()
    {
        for (auto next = state()->progress.next; next; next = state()->progress.next)
            finish(*next);
    }

  private:
    static engine::Book open(const std::filesystem::path& file, const engine::Clock& clock)
    {
        auto book = engine::Book::open(file, clock, {});
        REQUIRE(book);
        return *std::move(book);
    }

    TempFolder        folder_;
    FakeClock         clock_;
    engine::Book      book_;
    engine::Workbench bench_;
    std::string       number_;
    int               photos_ = 0;
};

} // namespace support
