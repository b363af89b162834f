#pragma once
// The job while its entries are read one after the other. Inner to progress_of.
#include "engine/procedure/facts_codec.h"
#include "engine/procedure/progress.h"

#include <set>

namespace engine {

class JobLedger {
  public:
    JobLedger(const Plan& plan, const Catalogue& catalogue);

    /// `before`: the entries that stand before it in shown order.
    void take(const Entry& entry, std::span<const Entry> before);

    [[nodiscard]] Progress close_books();

  private:
    struct Line {
        const PlanStep*          planned = nullptr;
        StepFacts*               facts   = nullptr; ///< in facts_
        std::vector<std::size_t> needs;
        bool                     skipped = false, deviation = false;
        bool                     problem_open = false; ///< asked, not answered, nothing measured since
        std::size_t              closed_at    = 0;     ///< place of the done entry; 0: none

        [[nodiscard]] bool closed() const { return skipped || facts->done.has_value(); }
    };
    enum class Change { measured, other };

    // What each kind does; the answer is why it does not count, if it does not.
    [[nodiscard]] Status take_reading(const Entry& entry);
    [[nodiscard]] Status take_choice(const Entry& entry);
    [[nodiscard]] Status take_code(const Entry& entry);
    [[nodiscard]] Status take_photo(const Entry& entry);
    [[nodiscard]] Status take_done(const Entry& entry);
    [[nodiscard]] Status take_problem(const Entry& entry);
    [[nodiscard]] Status take_decision(const Entry& entry);
    [[nodiscard]] Status take_correction(const Entry& entry);
    [[nodiscard]] Status take_back_off(const Entry& entry);
    [[nodiscard]] Status take_hand_over(const Entry& entry);
    [[nodiscard]] Status take_end(const Entry& entry);
    [[nodiscard]] Status take_review(const Entry& entry, std::span<const Entry> before);

    [[nodiscard]] Status by_kind(const Entry& entry, std::span<const Entry> before);

    [[nodiscard]] Result<Line*> line_of(const Entry& entry);
    [[nodiscard]] Result<Line*>
    workable(const Entry& entry); ///< known, right attempt, neither waiting nor closed
    [[nodiscard]] Result<Line*>        measurable(const Entry& entry); ///< workable, and the job not closed
    [[nodiscard]] Result<Line*>        lockable(const Entry& entry);   ///< measurable, or another lock
    [[nodiscard]] Result<Line*>        showable(const Entry& entry);   ///< lockable, or closed and sent back
    [[nodiscard]] Result<const Ask*>   ask_of(const Line& line, const std::string& name, AskKind kind) const;
    [[nodiscard]] int                  attempt_at(const StepRef& ref) const;
    [[nodiscard]] std::vector<StepRef> waits_for(const Line& line) const; ///< nearest undone needs
    [[nodiscard]] Assessment           assessment_of(const Line& line) const;
    [[nodiscard]] bool          undecided_need(const Line& line) const; ///< needs a decision and has none
    [[nodiscard]] bool          job_closed() const;
    [[nodiscard]] Status        close(Line& line, const Entry& entry, const DoneFact& done);
    void                        strike(Line& line, ReadingFact& reading, const CorrectionFact& correction);
    static void                 changed(Line& line, Change change);
    [[nodiscard]] static Change change_by_proof(const Line& line); ///< of a photo or code
    [[nodiscard]] std::set<std::size_t> thrown_back_by(const std::string& pos) const;
    [[nodiscard]] PositionStatus*       position(const std::string& letter);
    [[nodiscard]] StepStatus            status_of(const Line& line) const;
    void                                finish_positions();
    void                                seen(const Entry& entry);

    const Plan*                    plan_;
    const Catalogue*               catalogue_;
    FactsByStep                    facts_;
    std::vector<Line>              lines_;
    std::map<StepRef, std::size_t> index_;
    Progress                       progress_;
    std::size_t                    after_end_ = 0; ///< entries that came after the job was ended
    std::size_t                    place_     = 0; ///< of the entry taken now, from 1
};

} // namespace engine
