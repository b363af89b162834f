#pragma once
// This tablet to the others: name, fingerprint, code to be read, how it stands with the plant; and trusting
// the plant key once a person has found its figures on the paper: two taps in two places.
#include "field/kit/ui.h"
#include "field/screens/code_card.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct ThisTabletState {
    bool        comparing = false;
    std::string key; ///< plant key whose figures the person tapped, 64 hex
    std::string refusal;
    int         page = 0;
};

enum class ThisTabletAsk { nothing, back, members, my_key, compare, trust, look };

struct ThisTabletView {
    Heading       heading;
    std::string   back, members, my_key; ///< the last two empty: not offered
    CodeCard      card;
    std::string   title, line, note; ///< of the comparison
    std::string   main_title, main_sub;
    bool          main_on  = true;
    ThisTabletAsk main_ask = ThisTabletAsk::back;

    struct Offer {
        std::string              key;
        std::vector<std::string> lines;
    };
    std::vector<Offer> offers; ///< to be compared
};

[[nodiscard]] ThisTabletView view_of(const ViewContext& context, const PlantGlance& plant,
                                     const ThisTabletState& state);
[[nodiscard]] ThisTabletAsk  draw(kit::Ui& ui, ThisTabletState& state, const ThisTabletView& view);

/// Whether the badge that holds the tablet has that role.
[[nodiscard]] bool held_by(const ViewContext& context, engine::Role role);

} // namespace field::screens
