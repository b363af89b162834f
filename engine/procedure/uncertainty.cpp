// How far a reading may be from the truth, and what it proves then.
#include "engine/metrology/instrument.h"
#include "engine/procedure/judged.h"

#include <cmath>

namespace engine {
namespace {

constexpr double kCoverage = 2.0; ///< k = 2, about 95 % (GUM 6.2.1)

// What nobody writes down on a shop floor: how well the temperature of part and instrument is known. Common
// practice, the same as in engine/metrology/seat.h.
constexpr Kelvins   kTemperatureError{2.0};
constexpr PerKelvin kSteel{11.5e-6};     ///< between 11.3 and 11.6 [NSK_E1102]
constexpr PerKelvin kSteelError{1.0e-6}; ///< half-width, common practice

/// One step of the last digit as typed, in the SI integer: "49.970" mm -> 0.001 mm. Fractions: their
/// denominator.
double step_of_text(const Entered& value)
{
    const auto slash = value.text.find('/');
    if (slash != std::string::npos) {
        const auto below = parse_number(std::string_view(value.text).substr(slash + 1));
        return below && *below > 0 ? static_cast<double>(to_si(1.0 / *below, value.unit)) : 0.0;
    }
    const auto   mark     = value.text.find_first_of(".,");
    const auto   decimals = mark == std::string::npos ? 0U : value.text.size() - mark - 1;
    const double one      = static_cast<double>(to_si(1.0, value.unit));
    return one / std::pow(10.0, static_cast<double>(decimals));
}

bool is_length(UnitOf unit)
{
    return si_unit(unit) == si_unit(UnitOf::mm);
}

double square(double x)
{
    return x * x;
}

/// Variance of a length for temperature: the part read at `part`, compared with a limit at 20 degrees.
double temperature_variance(const Entered& value, Celsius part)
{
    const double length = static_cast<double>(value.si);
    const double away   = std::abs(between(part, kReferenceTemperature).value);
    return square(standard_of_half_width(length * kSteel.value * kTemperatureError.value)) +
           square(standard_of_half_width(length * kSteelError.value * away));
}

} // namespace

std::int64_t uncertainty_of_reading(const Entered& value, const Instrument* instrument,
                                    std::optional<std::int64_t> part_mc)
{
    // A count, a text or an angle by the marks on the nut: nobody has stated how good it is.
    if (instrument == nullptr || value.unit == UnitOf::text || value.unit == UnitOf::count) return 0;
    if (si_unit(instrument->unit) != si_unit(value.unit)) return 0;
    const double error = static_cast<double>(to_si(instrument->error_limit, instrument->unit));
    const double step  = static_cast<double>(to_si(instrument->resolution, instrument->unit));
    // The coarser of scale and typed text: the finer one is inside it already.
    const double coarser  = std::max(step, step_of_text(value));
    double       variance = square(standard_of_half_width(error)) + square(standard_of_step(coarser));
    if (is_length(value.unit) && part_mc) variance += temperature_variance(value, celsius(*part_mc));
    return std::llround(std::ceil(kCoverage * std::sqrt(variance) - 1e-9));
}

Verdict verdict_of_reading(std::int64_t si, std::int64_t u_si, const std::optional<Limits>& limits)
{
    if (!limits) return Verdict::inside;
    return decide(si, u_si, {limits->low, limits->high});
}

} // namespace engine
