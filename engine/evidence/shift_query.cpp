#include "engine/evidence/shift_query.h"

#include <algorithm>
#include <set>

namespace engine {
namespace {

std::string reading_name(const ReadingFact& reading)
{
    return reading.slot.empty() ? reading.ask : reading.ask + "/" + reading.slot;
}

std::string place(const StepRef& at)
{
    return at.pos.empty() ? at.key : at.key + " at " + at.pos;
}

std::string verdict_word(Verdict verdict)
{
    return verdict == Verdict::outside ? "outside its limit" : "undecided";
}

/// Gathers the exceptions of one job; every helper adds to the same list.
class Gatherer {
  public:
    Gatherer(Book& book, const JobState& state) : book_(&book), state_(&state) {}

    std::vector<Exception> all()
    {
        for (const StepStatus& step : state_->progress.steps)
            of_step(step);
        for (const PositionStatus& position : state_->progress.positions)
            of_position(position);
        for (const std::string& complaint : state_->progress.complaints) {
            Exception broken;
            broken.finding  = Finding::broken_entry;
            broken.sentence = complaint;
            found_.push_back(std::move(broken));
        }
        std::stable_sort(found_.begin(), found_.end(),
                         [](const Exception& a, const Exception& b) { return a.finding < b.finding; });
        return std::move(found_);
    }

  private:
    Exception start(Finding finding, const StepFacts& facts, const Signed& by)
    {
        Exception exception;
        exception.finding = finding;
        exception.at      = facts.ref;
        exception.by      = by;
        if (!facts.photos.empty()) exception.photo = facts.photos.back().sha256;
        return exception;
    }

    void of_step(const StepStatus& status)
    {
        const StepFacts& facts = status.facts;
        if (status.state == StepState::held) held(status);
        if (status.state == StepState::skipped) left_out(status);
        if (status.deviation) gone_on(status);
        for (const ReadingFact& reading : facts.readings)
            of_reading(facts, reading);
        if (facts.done) of_figures(status);
        of_problems(status);
        of_photos(facts);
    }

    void held(const StepStatus& status)
    {
        Exception exception = start(Finding::held, status.facts, newest(status.facts));
        exception.verdict   = status.assessment.verdict;
        exception.sentence  = "Step " + place(status.ref) + " waits for a decision";
        exception.sentence += status.assessment.sentence.empty() ? "." : ": " + status.assessment.sentence;
        found_.push_back(std::move(exception));
    }

    void left_out(const StepStatus& status)
    {
        Exception exception = start(Finding::skipped, status.facts, newest(status.facts));
        exception.what      = status.facts.problems.empty() ? "" : status.facts.problems.back().reason;
        exception.sentence  = "Step " + place(status.ref) + " was skipped by decision.";
        found_.push_back(std::move(exception));
    }

    void gone_on(const StepStatus& status)
    {
        const auto& decisions = status.facts.decisions;
        Exception   exception = start(Finding::deviation, status.facts,
                                    decisions.empty() ? newest(status.facts) : decisions.back().at);
        exception.what        = decisions.empty() ? "" : decisions.back().reason;
        exception.verdict     = status.assessment.verdict;
        exception.sentence    = "Step " + place(status.ref) + " was closed in spite of its verdict";
        exception.sentence += decisions.empty() ? "." : ", released by " + decisions.back().at.actor + ".";
        found_.push_back(std::move(exception));
    }

    void of_reading(const StepFacts& facts, const ReadingFact& reading)
    {
        if (reading.verdict != Verdict::inside) {
            const auto finding = reading.verdict == Verdict::outside ? Finding::outside : Finding::undecided;
            Exception  exception = start(finding, facts, reading.at);
            fill(exception, reading);
            exception.sentence = "Reading " + reading_name(reading) + " of step " + place(facts.ref) +
                                 " is " + verdict_word(reading.verdict) + ".";
            found_.push_back(std::move(exception));
        }
        if (!reading.struck.empty()) {
            Exception exception = start(Finding::corrected, facts, reading.struck.back().by);
            fill(exception, reading);
            exception.sentence = "Reading " + reading_name(reading) + " of step " + place(facts.ref) +
                                 " was corrected from " + reading.struck.back().text + " " +
                                 std::string(unit_symbol(reading.struck.back().unit)) + ": " +
                                 reading.struck.back().reason + ".";
            found_.push_back(std::move(exception));
        }
    }

    static void fill(Exception& exception, const ReadingFact& reading)
    {
        exception.what    = reading_name(reading);
        exception.value   = reading.value;
        exception.limits  = reading.limits;
        exception.u_si    = reading.u_si;
        exception.verdict = reading.verdict;
    }

    void of_figures(const StepStatus& status)
    {
        for (const Figure& figure : status.assessment.figures) {
            if (figure.verdict == Verdict::inside) continue;
            const auto finding   = figure.verdict == Verdict::outside ? Finding::outside : Finding::undecided;
            Exception  exception = start(finding, status.facts, newest(status.facts));
            exception.what       = figure.key;
            exception.figure     = true;
            exception.value      = Entered{fixed(from_si(figure.si, figure.unit), 3), figure.unit, figure.si};
            exception.limits     = figure.limits;
            exception.u_si       = figure.u_si;
            exception.verdict    = figure.verdict;
            exception.sentence   = "Figure " + figure.key + " of step " + place(status.ref) + " is " +
                                 verdict_word(figure.verdict) + ".";
            found_.push_back(std::move(exception));
        }
    }

