#include "engine/procedure/workbench.h"

#include "engine/book/catalogue_codec.h"
#include "engine/book/pin_tries.h"
#include "engine/procedure/facts_codec.h"
#include "engine/procedure/rules.h"

#include <algorithm>
#include <utility>

namespace engine {
namespace {

std::string iso_date(const Instant& now)
{
    constexpr std::size_t kLengthOfDate = 10;
    return iso_time(now.wall_ms, now.tz_min).substr(0, kLengthOfDate);
}

/// The present attempt a fact of this place belongs to (RECORD.md, "attempt").
int attempt_at(const Progress& progress, const StepRef& at)
{
    if (!at.pos.empty()) {
        const PositionStatus* const position = progress.position(at.pos);
        return position == nullptr ? 1 : position->attempt;
    }
    int attempt = 1;
    for (const PositionStatus& position : progress.positions)
        attempt += static_cast<int>(position.past.size());
    return attempt;
}

/// Turns one allowed act into the entry that says it. One overload an act.
class Drafting {
  public:
    Drafting(Book& book, const JobState& state, std::string actor)
        : book_(&book), state_(&state), actor_(std::move(actor))
    {
    }

    Result<Draft> operator()(const TakeReading& act) const
    {
        ReadingFact fact;
        fact.ask     = act.ask;
        fact.slot    = act.slot;
        fact.value   = act.value;
        fact.part_mc = act.part_mc;
        fact.tool    = act.tool;
        fact.via     = act.via;
        judge(fact, act.at);
        return draft_of(about(act.at), fact);
    }

    Result<Draft> operator()(const Choose& act) const
    {
        ChoiceFact fact;
        fact.ask    = act.ask;
        fact.option = act.option;
        return draft_of(about(act.at), fact);
    }

    Result<Draft> operator()(const GiveCode& act) const
    {
        CodeFact fact;
        fact.ask  = act.ask;
        fact.text = act.text;
        fact.via  = act.via;
        return draft_of(about(act.at), fact);
    }

    /// The photo is durable before there is an entry that names it.
    Result<Draft> operator()(const KeepPhoto& act) const
    {
        const auto kept = book_->photos().keep_at_any_cost(act.jpeg);
        if (!kept) return kept.failure();
        PhotoFact fact;
        fact.ask    = act.ask;
        fact.sha256 = kept->sha256;
        fact.source = act.source;
        return draft_of(about(act.at), fact, *kept);
    }

    Result<Draft> operator()(const CloseStep& act) const
    {
        const StepStatus* const step = state_->progress.step(act.at);
        if (step == nullptr) return no_such_step(act.at);
        DoneFact fact;
        fact.procedure = state_->plan.procedure_version;
        fact.figures   = kept_figures(step->assessment);
        fact.verdict   = step->assessment.verdict;
        fact.deviation = fact.verdict != Verdict::inside;
        return draft_of(about(act.at), fact);
    }

    Result<Draft> operator()(const BackOff& act) const
    {
        return draft_of(about({"", act.pos}), BackOffFact{act.reason});
    }

    Result<Draft> operator()(const ReportProblem& act) const
    {
        DeviationFact fact;
        fact.reason = act.reason;
        fact.skip   = act.skip;
        return draft_of(about(act.at), fact);
    }

    Result<Draft> operator()(const Decide& act) const
    {
        const StepStatus* const step = state_->progress.step(act.at);
        if (step == nullptr) return no_such_step(act.at);
        DecisionFact fact;
        fact.accept = act.accept;
        fact.reason = act.reason;
        return draft_of(about(act.at), fact, ids_of(step->facts));
    }

    Result<Draft> operator()(const Correct& act) const
    {
        for (const StepStatus& step : state_->progress.steps) {
            const auto& readings = step.facts.readings;
            const auto  older =
                std::ranges::find(readings, act.entry_id, [](const ReadingFact& fact) { return fact.at.id; });
            if (older == readings.end()) continue;
            CorrectionFact fact;
            fact.target      = act.entry_id;
            fact.reason      = act.reason;
            fact.value       = *older;
            fact.value.value = act.value;
            judge(fact.value, step.ref);
            return draft_of(about(step.ref), fact);
        }
        return failure(Fault::not_found, "There is no reading " + act.entry_id.substr(0, 16) +
                                             " among the present readings of job " + state_->plan.job.number +
                                             ".");
    }

    Result<Draft> operator()(const HandOver& act) const
    {
        return draft_of(about({}), HandOverFact{act.to_badge});
    }

    Result<Draft> operator()(const Countersign&) const { return draft_of(about({}), review(true, {})); }

    Result<Draft> operator()(const SendBack& act) const
    {
        return draft_of(about({}), review(false, act.reason));
    }

    Result<Draft> operator()(const EndJob& act) const { return draft_of(about({}), EndFact{act.reason}); }

  private:
    [[nodiscard]] About about(const StepRef& at) const
    {
        return {state_->plan.job.number, actor_, at, attempt_at(state_->progress, at)};
    }

