// `figure bolt`.
#include "engine/mounting/bolting.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

Result<NutFactor> factor_from(Options& given, const BoltThread& thread)
{
    if (given.has("lube") == given.has("friction"))
        return failure(Fault::bad_input, "Give either --lube or --friction.");
    if (given.has("lube")) return lube_factor(given.text("lube"));
    const double in_thread = given.bare("friction");
    const double at_head   = given.bare("head-friction", in_thread);
    if (given.trouble()) return *given.trouble();
    const auto k = nut_factor_by_friction(thread, in_thread, at_head);
    if (!k) return k.failure();
    return NutFactor{*k, "from friction [SHIG9-T8-15]"};
}

Status reading(Options& given, NewtonMetres wanted, Answer& answer)
{
    if (!given.has("read")) return Unit{};
    TorqueCheck check;
    check.read              = given.torque("read");
    check.wanted            = given.torque("wanted", wanted);
    check.tolerance_percent = given.percent("tolerance", check.tolerance_percent);
    check.wrench_percent    = given.percent("wrench", check.wrench_percent);
    if (given.trouble()) return *given.trouble();
    const auto verdict = torque_verdict(check);
    if (!verdict) return verdict.failure();
    answer.text("verdict", name_of(*verdict));
    return Unit{};
}

Status bolt(Options& given, Answer& answer)
{
    const int  bolts  = given.count("bolts", 4);
    const auto thread = bolt_thread(given.text("size"));
    if (!thread) return thread.failure();
    const auto proof = proof_stress(*thread, given.text("class"));
    if (!proof) return proof.failure();
    const auto factor = factor_from(given, *thread);
    if (!factor) return factor.failure();
    const double share = given.percent("share", 75) / 100;
    if (given.trouble()) return *given.trouble();
    const auto order = cross_order(bolts);
    if (!order) return order.failure();
    const auto load = tightening(*thread, proof->stress, factor->k, share);
    if (!load) return load.failure();
    const auto range = preload_range(*thread, proof->stress, *factor, share);
    if (!range) return range.failure();
    std::vector<double> passes;
    for (const Pass& pass : tightening_passes(bolts))
        passes.push_back(pass.share * load->torque.value);
    answer.number("preload_kn", load->preload.value, "kN", 1);
    answer.number("preload_low_kn", range->low.value, "kN, what a bolt may get at this torque", 1);
    answer.number("preload_high_kn", range->high.value, "kN", 1);
    answer.number("torque_nm", load->torque.value, "N.m", 1);
    answer.numbers("passes", passes, "N.m", 1);
    answer.whole("order", *order);
    answer.number("stress_area_mm2", thread->stress_area.value, "mm2", 1);
    answer.number("proof_mpa", proof->stress.value, "MPa", 0);
    answer.number("k", factor->k, "(nut factor)", 3);
    answer.text("source", "area " + thread->source + ", proof " + proof->source + ", K " + factor->source +
                              ", scatter 17 % of K [SHIG9-T8-15]");
    if (range->over_proof)
        answer.note(
            "A bolt with little friction would be over its proof load at this torque: oil all alike, or "
            "take less.");
    answer.note(
        "The last pass is the check round: repeat until no bolt turns. The torque of the maker's sheet goes "
        "first.");
    return reading(given, load->torque, answer);
}

} // namespace

void add_figure_bolt(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic = *figure.add_subcommand("bolt", "preload, torque, passes and order of mounting bolts");
    const auto options = std::make_shared<Options>();
    options->add(topic, "size", "M6..M39, M16x1.5, or UNC and UNF with threads, such as 5/8-11", true);
    options->add(topic, "class", "8.8 for metric, grade5 for UNC and UNF", true);
    options->add(topic, "lube", "dry, oiled, anti-seize, or the nut factor K");
    options->add(topic, "friction", "in the thread, in place of --lube, such as 0.15");
    options->add(topic, "head-friction", "under the head; as in the thread when not given");
    options->add(topic, "share", "of the proof load; 75% when not given");
    options->add(topic, "bolts", "number of bolts, 2..24; 4 when not given");
    options->add(topic, "read", "torque read at the wrench: gives a verdict");
    options->add(topic, "wanted", "torque of the sheet; the figure worked out here when not given");
    options->add(topic, "tolerance", "of the torque; 10% when not given");
    options->add(topic, "wrench", "error of the wrench; 4% when not given");
    run_topic(topic, outcome, options, bolt);
}

} // namespace field::cli
