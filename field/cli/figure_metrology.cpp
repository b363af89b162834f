// `figure limits` and `figure seat`.
#include "engine/metrology/instrument.h"
#include "engine/metrology/seat.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

Status limits(Options& given, Answer& answer)
{
    const auto nominal = given.length("nominal");
    if (given.trouble()) return *given.trouble();
    const auto found = limits_of(nominal, given.text("class"));
    if (!found) return found.failure();
    answer.number("lower_mm", found->lower.value, "mm", 4);
    answer.number("upper_mm", found->upper.value, "mm", 4);
    answer.number("tolerance_mm", found->tolerance.value, "mm", 4);
    answer.text("source", found->source);
    return Unit{};
}

/// "I.across=49.972mm"
Result<SeatReading> seat_reading(Options& given, const std::string& text)
{
    const std::size_t dot = text.find('.'), equals = text.find('=');
    if (dot == std::string::npos || equals == std::string::npos || dot > equals)
        return failure(Fault::bad_input, "--reading: '" + text.substr(0, 64) +
                                             "' does not say plane, direction and diameter; give it like "
                                             "I.across=49.972mm.");
    SeatReading reading;
    reading.plane     = text.substr(0, dot);
    reading.direction = text.substr(dot + 1, equals - dot - 1);
    reading.diameter  = given.length_of("reading", text.substr(equals + 1));
    return reading;
}

Result<SeatSpec> seat_spec(Millimetres nominal, const Options& given)
{
    const auto size = limits_of(nominal, given.text("class"));
    if (!size) return size.failure();
    const auto form = form_limit(nominal, given.text("form"));
    if (!form) return form.failure();
    SeatSpec spec{nominal, *size, *form, DecisionRule::k2};
    if (given.has("rule")) {
        const auto rule = rule_from(given.text("rule"));
        if (!rule) return rule.failure();
        spec.rule = *rule;
    }
    return spec;
}

void tell(const SeatFigures& seat, const FormLimit& form, Answer& answer)
{
    answer.number("mean_20c_mm", seat.mean_20c.value, "mm", 4);
    answer.number("u_mm", to_millimetres(seat.u_mean).value, "mm (standard uncertainty)", 4);
    answer.number("out_of_round_mm", seat.out_of_round.value, "mm on the diameter", 4);
    answer.number("taper_mm", seat.taper.value, "mm on the diameter", 4);
    answer.text("size_verdict", name_of(seat.size_verdict));
    answer.text("form_verdict", name_of(seat.form_verdict));
    answer.number("form_deviation_mm", to_millimetres(seat.form_deviation).value, "mm on the radius", 4);
    answer.text("source",
                "limits ISO 286; temperature ISO 1 [ISO1-2016-PAPER]; form on two points [NKE_2018]; "
                "verdict ISO 14253-1 [ISO14253-RULE]");
    answer.number("form_limit_mm", to_millimetres(form.limit).value, "mm on the radius", 4);
    answer.number("expanded_u_reading_mm", to_millimetres(seat.expanded_u_reading).value, "mm (k = 2)", 4);
}

Status seat(Options& given, Answer& answer)
{
    const auto     nominal = given.length("nominal");
    SeatConditions how;
    how.part       = given.temperature("temperature", how.part);
    how.instrument = given.temperature("instrument", how.instrument);
    how.alpha      = given.expansion("alpha", how.alpha);
    if (given.trouble()) return *given.trouble();
    const auto usual = micrometer_error_limit(nominal);
    if (!usual) return usual.failure();
    how.error_limit   = to_micrometres(given.length("mpe", to_millimetres(*usual)));
    how.repeatability = to_micrometres(given.length("repeatability"));
    std::vector<SeatReading> readings;
    for (const std::string& text : given.list("reading")) {
        auto reading = seat_reading(given, text);
        if (!reading) return reading.failure();
        readings.push_back(*std::move(reading));
    }
    if (given.trouble()) return *given.trouble();
    const auto spec = seat_spec(nominal, given);
    if (!spec) return spec.failure();
    const auto figures = evaluate_seat(*spec, readings, how);
    if (!figures) return figures.failure();
    tell(*figures, spec->form, answer);
    if (figures->form_verdict == Verdict::undecided)
        answer.note(
            "Form counts as inside only when at least two planes of two directions each were read and "
            "the whole uncertainty lies within the limit.");
    return Unit{};
}

} // namespace

void add_figure_limits(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("limits", "limits of a shaft class (ISO 286)");
    const auto options = std::make_shared<Options>();
    options->add(topic, "nominal", "nominal diameter, up to 500mm", true);
    options->add(topic, "class", "h1..h18, js1..js18, or d e f g k m n p r s with the grades of ISO 286-2",
                 true);
    run_topic(topic, outcome, options, limits);
}

void add_figure_seat(CLI::App& figure, Outcome& outcome)
{
    CLI::App& topic =
        *figure.add_subcommand("seat", "shaft seat from its diameters: size, form, uncertainty");
    const auto options = std::make_shared<Options>();
    options->add(topic, "nominal", "nominal diameter", true);
    options->add(topic, "class", "class of size, such as h9", true);
    options->add(topic, "form", "limit of cylindricity on the radius, such as IT5/2", true);
    options->add_list(topic, "reading", "PLANE.DIRECTION=DIAMETER, such as I.across=49.972mm; repeat", 1,
                      200);
    options->add(topic, "temperature", "of the shaft; 20C when not given");
    options->add(topic, "instrument", "temperature of the micrometer; 20C when not given");
    options->add(topic, "mpe", "error limit of the micrometer, such as 4um; by DIN 863-1 when not given");
    options->add(topic, "repeatability", "standard deviation of one reading, such as 1um; 0 when not given");
    options->add(topic, "rule", "k2: guard band of 2 u; 95: 95 % sure at one limit; k2 when not given");
    options->add(topic, "alpha", "expansion of the shaft per kelvin; 11.5e-6 when not given");
    run_topic(topic, outcome, options, seat);
}

} // namespace field::cli
