#pragma once
// One machine or person: enrol it once its figures were compared by eye, take it off the list for a named
// reason, or read how it stands. The signature comes on the next screen.
#include "field/kit/ui.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct MemberState {
    share::EnrolCode code;
    bool             same = false; ///< a person said the figures are the same
    std::string      role, reason; ///< picked
    std::string      refusal;
};

struct MemberView {
    enum class What { enrol, revoke, read } what = What::read;
    Heading                                          heading;
    std::string                                      back, title, figures, note;
    std::string                                      same;    ///< words of the tick, enrolment only
    std::string                                      means;   ///< what the role that was picked may do
    std::vector<std::pair<std::string, std::string>> answers; ///< roles or reasons: key, words
    std::string                                      main_title, main_sub;
    bool                                             main_on = false;
};

enum class MemberAsk { nothing, back, sign };

[[nodiscard]] MemberView view_of(const ViewContext& context, const PlantGlance& plant,
                                 const MemberState& state);
[[nodiscard]] MemberAsk  draw(kit::Ui& ui, MemberState& state, const MemberView& view);

} // namespace field::screens
