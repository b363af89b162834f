#pragma once
// Today's jobs: carry on with one tap.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct TodayState {
    int page = 0;
};

enum class JobMark { carry_on, held, not_started, waiting, closed };

struct JobRow {
    std::string number;      ///< also the script id: "job.2219"
    std::string title, line; ///< "Lime dryer fan 4", "A fixed: step 8 of 13, turn the nut · left 10:31"
    JobMark     mark = JobMark::not_started;
    std::string action; ///< "Carry on" | "Open" | "Read"
};

struct TodayView {
    Heading             heading;
    std::vector<JobRow> rows; ///< all, the one to carry on with first, then held, open, closed
    std::string         none; ///< what to say when there is no job
    std::string         settings, send_box, people, scan, scan_sub;
    std::string         space;        ///< low room on this tablet, in plain words; empty: enough
    bool                full = false; ///< no new job is begun
};

/// The jobs as they stand; a job whose plan cannot be built has its sentence as its line.
struct JobGlance {
    engine::Job                             job;
    std::shared_ptr<const engine::JobState> state; ///< null when it cannot be planned
    std::string                             trouble;
};

struct TodayAsk {
    enum class Kind { nothing, open, settings, send_box, people, scan } kind = Kind::nothing;
    std::string job;
};

[[nodiscard]] TodayView view_of(const ViewContext& context, const std::vector<JobGlance>& jobs);
[[nodiscard]] TodayAsk  draw(kit::Ui& ui, TodayState& state, const TodayView& view);

} // namespace field::screens
