#pragma once
// Progress of a job: one pure function over its entries. Which step is open, what closes it, what throws it
// back.
#include "engine/procedure/assess.h"

#include <span>

namespace engine {

enum class StepState {
    waiting, ///< something before it is not done
    open,    ///< may be worked on now
    held,    ///< all is there, but it needs another person's decision (or another measurement)
    done,
    skipped ///< by reason and decision
};

struct StepStatus {
    StepRef                                          ref;
    StepState                                        state = StepState::waiting;
    std::vector<StepRef>                             waits_for; ///< waiting: the nearest undone needs
    std::vector<std::pair<std::string, std::string>> missing;   ///< open: (ask, slot) still to give, in order
    Assessment                                       assessment;
    bool      deviation = false; ///< closed in spite of a verdict, by decision
    StepFacts facts;
};

struct PastAttempt {
    int                    number = 1;
    Signed                 back_off; ///< the entry that ended it
    std::string            reason;
    std::vector<StepFacts> steps;
};

struct PositionStatus {
    std::string              letter;
    int                      attempt = 1;
    std::vector<PastAttempt> past;
    std::optional<Degrees>   turned;         ///< recorded angle of this attempt; never decreases
    bool                     locked = false; ///< lock step done
    std::string              serial;         ///< as read at the machine, else as planned
};

struct Progress {
    std::vector<StepStatus>     steps;     ///< in plan order
    std::vector<PositionStatus> positions; ///< in shaft order
    std::optional<StepRef>      next;      ///< first open or held step in plan order
    bool                        started = false, closed = false;
    std::string                 fitter; ///< badge that works on it now
    std::vector<std::string>    people; ///< all badges, first seen first
    std::int64_t                last_wall_ms = 0;
    std::optional<StepRef>      last_done;
    struct Review {
        Signed        at;
        bool          countersigned = false;
        std::string   reason;
        std::uint64_t covered           = 0;
        bool          older_than_record = false;
        bool worked_since = false; ///< something was measured, chosen, shown, closed or decided after it
    };
    std::optional<Review> review; ///< newest countersign or return
    struct Ended {
        Signed      at;
        std::string reason;
    };
    std::optional<Ended> ended; ///< the job is not gone on with
    std::vector<std::string>
        complaints; ///< entries that could not be read or had no right to be there; shown, never hidden

    [[nodiscard]] const StepStatus*     step(const StepRef& ref) const;
    [[nodiscard]] const PositionStatus* position(const std::string& letter) const;
    [[nodiscard]] std::size_t           done_count() const; ///< done or skipped
    [[nodiscard]] FactsByStep           facts() const;
};

/// Sent back by a supervisor, and not countersigned since.
[[nodiscard]] inline bool is_returned(const Progress& progress)
{
    return progress.review && !progress.review->countersigned;
}

/// Attempt a new entry at this step belongs to (RECORD.md, attempt).
[[nodiscard]] int attempt_of(const Progress& progress, const StepRef& at);

/// Entries in shown order. The same entries give the same progress on every machine.
[[nodiscard]] Progress progress_of(const Plan& plan, const Catalogue& catalogue,
                                   std::span<const Entry> entries);

} // namespace engine