    /// Rule 8: limits and where they came from, uncertainty, verdict.
    void judge(ReadingFact& fact, const StepRef& at) const
    {
        const Instrument* const tool = book_->catalogue().instrument(fact.tool);
        fact.limits  = limits_of_reading(state_->plan, state_->progress.facts(), at, fact.ask, fact.slot,
                                         fact.value.unit);
        fact.u_si    = uncertainty_of_reading(fact.value, tool, fact.part_mc);
        fact.verdict = verdict_of_reading(fact.value.si, fact.u_si, fact.limits);
    }

    [[nodiscard]] ReviewFact review(bool countersigned, const std::string& reason) const
    {
        ReviewFact fact;
        fact.countersigned = countersigned;
        fact.reason        = reason;
        fact.count         = state_->entries.size();
        fact.root          = root_of(state_->entries);
        return fact;
    }

    [[nodiscard]] Failure no_such_step(const StepRef& at) const
    {
        return failure(Fault::not_found, "Job " + state_->plan.job.number + " has no step " + at.key +
                                             (at.pos.empty() ? "" : " at " + at.pos) + ".");
    }

    Book*           book_;
    const JobState* state_;
    std::string     actor_;
};

} // namespace

namespace {

/// Of the acts a person signs; empty for the others.
std::string pin_of(const Act& act)
{
    return std::visit(
        [](const auto& what) -> std::string {
            if constexpr (requires { what.pin; })
                return what.pin;
            else
                return {};
        },
        act);
}

} // namespace

Workbench::Workbench(Book& book, const Procedure& procedure, const Clock& clock)
    : book_(&book), procedure_(&procedure), clock_(&clock)
{
}

namespace {

/// Told wherever the job is shown: the record stands under what it was opened as.
std::string other_opening(const Entry& other, const Job& counts)
{
    Catalogue said;
    (void)add_to_catalogue(said, other);
    const Job* const job = said.job(other.said.job);
    return "Job " + counts.number + " was opened again by badge " + other.said.actor + " on machine " +
           other.dev.substr(0, 16) + " as " +
           (job == nullptr ? std::string("something that cannot be read")
                           : job->title + ", machine " + job->asset) +
           "; it stays " + counts.title + ", machine " + counts.asset +
           ". Give the other job a number of its own.";
}

} // namespace

Result<std::shared_ptr<const JobState>> Workbench::job(const std::string& number) const
{
    const std::uint64_t version = book_->version_of_job(number);
    const auto          cached  = cache_.find(number);
    if (cached != cache_.end() && cached->second.version == version && cached->second.state != nullptr)
        return cached->second.state;

    const Catalogue& catalogue = book_->catalogue();
    const Job* const job       = catalogue.job(number);
    if (job == nullptr) return failure(Fault::not_found, "There is no job '" + number + "' in this book.");
    auto entries = book_->entries_of_job(number);
    auto plan    = build_plan(*job, catalogue, *procedure_, papers_settled(entries));
    if (!plan) return plan.failure();

    auto state      = std::make_shared<JobState>();
    state->plan     = *std::move(plan);
    state->entries  = std::move(entries);
    state->progress = progress_of(state->plan, catalogue, state->entries);
    for (const Entry& other : book_->openings_that_do_not_count(number))
        state->progress.complaints.push_back(other_opening(other, *job));
    std::shared_ptr<const JobState> shared = std::move(state);
    cache_[number]                         = {version, shared};
    return shared;
}

Result<Kept> Workbench::carry_out(const std::string& job_number, const std::string& actor, const Act& act)
{
    const auto state = job(job_number);
    if (!state) return state.failure();
    const JobState&   now = **state;
    const std::string pin = pin_of(act);
    if (!pin.empty())
        if (const Status may = may_try_pin(*book_, actor, *clock_); !may) return may.failure();
    if (const Status may =
            allowed(now.plan, book_->catalogue(), now.progress, actor, act, iso_date(clock_->now()));
        !may) {
        const bool wrong_pin = !pin.empty() && may.error().message.ends_with(pin_misfit(actor));
        return wrong_pin ? after_wrong_pin(*book_, actor, *clock_, may.error()) : may.failure();
    }
    const auto said = std::visit(Drafting(*book_, now, actor), act);
    if (!said) return said.failure();
    // A decision of an enrolled plant carries the person's own signature over what it covers.
    const auto draft = book_->signed_by_person(*said, pin);
    if (!draft) return draft.failure();
    const std::uint64_t before = book_->version();
    auto                kept   = book_->append(*draft);
    if (kept) remember(job_number, before, now, kept->id);
    return kept;
}

void Workbench::remember(const std::string& number, std::uint64_t before, const JobState& now,
                         const std::string& id)
{
    const auto added = book_->entry(id);
    // Only when nothing else came in between does the old state and this one entry make the new state.
    if (!added || book_->version() != before + 1) return;
    auto state = std::make_shared<JobState>(JobState{now.plan, {}, now.entries});
    state->entries.push_back(*added);
    state->progress = progress_of(state->plan, book_->catalogue(), state->entries);
    cache_[number]  = {book_->version_of_job(number), std::move(state)};
}

} // namespace engine
