#include "engine/metrology/uncertainty.h"

#include "engine/base/ranges.h"
#include "engine/metrology/instrument.h"

#include <array>
#include <cmath>
#include <numbers>

namespace engine {
namespace {

/// Point of the normal distribution with `above` of it beyond (0 < above <= 0.5): a rational start
/// (Abramowitz & Stegun 26.2.23) and two steps of Newton.
double normal_point(double above)
{
    const double t = std::sqrt(-2 * std::log(above));
    double       z =
        t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    for (int step = 0; step < 2; ++step) {
        const double tail    = std::erfc(z / std::numbers::sqrt2) / 2;
        const double density = std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
        z += (tail - above) / density;
    }
    return z;
}

double t_point(double dof, double probability)
{
    if (dof == 1) return std::tan(std::numbers::pi / 2 * probability);
    if (dof == 2) return probability * std::sqrt(2 / (1 - probability * probability));
    const double z = normal_point((1 - probability) / 2);
    if (dof == 0) return z;
    const double s  = z * z;
    const double g1 = z * (s + 1) / 4;
    const double g2 = z * ((5 * s + 16) * s + 3) / 96;
    const double g3 = z * (((3 * s + 19) * s + 17) * s - 15) / 384;
    const double g4 = z * ((((79 * s + 776) * s + 1482) * s - 1920) * s - 945) / 92160;
    return z + (g1 + (g2 + (g3 + g4 / dof) / dof) / dof) / dof;
}

struct LengthCheck {
    Range            range;
    double           value;
    std::string_view what;
};

std::optional<Failure> bad_reading(const LengthReading& r)
{
    const Range      um{0, 1000, "um", 0}, warm{-60, 150, "C", 0}, off{0, 20, "K", 0};
    const Range      alpha{0, 50, "um/m per K", 0}, number{1, 1000, "", 0};
    const std::array checks{
        LengthCheck{{0.1, 2000, "mm", 1}, r.length.value, "length"},
        LengthCheck{um, r.error_limit.value, "error limit of the instrument"},
        LengthCheck{um, r.resolution.value, "resolution of the instrument"},
        LengthCheck{um, r.repeatability.value, "repeatability"},
        LengthCheck{
            {2, 1000, "", 0}, static_cast<double>(r.sample), "number of readings of the repeatability"},
        LengthCheck{number, static_cast<double>(r.readings), "number of readings"},
        LengthCheck{warm, r.part.value, "part temperature"},
        LengthCheck{warm, r.instrument.value, "instrument temperature"},
        LengthCheck{off, r.part_error.value, "error limit of the part temperature"},
        LengthCheck{off, r.instrument_error.value, "error limit of the instrument temperature"},
        LengthCheck{alpha, r.part_alpha.value * 1e6, "expansion coefficient of the part"},
        LengthCheck{alpha, r.instrument_alpha.value * 1e6, "expansion coefficient of the instrument"},
        LengthCheck{
            {0, 10, "um/m per K", 0}, r.alpha_error.value * 1e6, "error limit of the expansion coefficient"},
    };
    for (const LengthCheck& check : checks)
        if (auto bad = out_of(check.range, check.value, check.what)) return bad;
    return std::nullopt;
}

const Range kProbability{0.5, 0.999, "", 3};

} // namespace

Result<double> student_t(double dof, double probability)
{
    if (auto bad = out_of(kProbability, probability, "probability")) return *bad;
    if (dof == 0) return t_point(0, probability);
    if (auto bad = out_of({1, 1e6, "", 0}, dof, "number of degrees of freedom")) return *bad;
    return t_point(dof, probability);
}

Result<double> trapezoid_coverage(double beta, double probability)
{
    if (auto bad = out_of({0, 1, "", 0}, beta, "ratio of the half-widths")) return *bad;
    if (auto bad = out_of(kProbability, probability, "probability")) return *bad;
    // On the flat top the probability is 2 beta / (1 + beta) at its end.
    if (probability < 2 * beta / (1 + beta))
        return failure(Fault::out_of_range, "The two parts are too alike for this rule: at a ratio of " +
                                                fixed(beta, 2) + " the probability must lie above " +
                                                fixed(2 * beta / (1 + beta), 3) + ".");
    return (1 - std::sqrt((1 - probability) * (1 - beta * beta))) / std::sqrt((1 + beta * beta) / 6);
}

Result<Combined> combine(std::span<const UncertaintyPart> parts, double probability)
{
    if (parts.empty()) return failure(Fault::bad_input, "There is no part to work an uncertainty out from.");
    if (auto bad = out_of(kProbability, probability, "probability")) return *bad;
    double variance = 0, weighed = 0;
    for (const UncertaintyPart& part : parts) {
        if (auto bad = out_of({0, 1e6, "um", 0}, part.u.value, "uncertainty of '" + part.name + "'"))
            return *bad;
        if (part.dof != 0)
            if (auto bad = out_of({1, 1e6, "", 0}, part.dof, "degrees of freedom of '" + part.name + "'"))
                return *bad;
        const double square = part.u.value * part.u.value;
        variance += square;
        if (part.dof != 0) weighed += square * square / part.dof;
    }
    Combined all;
    all.u   = Micrometres{std::sqrt(variance)};
    all.dof = weighed > 0 ? variance * variance / weighed : 0;
    // A million degrees of freedom are a normal distribution to six digits.
    const double whole = all.dof > 1e6 ? 0 : std::floor(all.dof + 1e-9);
    all.k              = t_point(whole, probability);
    all.expanded       = all.k * all.u;
    return all;
}

Result<std::vector<UncertaintyPart>> length_parts(const LengthReading& r)
{
    if (auto bad = bad_reading(r)) return *bad;
    const double um     = r.length.value * 1000;
    const double count  = r.readings;
    const double part   = std::abs(between(r.part, kReferenceTemperature).value);
    const double gauge  = std::abs(between(r.instrument, kReferenceTemperature).value);
    const auto   limits = [](double half_width) { return Micrometres{standard_of_half_width(half_width)}; };
    return std::vector<UncertaintyPart>{
        {"error limit of the instrument", limits(r.error_limit.value), 0},
        {"resolution", Micrometres{standard_of_step(r.resolution.value) / std::sqrt(count)}, 0},
        {"repeatability", Micrometres{r.repeatability.value / std::sqrt(count)},
         static_cast<double>(r.sample - 1)},
        {"temperature of the part", limits(um * r.part_alpha.value * r.part_error.value), 0},
        {"temperature of the instrument", limits(um * r.instrument_alpha.value * r.instrument_error.value),
         0},
        {"expansion of the part", limits(um * part * r.alpha_error.value), 0},
        {"expansion of the instrument", limits(um * gauge * r.alpha_error.value), 0},
    };
}

} // namespace engine
