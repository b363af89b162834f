// What the supervisor and the auditor ask: the shift with its exceptions, and the life of a bearing.
#include "engine/evidence/shift_query.h"
#include "engine/evidence/trace_query.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>

#include "tests/engine/evidence/told_job.h"

using namespace engine;
using support::ToldJob;

namespace {

Job line_numbered(const std::string& number, const std::string& asset)
{
    Job job    = support::job_of({{"BLOCK"}});
    job.number = number;
    job.asset  = asset;
    return job;
}

const Exception* find(const std::vector<Exception>& all, Finding finding)
{
    const auto at = std::ranges::find(all, finding, &Exception::finding);
    return at == all.end() ? nullptr : &*at;
}

/// A seat that is far too small: held when it is closed.
void measure_small(ToldJob& job)
{
    job.work_up_to({"seat", "A"});
    job.give({"seat", "A"}, "diameter");
    for (const auto& [name, slot] : std::vector(job.step({"seat", "A"}).missing))
        job.reads({"seat", "A"}, name, slot, "49.900");
}

std::string hash_of_newest_photo(const ToldJob& job)
{
    const auto  state = job.state();
    std::string hash;
    for (const auto& step : state->progress.steps)
        for (const auto& photo : step.facts.photos)
            hash = photo.sha256;
    return hash;
}

} // namespace

