// The shaft seat: size and form at 20 degrees Celsius.
#include "engine/metrology/seat.h"
#include "engine/procedure/assess_parts.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr double kRectangular  = 1.7320508075688772; ///< half-width over standard uncertainty (GUM 4.3.7)
constexpr double kSeatCoverage = 2.0;

/// "I.across" -> plane "I", direction "across".
SeatReading seat_reading(const ReadingFact& reading)
{
    const auto  dot = reading.slot.find('.');
    SeatReading seat;
    seat.plane     = reading.slot.substr(0, dot);
    seat.direction = dot == std::string::npos ? "across" : reading.slot.substr(dot + 1);
    seat.diameter  = millimetres(reading.value.si);
    return seat;
}

/// The uncertainty written down with the readings speaks for instrument and temperature together, so it goes
/// in as the one error limit that has it; nothing is counted twice.
SeatConditions conditions_of(const StepFacts& given, std::int64_t largest_u)
{
    SeatConditions conditions;
    if (const auto part = part_temperature(given)) conditions.part = *part;
    conditions.error_limit       = to_micrometres(millimetres(largest_u)) * (kRectangular / kSeatCoverage);
    conditions.resolution        = Micrometres{0};
    conditions.temperature_error = part_temperature(given) ? Kelvins{0} : conditions.temperature_error;
    conditions.alpha_error       = PerKelvin{0};
    return conditions;
}

void add_figures(const SeatFigures& seat, const Limits& size, const Limits& form, Assessment& assessment)
{
    const std::int64_t u_one  = u_to_dum(seat.expanded_u_reading);
    const std::int64_t u_mean = u_to_dum(kSeatCoverage * seat.u_mean);
    const std::int64_t u_form = u_to_dum(seat.expanded_u_form);
    const auto         says   = [](Verdict verdict, const std::string& outside, const std::string& open) {
        return verdict == Verdict::outside ? outside : open;
    };
    assessment.figures.push_back(figure("mean_20c", UnitOf::mm, to_dum(seat.mean_20c), u_mean));
    Figure            smallest = figure("smallest_20c", UnitOf::mm, to_dum(seat.smallest), u_one, size);
    Figure            largest  = figure("largest_20c", UnitOf::mm, to_dum(seat.largest), u_one, size);
    const std::string is       = "The seat at 20 degrees is " + fixed(seat.smallest.value, 4) + " to " +
                           fixed(seat.largest.value, 4) + " mm";
    take_verdict(assessment, seat.size_verdict,
                 says(seat.size_verdict, is + ": outside " + size.source + ".",
                      is + ": too near the limit of " + size.source +
                          " to decide; measure again or with a finer instrument."));
    assessment.figures.push_back(std::move(smallest));
    assessment.figures.push_back(std::move(largest));
    assessment.figures.push_back(figure("out_of_round", UnitOf::mm, to_dum(seat.out_of_round), u_form));
    assessment.figures.push_back(figure("taper", UnitOf::mm, to_dum(seat.taper), u_form));
    Figure shape  = figure("form", UnitOf::mm, dum(seat.form_deviation), u_form, form);
    shape.verdict = seat.form_verdict;
    const std::string deviates =
        "The seat deviates " + fixed(seat.form_deviation.value, 1) + " um from a true cylinder";
    take_verdict(assessment, seat.form_verdict,
                 says(seat.form_verdict, deviates + ": outside " + form.source + ".",
                      deviates + ": too near the limit of " + form.source +
                          " to decide; measure again or with a finer instrument."));
    assessment.figures.push_back(std::move(shape));
}

Limits limits_from(Millimetres low, Millimetres high, const UnitSheet& unit, const std::string& what)
{
    return {to_dum(low), to_dum(high), sheet_of(unit) + ", " + what};
}

} // namespace

void assess_seat(const AssessQuestion& question, Assessment& assessment)
{
    if (question.unit == nullptr) return;
    const UnitSheet&         unit = *question.unit;
    std::vector<SeatReading> diameters;
    std::int64_t             largest_u = 0;
    std::size_t              wanted    = 0;
    for (const Ask& ask : question.step.step.asks)
        if (ask.limits == "seat") wanted += ask.slots.size();
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        if (ask == nullptr || ask->limits != "seat") continue;
        diameters.push_back(seat_reading(reading));
        largest_u = std::max(largest_u, reading.u_si);
    }
    if (diameters.empty()) return;
    const auto size = limits_of(unit.shaft, unit.seat_class);
    const auto form = form_limit(unit.shaft, unit.seat_form);
    if (!size || !form) {
        take_verdict(assessment, Verdict::undecided, !size ? size.error().message : form.error().message);
        return;
    }
    const auto seat =
        evaluate_seat({unit.shaft, *size, *form}, diameters, conditions_of(question.given, largest_u));
    if (!seat) {
        take_verdict(assessment, Verdict::undecided, seat.error().message);
        return;
    }
    SeatFigures figures = *seat;
    // Half a set of diameters cannot say anything good about the form yet, and need not hold the step.
    if (diameters.size() < wanted && figures.form_verdict == Verdict::undecided)
        figures.form_verdict = Verdict::inside;
    const Limits form_zone{0, u_to_dum(form->limit), sheet_of(unit) + ", form " + form->text};
    add_figures(figures,
                limits_from(unit.shaft + size->lower, unit.shaft + size->upper, unit,
                            "seat " + size->iso_class + " (" + size->source + ")"),
                form_zone, assessment);
}

} // namespace engine
