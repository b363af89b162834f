#pragma once
// The plant speaks: what is going to be said, the file of its key, and the passphrase on our own letters.
#include "field/kit/letter_pad.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct PlantSignState {
    share::Saying       saying;
    std::string         what; ///< in words: "Enrol T-07 as recorder"
    kit::LetterPadState pad;
    std::string         refusal;
};

struct PlantSignView {
    Heading     heading;
    std::string back, space, erase, title, note;
    std::string again; ///< the key was not found: look for it again
    bool        trouble = false;
    std::string main_title, main_sub;
    bool        main_on = false, typing = false, signing = false;
};

enum class PlantSignAsk { nothing, back, find_key, sign };

[[nodiscard]] PlantSignView view_of(const ViewContext& context, const PlantGlance& plant,
                                    const PlantSignState& state);
[[nodiscard]] PlantSignAsk  draw(kit::Ui& ui, PlantSignState& state, const PlantSignView& view);

} // namespace field::screens