    void of_problems(const StepStatus& status)
    {
        if (status.deviation || status.state == StepState::skipped || status.state == StepState::held) return;
        for (const DeviationFact& problem : status.facts.problems) {
            Exception exception = start(Finding::problem, status.facts, problem.at);
            exception.what      = problem.reason;
            exception.sentence  = "A problem was reported at step " + place(status.ref) + ".";
            found_.push_back(std::move(exception));
        }
    }

    void of_photos(const StepFacts& facts)
    {
        for (const PhotoFact& photo : facts.photos) {
            if (book_->photos().has(photo.sha256)) continue;
            Exception exception = start(Finding::photo_missing, facts, photo.at);
            exception.what      = photo.ask;
            exception.photo     = photo.sha256;
            exception.sentence =
                "The photo " + photo.ask + " of step " + place(facts.ref) + " is not on this machine yet.";
            found_.push_back(std::move(exception));
        }
    }

    void of_position(const PositionStatus& position)
    {
        for (const PastAttempt& attempt : position.past) {
            Exception exception;
            exception.finding  = Finding::back_off;
            exception.at.pos   = position.letter;
            exception.by       = attempt.back_off;
            exception.what     = attempt.reason;
            exception.sentence = "The nut at " + position.letter + " was loosened; attempt " +
                                 std::to_string(attempt.number) +
                                 " ended there and the position went back to zero.";
            found_.push_back(std::move(exception));
        }
    }

    static Signed newest(const StepFacts& facts)
    {
        Signed     best;
        const auto take = [&best](const Signed& one) {
            if (one.wall_ms >= best.wall_ms) best = one;
        };
        for (const auto& fact : facts.readings)
            take(fact.at);
        for (const auto& fact : facts.choices)
            take(fact.at);
        for (const auto& fact : facts.photos)
            take(fact.at);
        for (const auto& fact : facts.problems)
            take(fact.at);
        if (facts.done) take(*facts.done);
        return best;
    }

    Book*                  book_;
    const JobState*        state_;
    std::vector<Exception> found_;
};

bool is_deed(const Entry& entry)
{
    return !entry.said.job.empty() && entry.said.kind != kind::job_open;
}

ShiftJob summary_of(const Workbench& bench, const JobState& state)
{
    ShiftJob shift;
    shift.job          = state.plan.job;
    shift.people       = state.progress.people;
    shift.done         = state.progress.done_count();
    shift.steps        = state.progress.steps.size();
    shift.closed       = state.progress.closed;
    shift.last_wall_ms = state.progress.last_wall_ms;
    if (!state.entries.empty()) shift.tz_min = state.entries.back().tz_min;
    shift.review         = state.progress.review;
    shift.exceptions     = exceptions_of(bench, state);
    const bool held      = std::any_of(shift.exceptions.begin(), shift.exceptions.end(),
                                       [](const Exception& e) { return e.finding == Finding::held; });
    const bool finished  = shift.steps > 0 && shift.done == shift.steps;
    const bool reviewed  = shift.review && !shift.review->older_than_record;
    shift.ended          = state.progress.ended;
    shift.needs_decision = !shift.ended && (held || (finished && !reviewed));
    return shift;
}

/// What waits for somebody comes before what is only to be known, and what is signed comes last.
int rank_of(const ShiftJob& shift)
{
    const bool held = std::any_of(shift.exceptions.begin(), shift.exceptions.end(),
                                  [](const Exception& one) { return one.finding == Finding::held; });
    if (held) return 0;
    if (shift.needs_decision) return 1;
    const bool signed_off = shift.review && shift.review->countersigned && !shift.review->older_than_record;
    return signed_off ? 3 : 2;
}

bool weighs_more(const ShiftJob& a, const ShiftJob& b)
{
    if (rank_of(a) != rank_of(b)) return rank_of(a) < rank_of(b);
    if (a.exceptions.empty() != b.exceptions.empty()) return !a.exceptions.empty();
    if (!a.exceptions.empty()) {
        const auto worst_a = a.exceptions.front().finding;
        const auto worst_b = b.exceptions.front().finding;
        if (worst_a != worst_b) return worst_a < worst_b;
        if (a.exceptions.size() != b.exceptions.size()) return a.exceptions.size() > b.exceptions.size();
    }
    if (a.last_wall_ms != b.last_wall_ms) return a.last_wall_ms > b.last_wall_ms;
    return a.job.number < b.job.number;
}

} // namespace

std::string_view name_of(Finding finding)
{
    switch (finding) {
    case Finding::held:
        return "held";
    case Finding::broken_entry:
        return "broken_entry";
    case Finding::outside:
        return "outside";
    case Finding::undecided:
        return "undecided";
    case Finding::deviation:
        return "deviation";
    case Finding::skipped:
        return "skipped";
    case Finding::back_off:
        return "back_off";
    case Finding::photo_missing:
        return "photo_missing";
    case Finding::problem:
        return "problem";
    case Finding::corrected:
        return "corrected";
    }
    return "held";
}

std::vector<Exception> exceptions_of(const Workbench& bench, const JobState& state)
{
    return Gatherer(bench.book(), state).all();
}

std::vector<ShiftJob> shift_of(const Workbench& bench, TimeWindow window,
                               std::vector<std::string>* complaints)
{
    std::set<std::string> numbers;
    for (const Entry& entry : bench.book().entries_between(window.from_ms, window.to_ms))
        if (is_deed(entry)) numbers.insert(entry.said.job);
    std::vector<ShiftJob> jobs;
    for (const std::string& number : numbers) {
        const auto state = bench.job(number);
        if (state)
            jobs.push_back(summary_of(bench, **state));
        else if (complaints != nullptr)
            complaints->push_back(state.error().message);
    }
    std::sort(jobs.begin(), jobs.end(), weighs_more);
    return jobs;
}

} // namespace engine
