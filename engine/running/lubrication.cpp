#include "engine/running/lubrication.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <array>
#include <cmath>

namespace engine {
namespace {

constexpr Range  kPitch{1, 5000, "mm", 0};
constexpr Range  kRating{0.01, 100'000, "kN", 2};
constexpr double kLargePitch = 100; // mm

struct Level {
    std::string_view name, in_table;
};
constexpr std::array kLevels{
    Level{"extreme", "extreme cleanliness"},
    Level{"high", "high cleanliness"},
    Level{"normal", "normal cleanliness"},
    Level{"slight", "slight contamination"},
    Level{"typical", "typical contamination"},
    Level{"severe", "severe contamination"},
    Level{"very-severe", "very severe contamination"},
};

std::string_view operation_of(Running running)
{
    switch (running) {
    case Running::smooth:
        return "smooth, vibration-free";
    case Running::shock:
        return "pronounced shock";
    case Running::normal:
        break;
    }
    return "normal";
}

std::string_view requirement_of(Quietness quietness)
{
    switch (quietness) {
    case Quietness::unimportant:
        return "rotating, quiet running unimportant";
    case Quietness::high:
        return "rotating, high";
    case Quietness::still:
        return "not rotating";
    case Quietness::usual:
        break;
    }
    return "rotating, normal";
}

Result<double> wanted_safety(const StaticLoad& load)
{
    static const Result<OwnTable> table = own_table("s0_guideline");
    if (!table) return table.failure();
    const std::string_view column = load.kind == ElementKind::ball ? "ball_s0" : "roller_s0";
    for (std::size_t row = 0; row < table->rows(); ++row) {
        // Rows of shock end in "(minimum)".
        if (table->text(row, "operation") != operation_of(load.running) ||
            !table->text(row, "requirement").starts_with(requirement_of(load.quietness)))
            continue;
        if (const auto s0 = table->number(row, column)) return *s0;
    }
    return failure(Fault::corrupt, "The table of static safety is not whole.");
}

} // namespace

Result<Millimetres> pitch_diameter(Millimetres bore, Millimetres outer)
{
    if (const auto bad = out_of(kPitch, bore.value, "bore")) return *bad;
    if (const auto bad = out_of({bore.value, 5000, "mm", 1}, outer.value, "outside diameter")) return *bad;
    if (outer == bore)
        return failure(Fault::out_of_range, "The outside diameter is the bore, " + fixed(bore.value, 3) +
                                                " mm; a bearing stands between them.");
    return (bore + outer) / 2;
}

Result<KinematicViscosity> reference_viscosity(RevPerMinute speed, Millimetres dpw)
{
    if (const auto bad = out_of({1, 100'000, "r/min", 0}, speed.value, "speed")) return *bad;
    if (const auto bad = out_of(kPitch, dpw.value, "pitch diameter")) return *bad;
    const double n        = speed.value;
    const double of_speed = n < 1000 ? 45'000 * std::pow(n, -0.83) : 4500 / std::sqrt(n);
    return KinematicViscosity{of_speed / std::sqrt(dpw.value)};
}

Result<double> viscosity_ratio(KinematicViscosity at_running_temperature, RevPerMinute speed, Millimetres dpw)
{
    if (const auto bad = out_of({0.1, 1e6, "mm2/s", 1}, at_running_temperature.value, "viscosity"))
        return *bad;
    const auto reference = reference_viscosity(speed, dpw);
    if (!reference) return reference.failure();
    return at_running_temperature / *reference;
}

Result<Kilonewtons> fatigue_load_limit(ElementKind kind, Kilonewtons c0, Millimetres dpw)
{
    if (const auto bad = out_of(kRating, c0.value, "static load rating C0")) return *bad;
    if (const auto bad = out_of(kPitch, dpw.value, "pitch diameter")) return *bad;
    const bool        ball  = kind == ElementKind::ball;
    const Kilonewtons small = c0 / (ball ? 22.0 : 8.2);
    if (dpw.value <= kLargePitch) return small;
    return small * std::pow(kLargePitch / dpw.value, ball ? 0.5 : 0.3);
}

Result<ContaminationBand> contamination_band(std::string_view level, Millimetres dpw)
{
    if (const auto bad = out_of(kPitch, dpw.value, "pitch diameter")) return *bad;
    static const Result<OwnTable> table = own_table("contamination_typical");
    if (!table) return table.failure();
    for (const Level& known : kLevels) {
        if (known.name != level) continue;
        const std::string size = dpw.value < kLargePitch ? "lt_100mm" : "ge_100mm";
        for (std::size_t row = 0; row < table->rows(); ++row) {
            if (table->text(row, "level") != known.in_table) continue;
            const auto low  = table->number(row, "eC_low_Dpw_" + size);
            const auto high = table->number(row, "eC_high_Dpw_" + size);
            if (!low || !high) break;
            return ContaminationBand{std::string(known.in_table), *low, *high,
                                     "[" + table->text(row, "source") + "]"};
        }
        return failure(Fault::corrupt, "The table of contamination is not whole.");
    }
    return failure(Fault::bad_input, "'" + std::string(level.substr(0, 32)) +
                                         "' is not a class of contamination; give extreme, high, normal, "
                                         "slight, typical, severe, very-severe or eC itself, 0 to 1.");
}

Result<StaticSafety> static_safety(const StaticLoad& load)
{
    if (const auto bad = out_of(kRating, load.c0.value, "static load rating C0")) return *bad;
    if (const auto bad =
            out_of({load.c0.value * 1e-6, load.c0.value * 1000, "kN", 3}, load.p0.value, "static load P0"))
        return *bad;
    const auto wanted = wanted_safety(load);
    if (!wanted) return wanted.failure();
    StaticSafety safety;
    safety.s0      = load.c0 / load.p0;
    safety.wanted  = *wanted;
    safety.verdict = safety.s0 >= safety.wanted ? Verdict::inside : Verdict::outside;
    return safety;
}

} // namespace engine
