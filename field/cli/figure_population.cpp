// `figure weibull` and `figure survival`.
#include "engine/evidence/population/ranks.h"
#include "engine/evidence/population/survival.h"
#include "engine/evidence/population/weibull.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

Result<std::vector<LifeRecord>> records_in(const Options& given)
{
    const auto table = read_csv(given.text("file"));
    if (!table) return table.failure();
    return life_records_from(*table);
}

void tell(const WeibullFit& fit, Answer& answer)
{
    answer.number("shape", fit.shape, "", 4);
    answer.number("scale_h", fit.scale.value, "h", 1);
    answer.number("shape_low", fit.shape_low, "", 4);
    answer.number("shape_high", fit.shape_high, "", 4);
    answer.number("scale_low_h", fit.scale_low.value, "h", 1);
    answer.number("scale_high_h", fit.scale_high.value, "h", 1);
    answer.number("log_likelihood", fit.log_likelihood, "", 3);
    answer.number("b10_h", fit.b10.value, "h", 1);
    answer.number("b10_low_h", fit.b10_low.value, "h", 1);
    answer.number("b10_high_h", fit.b10_high.value, "h", 1);
    answer.number("failures", fit.failures, "", 0);
    answer.number("suspensions", fit.suspensions, "", 0);
    answer.text("reading", fit.reading);
    answer.text("source",
                "maximum likelihood [NIST-APR413]; bounds by its profile, widened for few failures by "
                "simulation; meaning of the shape [PTC-MR]");
}

Status weibull(Options& given, Answer& answer)
{
    const double confidence = given.percent("confidence", 95);
    if (given.trouble()) return *given.trouble();
    const auto records = records_in(given);
    if (!records) return records.failure();
    const auto fit = fit_weibull(*records, confidence / 100);
    if (!fit) return fit.failure();
    tell(*fit, answer);
    if (const auto line = rank_regression(*records, RankAxis::x_on_y, RankRule::exact)) {
        answer.number("rank_shape", line->shape, "(line through median ranks, times on ranks)", 4);
        answer.number("rank_scale_h", line->scale.value, "h", 1);
        answer.number("rank_r_squared", line->r_squared, "", 4);
    }
    return Unit{};
}

void tell(const SurvivalCurve& curve, Answer& answer)
{
    std::vector<double> times, at_risk, failures, s, se;
    for (const SurvivalStep& step : curve.steps) {
        times.push_back(step.time.value);
        at_risk.push_back(step.at_risk);
        failures.push_back(step.failures);
        s.push_back(step.s);
        se.push_back(step.se);
    }
    answer.table("groups", curve.group.empty() ? "all" : curve.group,
                 {{"times", times, 1},
                  {"at_risk", at_risk, 0},
                  {"failures", failures, 0},
                  {"s", s, 4},
                  {"se", se, 4}});
}

Status survival(Options& given, Answer& answer)
{
    const auto records = records_in(given);
    if (!records) return records.failure();
    const auto curves = kaplan_meier(*records);
    if (!curves) return curves.failure();
    for (const SurvivalCurve& curve : *curves)
        tell(curve, answer);
    answer.text("source", "Kaplan-Meier, Greenwood and log-rank [INTROBIOSTAT-11.1]");
    const auto test = log_rank(*records);
    if (!test) {
        for (const std::string_view key : {"chi_square", "dof", "p"})
            answer.absent(key, "nothing to compare");
        answer.note(test.error().message);
        return Unit{};
    }
    answer.number("chi_square", test->chi_square, "(log-rank)", 3);
    answer.number("dof", test->dof, "", 0);
    answer.number("p", test->p, "", 6);
    answer.text("reading", test->reading);
    return Unit{};
}

} // namespace

void add_figure_weibull(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("weibull", "life of many bearings, failed and still running");
    const auto options = std::make_shared<Options>();
    options->add_file(topic, "file",
                      "sheet with the columns time_h, event (1 failed, 0 running) and, if counted, count");
    options->add(topic, "confidence", "of the bounds; 95% when not given");
    run_topic(topic, outcome, options, weibull);
}

void add_figure_survival(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("survival", "share still running, and whether groups differ");
    const auto options = std::make_shared<Options>();
    options->add_file(topic, "file", "sheet with the columns group, time_h and event (1 failed, 0 running)");
    run_topic(topic, outcome, options, survival);
}

} // namespace field::cli
