#pragma once
// The rules, one overload an act. Inner to `allowed` (act.h).
#include "engine/procedure/act.h"

namespace engine {

class Rules {
  public:
    struct Asked {
        const Plan&        plan;
        const Catalogue&   catalogue;
        const Progress&    progress;
        const std::string& actor;
        const std::string& today; ///< ISO date
    };
    explicit Rules(Asked asked) : asked_(asked) {}

    // rules_readings.cpp
    [[nodiscard]] Status operator()(const TakeReading& act) const;
    [[nodiscard]] Status operator()(const Correct& act) const;
    [[nodiscard]] Status operator()(const Choose& act) const;
    [[nodiscard]] Status operator()(const GiveCode& act) const;
    [[nodiscard]] Status operator()(const KeepPhoto& act) const;
    // rules_steps.cpp
    [[nodiscard]] Status operator()(const CloseStep& act) const;
    [[nodiscard]] Status operator()(const BackOff& act) const;
    [[nodiscard]] Status operator()(const ReportProblem& act) const;
    // rules_people.cpp
    [[nodiscard]] Status operator()(const Decide& act) const;
    [[nodiscard]] Status operator()(const HandOver& act) const;
    [[nodiscard]] Status operator()(const Countersign& act) const;
    [[nodiscard]] Status operator()(const SendBack& act) const;
    [[nodiscard]] Status operator()(const EndJob& act) const;

  private:
    /// Fitters and supervisors work on a job; planners and auditors look.
    [[nodiscard]] Status may_work() const;
    /// A supervisor whose PIN fits.
    [[nodiscard]] Status may_decide(const std::string& pin, const std::string& what) const;
    /// Known and neither waiting nor closed.
    [[nodiscard]] Result<const StepStatus*> workable(const StepRef& at) const;
    /// As `workable`, and the job still takes facts there.
    [[nodiscard]] Result<const StepStatus*> measurable(const StepRef& at) const;
    /// measurable, or isolated by somebody else: each person at the machine locks it.
    [[nodiscard]] Result<const StepStatus*> lockable(const StepRef& at) const;
    /// lockable, or closed in a record that was sent back.
    [[nodiscard]] Result<const StepStatus*> showable(const StepRef& at) const;
    [[nodiscard]] Result<const Ask*> ask_at(const StepRef& at, const std::string& name, AskKind kind) const;
    [[nodiscard]] Status             instrument_fits(const StepRef& at, const Ask& ask, const Entered& value,
                                                     const std::string& tag) const;
    [[nodiscard]] Status             value_can_be(const StepRef& at, const Ask& ask, const std::string& slot,
                                                  const Entered& value) const;
    /// Nobody decides on, or reviews, what they gave themselves.
    [[nodiscard]] bool gave_any_fact() const;

    Asked asked_;
};

/// "Bolt down at B is refused: " + why + " (rule 4: bolts stay loose until every nut is locked)."
[[nodiscard]] Failure refusal(const StepRef& at, const std::string& why, const std::string& rule_id);

/// How every refusal for a wrong PIN ends.
[[nodiscard]] std::string pin_misfit(const std::string& badge);

/// Number in the list of the trade (DEVELOPERS.md) and one clause; number 0: good order, no rule of the list.
struct RuleWords {
    int              number = 0;
    std::string_view id, clause;
};
[[nodiscard]] const RuleWords* rule_words(std::string_view id);

namespace rule_id {
inline constexpr const char* kLockout    = "lockout";
inline constexpr const char* kInOrder    = "in_order";
inline constexpr const char* kNoTurnBack = "turn";
inline constexpr const char* kRecord     = "record";
inline constexpr const char* kDecision   = "decision";
inline constexpr const char* kSheet      = "sheet";
inline constexpr const char* kNeeds      = "needs";
} // namespace rule_id

} // namespace engine
