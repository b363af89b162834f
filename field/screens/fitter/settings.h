#pragma once
// Settings on one page, no scrolling: units, light, hand, true size by a bank card, glove test.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct Settings { ///< kept beside the book
    Units       units     = Units::mm;
    look::Light light     = look::Light::day;
    look::Hand  hand      = look::Hand::right;
    float       px_per_mm = 0; ///< 0: not measured, taken from the display size
    std::string badge;
    friend bool operator==(const Settings&, const Settings&) = default;
};

struct SettingsState {
    enum class Page { all, bank_card, glove_test } page = Page::all;
    float            card_px                            = 0; ///< width of the frame the card is held to
    std::vector<int> glove_hits;                             ///< targets hit, in order
    int              glove_misses = 0;
};

struct SettingsAsk {
    enum class Kind { nothing, back, changed, plant } kind = Kind::nothing;
    Settings settings; ///< as they shall be
};

/// Width of an ISO/IEC 7810 ID-1 card, mm (from memory: 85.60).
inline constexpr float kBankCardWidth_mm = 85.60F;

[[nodiscard]] SettingsAsk draw(kit::Ui& ui, SettingsState& state, const ViewContext& context,
                               const Settings& settings);

} // namespace field::screens
