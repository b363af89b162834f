#pragma once
// The signing key of the person who holds the tablet: made here, locked by the PIN, then shown to be
// enrolled.
#include "field/kit/ui.h"
#include "field/screens/code_card.h"
#include "field/screens/plant_glance.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct MyKeyState {
    std::string key; ///< 64 hex, once there is one on this tablet
    std::string pin; ///< digits typed; drawn as dots
    std::string refusal;
};

struct MyKeyView {
    Heading     heading;
    CodeCard    card; ///< when there is a key
    std::string back, title, line;
    std::string main_title, main_sub;
    bool        main_on = true, typing = false;
};

enum class MyKeyAsk { nothing, back, make };

[[nodiscard]] MyKeyView view_of(const ViewContext& context, const PlantGlance& plant,
                                const MyKeyState& state);
[[nodiscard]] MyKeyAsk  draw(kit::Ui& ui, MyKeyState& state, const MyKeyView& view);

} // namespace field::screens