TEST_SUITE("engine/evidence/shift")
{
    TEST_CASE("a clean job has no exceptions, and asks for a countersign once it is done")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        CHECK(shift_of(told.bench(), {}).empty()); // planned is not worked
        told.work_to_the_end();
        auto shift = shift_of(told.bench(), {});
        REQUIRE(shift.size() == 1);
        CHECK(shift[0].exceptions.empty());
        CHECK(shift[0].done == shift[0].steps);
        CHECK(shift[0].people == std::vector<std::string>{ToldJob::kFitter});
        CHECK(shift[0].needs_decision);
        told.does(Countersign{ToldJob::kPin}, ToldJob::kSupervisor);
        shift = shift_of(told.bench(), {});
        CHECK_FALSE(shift[0].needs_decision);
        REQUIRE(shift[0].review);
        CHECK(shift[0].review->countersigned);
    }

    TEST_CASE("a shift holds the jobs touched between its two times, those with trouble first")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.finish({"isolate", ""});
        told.clock().advance_minutes(600);
        const auto evening = told.clock().now().wall_ms;
        told.plan(line_numbered("2", "LINE-2"));
        told.finish({"isolate", ""});
        told.plan(line_numbered("3", "LINE-3"));
        measure_small(told);
        REQUIRE_FALSE(told.act(CloseStep{{"seat", "A"}}));

        const auto both = shift_of(told.bench(), {});
        REQUIRE(both.size() == 3);
        CHECK(both[0].job.number == "3"); // a reading is outside
        CHECK(both[0].exceptions.front().finding == Finding::held);
        CHECK(both[1].job.number == "2"); // clean ones: the newest first
        CHECK(both[2].job.number == "1");
        const auto late = shift_of(told.bench(), {evening, evening + 3'600'000});
        REQUIRE(late.size() == 2);
        const auto early = shift_of(told.bench(), {0, evening - 1});
        REQUIRE(early.size() == 1);
        CHECK(early[0].job.number == "1");
    }

    TEST_CASE(
        "a seat out of limits is held, and once released it stays told as a deviation with its readings")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        measure_small(told);
        auto found = exceptions_of(told.bench(), *told.state());
        REQUIRE(find(found, Finding::held) != nullptr);
        CHECK(find(found, Finding::held)->sentence.find("seat at A") != std::string::npos);
        REQUIRE(find(found, Finding::outside) != nullptr);
        CHECK(find(found, Finding::outside)->value.has_value());
        CHECK(find(found, Finding::outside)->limits.has_value());
        CHECK(shift_of(told.bench(), {})[0].needs_decision);

        told.does(ReportProblem{{"seat", "A"}, "worn", false});
        told.does(Decide{{"seat", "A"}, true, "within_experience", ToldJob::kPin}, ToldJob::kSupervisor);
        told.does(CloseStep{{"seat", "A"}});
        found = exceptions_of(told.bench(), *told.state());
        CHECK(find(found, Finding::held) == nullptr);
        const Exception* const deviation = find(found, Finding::deviation);
        REQUIRE(deviation != nullptr);
        CHECK(deviation->what == "within_experience");
        CHECK(deviation->by.actor == ToldJob::kSupervisor);
        CHECK(std::ranges::is_sorted(found, {}, &Exception::finding)); // worst first
    }

    TEST_CASE("a nut that was loosened is told with its position and reason")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.work_up_to({"turn", "A"});
        told.does(BackOff{"A", "turned_too_far"});
        const auto             found    = exceptions_of(told.bench(), *told.state());
        const Exception* const back_off = find(found, Finding::back_off);
        REQUIRE(back_off != nullptr);
        CHECK(back_off->at.pos == "A");
        CHECK(back_off->sentence.find("went back to zero") != std::string::npos);
        CHECK(back_off->what == "turned_too_far");
    }

    TEST_CASE("a correction is told with the old value, and a photo this machine does not hold is named")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        measure_small(told);
        const auto state = told.state();
        const auto facts = state->progress.step({"seat", "A"})->facts;
        const auto wrong = std::ranges::find(facts.readings, "diameter", &ReadingFact::ask);
        REQUIRE(wrong != facts.readings.end());
        told.does(Correct{wrong->at.id, support::value("49.971", UnitOf::mm), "misread"});
        auto        found     = exceptions_of(told.bench(), *told.state());
        const auto* corrected = find(found, Finding::corrected);
        REQUIRE(corrected != nullptr);
        CHECK(corrected->sentence.find("49.900") != std::string::npos);
        CHECK(corrected->sentence.find("misread") != std::string::npos);
        CHECK(find(found, Finding::photo_missing) == nullptr);
        std::filesystem::remove(told.book().photos().path_of(hash_of_newest_photo(told)));
        found = exceptions_of(told.bench(), *told.state());
        REQUIRE(find(found, Finding::photo_missing) != nullptr);
        CHECK(find(found, Finding::photo_missing)->photo == hash_of_newest_photo(told));
    }

    TEST_CASE("a step that a supervisor let be skipped is told as skipped, with the reason it was asked for")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.work_up_to({"soft_foot", "A"});
        told.does(ReportProblem{{"soft_foot", "A"}, "tool_missing", true});
        auto found = exceptions_of(told.bench(), *told.state());
        REQUIRE(find(found, Finding::held) != nullptr);
        told.does(Decide{{"soft_foot", "A"}, true, "not_needed", ToldJob::kPin}, ToldJob::kSupervisor);
        found = exceptions_of(told.bench(), *told.state());
        REQUIRE(find(found, Finding::skipped) != nullptr);
        CHECK(find(found, Finding::skipped)->what == "tool_missing");
    }

    TEST_CASE("an entry that cannot be read is an exception of its job, not a hole in the shift")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.finish({"isolate", ""});
        Draft strange;
        strange.kind  = kind::reading;
        strange.job   = "1";
        strange.step  = "seat";
        strange.pos   = "A";
        strange.actor = ToldJob::kFitter;
        strange.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"ask", "diameter"}});
        REQUIRE(told.book().append(strange));
        const auto found = exceptions_of(told.bench(), *told.state());
        REQUIRE(find(found, Finding::broken_entry) != nullptr);
        CHECK_FALSE(find(found, Finding::broken_entry)->sentence.empty());
    }

    TEST_CASE("a job whose plan cannot be built is named beside the shift")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.finish({"isolate", ""});
        Job lost                         = line_numbered("9", "LINE-9");
        lost.positions.front().unit_code = "NO-SUCH";
        told.plan(lost);
        Draft deed;
        deed.kind  = kind::handover;
        deed.job   = "9";
        deed.actor = ToldJob::kFitter;
        deed.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"to", "F-12"}});
        REQUIRE(told.book().append(deed));
        std::vector<std::string> complaints;
        CHECK(shift_of(told.bench(), {}, &complaints).size() == 1);
        REQUIRE(complaints.size() == 1);
        CHECK(complaints[0].find("NO-SUCH") != std::string::npos);
    }

    TEST_CASE("every finding has a name of its own")
    {
        std::set<std::string_view> names;
        for (int i = 0; i <= static_cast<int>(Finding::corrected); ++i)
            names.insert(name_of(static_cast<Finding>(i)));
        CHECK(names.size() == 10);
    }
}

