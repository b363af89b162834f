#pragma once
// Carries out a whole job by the rules, as a fitter and a supervisor would, for the demo book.
#include "field/cli/demo_clock.h"
#include "field/cli/demo_values.h"

namespace field::cli {

struct DemoPeople {
    std::string fitter, supervisor, pin; ///< badges; PIN of the supervisor
};

struct DemoJob {
    std::string                number;
    DemoPeople                 people;
    std::vector<DemoFault>     faults;
    std::optional<std::size_t> stop_after; ///< steps done when the fitter is called away; absent: to the end
    bool                       countersign = true;
};

class DemoPlayer {
  public:
    /// All must outlive the player.
    DemoPlayer(engine::Workbench& bench, DemoClock& clock, DemoDice& dice)
        : bench_(&bench), clock_(&clock), dice_(&dice)
    {
    }

    /// Fails with the sentence of the first refusal that was not planned.
    [[nodiscard]] engine::Status play(const DemoJob& job);

  private:
    [[nodiscard]] engine::Status step(const DemoJob& job, const engine::JobState& state);
    [[nodiscard]] engine::Status give(const DemoJob& job, const engine::JobState& state,
                                      const engine::StepRef& at, const std::string& ask,
                                      const std::string& slot);
    [[nodiscard]] engine::Status answer(const DemoJob& job, const engine::StepRef& at,
                                        const engine::Ask& ask);
    [[nodiscard]] engine::Status decide(const DemoJob& job, const engine::StepStatus& held);
    [[nodiscard]] engine::Status act(const DemoJob& job, const std::string& who, const engine::Act& act);
    [[nodiscard]] bool           backs_off(const DemoJob& job, const engine::JobState& state,
                                           const engine::StepRef& at) const;

    engine::Workbench* bench_;
    DemoClock*         clock_;
    DemoDice*          dice_;
};

} // namespace field::cli
