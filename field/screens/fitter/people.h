#pragma once
// Who holds the tablet: badge tiles. First start and hand over.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct PeopleState {
    std::string badge; ///< picked
    int         page = 0;
};

struct PeopleView {
    std::string                                      back, none;
    Heading                                          heading;
    std::string                                      title, instruction;
    std::vector<std::pair<std::string, std::string>> badges; ///< badge, role words; script id "badge.112"
    std::string                                      main_title, main_sub;
    bool                                             main_on = false, may_leave = false;
};

enum class PeopleAsk { nothing, back, take };

[[nodiscard]] PeopleView view_of(const ViewContext& context, const PeopleState& state);
[[nodiscard]] PeopleAsk  draw(kit::Ui& ui, PeopleState& state, const PeopleView& view);

} // namespace field::screens
