#pragma once
// Who belongs to the plant: those who wait to be enrolled first, then the machines and persons of the list.
#include "field/kit/ui.h"
#include "field/look/symbols.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct MembersState {
    int         page = 0;
    std::string notice; ///< what was done last
};

struct MemberRow {
    std::string
        id; ///< for scripts: "machine.T-07", "badge.205"; the key's first figures when a name comes twice
    look::Symbol     symbol = look::Symbol::none;
    std::string      title, second;
    share::EnrolCode code;
};

struct MembersView {
    Heading                heading;
    std::string            title, note, back, again;
    std::vector<MemberRow> rows;
    std::string            main_title, main_sub;
    bool                   main_on = false, looking = false;
};

struct MembersAsk {
    enum class Kind { nothing, back, look, scan, open } kind = Kind::nothing;
    share::EnrolCode code; ///< of the row that was opened
};

[[nodiscard]] MembersView view_of(const ViewContext& context, const PlantGlance& plant,
                                  const MembersState& state);
[[nodiscard]] MembersAsk  draw(kit::Ui& ui, MembersState& state, const MembersView& view);

} // namespace field::screens
