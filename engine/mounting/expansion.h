#pragma once
// The shaft grows when it runs warm; the expansion cartridge must have room for it.
//   growth = alpha x span x rise            [SKF_2018] p.851; steel 12e-6 per kelvin [SKF_2018] [NKE_2018]
// Cold position: in the middle (equal float each way), or set off from the middle by the growth still to
// come, so that the warm shaft stands in the middle (common practice).
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

#include <optional>

namespace engine {

inline constexpr PerKelvin kShaftGrowth{
    12e-6}; ///< steel shafts [SKF_2018] [NKE_2018]; others print 11 to 12.5

/// Room of the cartridge as read, cold.
struct FloatGaps {
    Millimetres toward; ///< on the side of the fixed unit, >= 0
    Millimetres away;   ///< on the far side: the shaft grows into this one, >= 0
};

struct Expansion {
    Millimetres                span;                ///< from the fixed to the expansion unit, 0..50 000
    Kelvins                    rise;                ///< running minus now, -150..400
    PerKelvin                  alpha{kShaftGrowth}; ///< 1e-6..40e-6
    std::optional<Millimetres> float_total;         ///< whole axial room of the cartridge, 0..200
    std::optional<FloatGaps>   gaps;
    Micrometres                gap_u{200}; ///< expanded uncertainty (k = 2) of a gap reading, 0..2000
    /// Expanded uncertainty (k = 2) of alpha: the makers print 11 to 12.5e-6, taken as rectangular; 0..10e-6.
    PerKelvin alpha_u{0.87e-6};
    Kelvins   rise_u{5}; ///< expanded, of a running temperature foreseen (common practice); 0..100
};

struct ExpansionFigures {
    Millimetres                growth;     ///< negative when the shaft will run colder
    Millimetres                growth_u;   ///< expanded (k = 2), from alpha and rise
    std::optional<Millimetres> float_each; ///< half of the room
    /// How far off the middle the cold cartridge is to stand, toward the fixed unit; the growth, or half of
    /// it when the growth is more than the float each way.
    Millimetres set_off;
    /// With gaps: what is still to be done and what is left.
    std::optional<Millimetres>
        move; ///< shift the cold cartridge this much toward the fixed unit (negative: away)
    std::optional<Millimetres> room_left; ///< on the side it grows into, when warm; negative: it will push
    std::optional<Kelvins>     rise_held; ///< rise at which the far gap is used up; none for a span of 0
    /// With gaps: room is left on both sides cold and warm, U of gap and growth considered; and the gaps add
    /// up to the float within 2 U + 0.5 mm, else undecided. Without gaps: the growth with its U fits into the
    /// float each way (inside), surely not even into the whole float (outside), else undecided: only when set
    /// off, or too near to tell. With neither: inside.
    Verdict verdict = Verdict::inside;
};

/// Fails: Fault::out_of_range.
[[nodiscard]] Result<Millimetres>      thermal_growth(Millimetres span, Kelvins rise, PerKelvin alpha);
[[nodiscard]] Result<ExpansionFigures> expansion(const Expansion& shaft);

} // namespace engine
