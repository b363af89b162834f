#include "engine/mounting/expansion.h"

#include "engine/base/ranges.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr double kGapsMayMiss = 0.5; // mm, between read gaps and the float of the sheet (common practice)

std::optional<Failure> bad_float(const Expansion& shaft)
{
    if (auto bad = out_of({0, 2000, "um", 0}, shaft.gap_u.value, "uncertainty of a gap")) return bad;
    if (auto bad =
            out_of({0, 10, "um/m per K", 0}, shaft.alpha_u.value * 1e6, "uncertainty of the expansion"))
        return bad;
    if (auto bad = out_of({0, 100, "K", 0}, shaft.rise_u.value, "uncertainty of the rise")) return bad;
    if (shaft.float_total)
        if (auto bad = out_of({0, 200, "mm", 0}, shaft.float_total->value, "float of the cartridge"))
            return bad;
    if (!shaft.gaps) return std::nullopt;
    if (auto bad = out_of({0, 200, "mm", 0}, shaft.gaps->toward.value, "gap toward the fixed unit"))
        return bad;
    return out_of({0, 200, "mm", 0}, shaft.gaps->away.value, "gap on the far side");
}

Verdict from_gaps(const Expansion& shaft, Millimetres growth, Millimetres growth_u)
{
    const std::int64_t u = u_to_dum(shaft.gap_u);
    const std::int64_t both =
        u_to_dum(Micrometres{std::hypot(shaft.gap_u.value, to_micrometres(growth_u).value)});
    const IntegerLimits room{0, std::nullopt};
    const Millimetres   into    = growth.value >= 0 ? shaft.gaps->away : shaft.gaps->toward;
    const Millimetres   behind  = growth.value >= 0 ? shaft.gaps->toward : shaft.gaps->away;
    const Millimetres   left    = into - Millimetres{std::abs(growth.value)};
    const Verdict       warm    = decide(to_dum(left), both, room);
    const Verdict       cold    = decide(to_dum(behind), u, room);
    const Verdict       verdict = worst(warm, cold);
    if (!shaft.float_total) return verdict;
    const double missing = (shaft.gaps->toward + shaft.gaps->away - *shaft.float_total).value;
    const double allowed = kGapsMayMiss + 2 * shaft.gap_u.value / 1000;
    return std::abs(missing) > allowed ? worst(verdict, Verdict::undecided) : verdict;
}

void tell_gaps(const Expansion& shaft, ExpansionFigures& figures)
{
    const Millimetres growth = figures.growth;
    const Millimetres stands = (shaft.gaps->away - shaft.gaps->toward) / 2; // off the middle, toward fixed
    figures.move             = figures.set_off - stands;
    figures.room_left        = growth.value >= 0 ? shaft.gaps->away - growth : shaft.gaps->toward + growth;
    const double per_kelvin  = shaft.span.value * shaft.alpha.value;
    if (per_kelvin > 1e-9) figures.rise_held = Kelvins{shaft.gaps->away.value / per_kelvin};
}

Verdict from_float(Millimetres growth, Millimetres growth_u, Millimetres float_total)
{
    const std::int64_t moved = std::abs(to_dum(growth)), u = u_to_dum(to_micrometres(growth_u));
    if (2 * (moved + u) <= to_dum(float_total)) return Verdict::inside;
    return moved - u <= to_dum(float_total) ? Verdict::undecided : Verdict::outside;
}

} // namespace

Result<Millimetres> thermal_growth(Millimetres span, Kelvins rise, PerKelvin alpha)
{
    if (const auto bad = out_of({0, 50'000, "mm", 0}, span.value, "span")) return *bad;
    if (const auto bad = out_of({-150, 400, "K", 0}, rise.value, "rise of temperature")) return *bad;
    if (const auto bad = out_of({1, 40, "um/m per K", 0}, alpha.value * 1e6, "expansion coefficient"))
        return *bad;
    return span * (alpha.value * rise.value);
}

Result<ExpansionFigures> expansion(const Expansion& shaft)
{
    const auto growth = thermal_growth(shaft.span, shaft.rise, shaft.alpha);
    if (!growth) return growth.failure();
    if (const auto bad = bad_float(shaft)) return *bad;
    ExpansionFigures figures;
    figures.growth = *growth;
    // Growth is alpha times span times rise: the doubts of both, each times the rest.
    figures.growth_u = Millimetres{shaft.span.value * std::hypot(shaft.alpha_u.value * shaft.rise.value,
                                                                 shaft.alpha.value * shaft.rise_u.value)};
    figures.set_off  = *growth;
    if (shaft.float_total) {
        figures.float_each = *shaft.float_total / 2;
        if (std::abs(growth->value) > figures.float_each->value) figures.set_off = *growth / 2;
        figures.verdict = from_float(*growth, figures.growth_u, *shaft.float_total);
    }
    if (shaft.gaps) {
        figures.verdict = from_gaps(shaft, *growth, figures.growth_u);
        tell_gaps(shaft, figures);
    }
    return figures;
}

} // namespace engine
