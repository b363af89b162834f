#pragma once
// This tablet to the others: name, fingerprint, code to be read, how it stands with the plant; and trusting
// the plant key once a person has found its figures on the paper: two taps in two places.
#include "field/camera/qr.h"
#include "field/kit/ui.h"
#include "field/look/symbols.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct ThisTabletState {
    bool        comparing = false;
    std::string key; ///< plant key whose figures the person tapped, 64 hex
    std::string refusal;
    int         page = 0;
};

enum class ThisTabletAsk { nothing, back, members, compare, trust, look };

struct ThisTabletView {
    Heading                       heading;
    std::string                   back, members; ///< members empty: not offered
    std::string                   title, figures_label;
    std::vector<std::string>      figures; ///< groups of four
    std::optional<camera::QrBits> qr;
    look::Symbol                  symbol = look::Symbol::none;
    std::string                   standing; ///< enrolled, waiting, or a plant without a list
    std::string                   plant_label, note;
    std::vector<std::string>      plant_lines; ///< figures of the plant key, two lines
    std::string                   main_title, main_sub;
    bool                          main_on  = true;
    ThisTabletAsk                 main_ask = ThisTabletAsk::back;

    struct Offer {
        std::string              key;
        std::vector<std::string> lines;
    };
    std::vector<Offer> offers; ///< to be compared
};

[[nodiscard]] ThisTabletView view_of(const ViewContext& context, const PlantGlance& plant,
                                     const ThisTabletState& state);
[[nodiscard]] ThisTabletAsk  draw(kit::Ui& ui, ThisTabletState& state, const ThisTabletView& view);

/// 64 hex of a plant key as its figures on paper: two lines of four groups.
[[nodiscard]] std::vector<std::string> paper_lines(const std::string& key_hex);
/// Whether the badge that holds the tablet is a planner's.
[[nodiscard]] bool held_by_planner(const ViewContext& context);

} // namespace field::screens
