#pragma once
// Letters: B612 with DejaVu Sans for what it lacks, each size baked once for the glass in use.
// Sizes are heights of a capital in millimetres, from the reading distances of ISO 9241-303 (20 to 22 minutes
// of arc at 0.7 m; hand-held tablets at 0.5 m take the smaller set).
#include "engine/base/result.h"
#include "field/look/geometry.h"

#include <array>

struct ImFont;
struct ImFontAtlas;

namespace field::look {

enum class Role {
    label, ///< smallest at the machine
    label_bold,
    instruction,      ///< what to do
    instruction_bold, ///< names in a list
    title,            ///< bold, one a screen
    value,            ///< numbers and units beside the reading, same height as a title
    action,           ///< bold, the main bar
    action_sub,       ///< second line of the main bar
    key,              ///< digits of the keypad, 6 mm
    second,           ///< second reading, verdict word
    reading,          ///< the number that matters
    desk,             ///< supervisor, auditor, planner: smaller letters allowed there
    desk_bold,
    desk_title, ///< bold, 3.3 mm
    desk_value  ///< regular, 3 mm
};
inline constexpr int kRoles = 15;

/// Height of a capital for a role on this glass.
[[nodiscard]] float cap_height_mm(Role role, bool hand_held);

class Type {
  public:
    /// Bakes every size into `atlas`. Fails with `not_found` and one sentence when the font files are
    /// missing.
    [[nodiscard]] static engine::Result<Type> build(ImFontAtlas& atlas, const ScreenSize& screen);

    [[nodiscard]] ImFont* font(Role role) const { return fonts_[static_cast<std::size_t>(role)]; }
    [[nodiscard]] float   cap_mm(Role role) const { return cap_height_mm(role, hand_held_); }

  private:
    std::array<ImFont*, kRoles> fonts_{};
    bool                        hand_held_{};
};

} // namespace field::look
