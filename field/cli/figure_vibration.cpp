// `figure vibration` and `figure frequencies`.
#include "engine/running/frequencies.h"
#include "engine/running/vibration.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

std::string_view meaning_of(char zone)
{
    switch (zone) {
    case 'A':
        return "Zone A: as a new machine.";
    case 'B':
        return "Zone B: fit for long running.";
    case 'C':
        return "Zone C: not for long running; find the cause and put it right.";
    default:
        return "Zone D: the machine takes damage; stop it.";
    }
}

Status vibration(Options& given, Answer& answer)
{
    VibrationCase machine;
    machine.rms       = given.velocity("rms");
    machine.group     = given.count("group");
    machine.u_percent = given.percent("u", machine.u_percent);
    if (given.trouble()) return *given.trouble();
    const auto support = support_from(given.text("support"));
    if (!support) return support.failure();
    machine.support  = *support;
    const auto found = vibration_zone(machine);
    if (!found) return found.failure();
    answer.text("zone", std::string(1, found->zone));
    if (found->next_boundary)
        answer.number("next_boundary_mm_s", found->next_boundary->value, "mm/s", 1);
    else
        answer.absent("next_boundary_mm_s", "none above zone D");
    answer.text("verdict", name_of(found->verdict));
    answer.text("source", "ISO 20816-3 " + found->source);
    answer.note(meaning_of(found->zone));
    if (found->worst != found->zone)
        answer.note("The uncertainty of the reading reaches into zone " + std::string(1, found->worst) + ".");
    return Unit{};
}

Status frequencies(Options& given, Answer& answer)
{
    RollingSet set;
    set.elements = given.count("elements");
    set.element  = given.length("element");
    set.pitch    = given.length("pitch");
    set.contact  = given.angle("contact");
    set.speed    = given.speed("speed");
    if (given.trouble()) return *given.trouble();
    const auto found = defect_frequencies(set);
    if (!found) return found.failure();
    answer.number("ftf_hz", found->ftf.value, "Hz (cage)", 3);
    answer.number("bpfo_hz", found->bpfo.value, "Hz (outer ring)", 3);
    answer.number("bpfi_hz", found->bpfi.value, "Hz (inner ring)", 3);
    answer.number("bsf_hz", found->bsf.value, "Hz (spin of an element)", 3);
    answer.text("source", "geometry without slip [CODE-CWRU] [CURTIN-MFS]");
    answer.note("A damaged element strikes both rings in one spin: look at twice its frequency too.");
    return Unit{};
}

} // namespace

void add_figure_vibration(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("vibration", "zone of a vibration reading on the housing");
    const auto options = std::make_shared<Options>();
    options->add(topic, "rms", "velocity, 10 to 1000 Hz, such as 2.8mm/s", true);
    options->add(topic, "group", "1: above 300 kW; 2: 15 to 300 kW", true);
    options->add(topic, "support", "rigid or flexible", true);
    options->add(topic, "u", "expanded uncertainty of the reading; 10% when not given");
    run_topic(topic, outcome, options, vibration);
}

void add_figure_frequencies(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("frequencies", "at which a damaged part is struck");
    const auto options = std::make_shared<Options>();
    options->add(topic, "elements", "rolling elements of one row", true);
    options->add(topic, "element", "diameter of an element", true);
    options->add(topic, "pitch", "diameter of the circle through their centres", true);
    options->add(topic, "contact", "contact angle; 0deg when not given");
    options->add(topic, "speed", "of the inner ring, such as 980rpm", true);
    run_topic(topic, outcome, options, frequencies);
}

} // namespace field::cli