TEST_SUITE("engine/evidence/trace")
{
    TEST_CASE("a serial number leads to its position: readings, codes, photos, decisions, all proved")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        measure_small(told);
        told.does(ReportProblem{{"seat", "A"}, "worn", false});
        told.does(Decide{{"seat", "A"}, true, "within_experience", ToldJob::kPin}, ToldJob::kSupervisor);
        told.does(CloseStep{{"seat", "A"}});
        told.does(HandOver{"F-12"});
        told.work_up_to({"turn", "A"});
        told.does(BackOff{"A", "turned_too_far"});
        told.work_to_the_end();
        told.does(SendBack{"photo_unclear", ToldJob::kPin}, ToldJob::kSupervisor);

        const auto line = life_line(told.bench(), {TraceKey::By::serial, "SN-A1"});
        REQUIRE(line);
        REQUIRE(line->parts.size() == 1);
        const LifePart& part = line->parts.front();
        CHECK(part.positions == std::vector<std::string>{"A"});
        const auto says = [&](const std::string& what, const std::string& text) {
            return std::ranges::any_of(part.events, [&](const LifeEvent& event) {
                return event.what.starts_with(what) && event.text == text;
            });
        };
        CHECK(says("code serial", "SN-A1"));
        CHECK(says("decision", "accepted: within_experience"));
        CHECK(says("problem", "worn"));
        CHECK(says("handover", "F-12"));
        CHECK(says("back.off", "turned_too_far"));
        CHECK(says("done", "outside, by decision"));
        CHECK(says("done", "inside"));
        CHECK(std::ranges::any_of(part.events,
                                  [](const LifeEvent& event) { return event.reading.has_value(); }));
        CHECK(line->wholeness.whole);
        CHECK(line->wholeness.signatures == line->wholeness.entries);
        CHECK(line->wholeness.entries == part.events.size());
        CHECK(line->wholeness.photos > 0);
        CHECK(line->wholeness.photos_missing == 0);
    }

    TEST_CASE("a machine shows all its jobs, oldest first; a job shows itself alone; a stranger is not found")
    {
        ToldJob told(line_numbered("2", "LINE-1"));
        told.finish({"isolate", ""});
        told.clock().advance_minutes(600);
        told.plan(line_numbered("1", "LINE-1"));
        told.finish({"isolate", ""});
        told.plan(line_numbered("3", "LINE-3"));
        const auto machine = life_line(told.bench(), {TraceKey::By::asset, "LINE-1"});
        REQUIRE(machine);
        REQUIRE(machine->parts.size() == 2);
        CHECK(machine->parts[0].job.number == "2");
        CHECK(machine->parts[1].job.number == "1");
        const auto one = life_line(told.bench(), {TraceKey::By::job, "3"});
        REQUIRE(one);
        CHECK(one->parts.size() == 1);
        for (const TraceKey& key : {TraceKey{TraceKey::By::serial, "SN-NONE"},
                                    TraceKey{TraceKey::By::asset, "X"}, TraceKey{TraceKey::By::job, "77"}}) {
            const auto none = life_line(told.bench(), key);
            REQUIRE_FALSE(none);
            CHECK(none.error().fault == Fault::not_found);
            CHECK(none.error().message.find(key.value) != std::string::npos);
        }
    }

    TEST_CASE("a photo that is away is counted as missing, and one that was changed breaks the line by name")
    {
        ToldJob told(line_numbered("1", "LINE-1"));
        told.work_up_to({"seat", "A"});
        const auto photo = told.book().photos().path_of(hash_of_newest_photo(told));
        std::filesystem::rename(photo, photo.string() + ".away");
        auto line = life_line(told.bench(), {TraceKey::By::job, "1"});
        REQUIRE(line);
        CHECK(line->wholeness.photos_missing == 1);
        CHECK(line->wholeness.whole); // it may be on another machine
        std::filesystem::rename(photo.string() + ".away", photo);
        std::filesystem::permissions(photo, std::filesystem::perms::owner_all);
        std::filesystem::resize_file(photo, std::filesystem::file_size(photo) - 1);
        line = life_line(told.bench(), {TraceKey::By::job, "1"});
        REQUIRE(line);
        CHECK_FALSE(line->wholeness.whole);
        CHECK_FALSE(line->wholeness.first_break.empty());
    }
}
