#include "field/cli/figure.h"

namespace field::cli {

void run_topic(CLI::App& topic, Outcome& outcome, std::shared_ptr<Options> options, Work work)
{
    topic.add_flag("--json", options->as_json, "print one JSON document, SI units in the key names");
    topic.callback([options = std::move(options), work = std::move(work), &outcome] {
        Answer     answer;
        const auto done = work(*options, answer);
        if (options->trouble()) {
            outcome.exit_code = complain(options->trouble()->error);
        } else if (!done) {
            outcome.exit_code = complain(done.error());
        } else {
            answer.print(options->as_json);
        }
    });
}

void add_figure(CLI::App& app, Outcome& outcome)
{
    CLI::App& figure =
        *app.add_subcommand("figure", "the engine's numbers on their own, for checking by hand");
    figure.require_subcommand(1);
    figure.footer(
        "Numbers carry their unit: 50mm, 1-15/16in, 95deg, 0.75turn, 31C, 18tpi. The maker's sheet is "
        "the authority; these figures cross-check it.");
    add_figure_limits(figure, outcome);
    add_figure_seat(figure, outcome);
    add_figure_drawup(figure, outcome);
    add_figure_estimate(figure, outcome);
    add_figure_nut_photo(figure, outcome);
    add_figure_tab(figure, outcome);
    add_figure_shims(figure, outcome);
    add_figure_expansion(figure, outcome);
    add_figure_align(figure, outcome);
    add_figure_bolt(figure, outcome);
    add_figure_grease(figure, outcome);
    add_figure_run_in(figure, outcome);
    add_figure_viscosity(figure, outcome);
    add_figure_life(figure, outcome);
    add_figure_vibration(figure, outcome);
    add_figure_frequencies(figure, outcome);
    add_figure_weibull(figure, outcome);
    add_figure_survival(figure, outcome);
}

} // namespace field::cli
