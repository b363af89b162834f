#pragma once
// What to take along, worked out from the plan of the job: instruments of the right range and in calibration,
// tools, shims, consumables, lock and tag.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct KitListState {
    int page = 0;
};

struct KitLine {
    std::string what;   ///< "Micrometer 50 to 75 mm"
    std::string detail; ///< "M-07, calibration to 2027-03-31" or "none fits: ask the tool store"
    bool        trouble = false;
};

struct KitListView {
    Heading              heading;
    std::string          title;
    std::string          back, back_sub;
    std::vector<KitLine> lines;
};

enum class KitListAsk { nothing, back };

[[nodiscard]] KitListView view_of(const ViewContext& context, const engine::JobState& job,
                                  const KitListState& state);
[[nodiscard]] KitListAsk  draw(kit::Ui& ui, KitListState& state, const KitListView& view);

} // namespace field::screens
