#pragma once
// Colours and light. Text keeps 7:1 on paper and panel by day and 6:1 in the dark (NUREG-0700 rev. 3 asks for
// 6:1 and more, WCAG 1.4.6 for 7:1); tests/field/look measures every pair.
#include <cstdint>

namespace field::look {

struct Colour {
    std::uint8_t r{};
    std::uint8_t g{};
    std::uint8_t b{};
    std::uint8_t a{255};

    [[nodiscard]] constexpr Colour with_alpha(std::uint8_t alpha) const { return {r, g, b, alpha}; }
    friend constexpr bool          operator==(Colour, Colour) = default;
};
[[nodiscard]] constexpr Colour hex(std::uint32_t rgb)
{
    return {static_cast<std::uint8_t>(rgb >> 16U), static_cast<std::uint8_t>(rgb >> 8U),
            static_cast<std::uint8_t>(rgb), 255};
}

enum class Light { day, dim, glare }; ///< glare: pure black and white for direct sun
enum class Hand { right, left };      ///< left mirrors the bars and the columns

struct Palette {
    Colour paper;      ///< the ground of every screen
    Colour panel;      ///< buttons, cards
    Colour ink;        ///< text and numbers
    Colour soft;       ///< labels, second lines, instructions
    Colour rule;       ///< edges of buttons and cards, lines of a list
    Colour track;      ///< empty part of bars and gauges
    Colour steel;      ///< cut or whole steel parts, light
    Colour steel_dark; ///< steel parts, second tone
    Colour steel_edge; ///< outlines of parts, graduations
    Colour part;       ///< housings and castings, the palest part colour
    Colour hatch;      ///< section lines
    Colour bronze;     ///< the sleeve
    Colour act;        ///< layout blue: marks, the part to touch, the main action
    Colour on_act;     ///< letters on `act`
    Colour on_act_sub; ///< the second line on `act`
    Colour act_pale;   ///< a bar that cannot act yet, the part of the rule that is done
    Colour on_pale;    ///< letters on `act_pale`
    Colour act_wash;   ///< the zone to work on
    Colour done;       ///< the filled part of the steel rule
    Colour inside;
    Colour inside_pale;
    Colour watch;
    Colour watch_pale;
    Colour outside;
    Colour outside_pale;
    Colour on_verdict; ///< the tick, question mark or bar inside a verdict symbol
};

/// Panels of ANSI Z535.4 signal words; the same in every light.
struct HazardColours {
    Colour ground;
    Colour letters;
};
inline constexpr HazardColours kDanger{hex(0x9B2423), hex(0xFFFFFF)};
inline constexpr HazardColours kWarning{hex(0xD05D29), hex(0x000000)};
inline constexpr HazardColours kCaution{hex(0xF9A900), hex(0x000000)};
inline constexpr HazardColours kNotice{hex(0x005387), hex(0xFFFFFF)};

struct Theme {
    Light   light{Light::day};
    Hand    hand{Hand::right};
    float   px_per_mm{5.884F};
    Palette palette;
};

[[nodiscard]] Palette palette_for(Light light);
[[nodiscard]] Theme   make_theme(Light light, Hand hand, float px_per_mm);
/// Contrast ratio 1 to 21 by the formula of WCAG 2.1 (relative luminance of sRGB).
[[nodiscard]] double contrast(Colour one, Colour other);

} // namespace field::look
