// What several readings of one step say together: shims, the cartridge, the alignment.
#include "engine/base/ranges.h"
#include "engine/mounting/alignment.h"
#include "engine/procedure/assess_parts.h"
#include "engine/procedure/line_of.h"

#include <algorithm>

namespace engine {
namespace {

constexpr Millimetres kShimsEqual{0.03}; ///< three packs differ by no more: common practice

std::vector<const ReadingFact*> readings_under(const AssessQuestion& question, std::string_view rule)
{
    std::vector<const ReadingFact*> found;
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        if (ask != nullptr && ask->limits == rule) found.push_back(&reading);
    }
    return found;
}

} // namespace

void assess_shims(const AssessQuestion& question, Assessment& assessment)
{
    const auto shims = readings_under(question, "shim");
    if (shims.size() < 2) return;
    std::int64_t low  = shims.front()->value.si;
    std::int64_t high = low;
    std::int64_t sum  = 0;
    std::int64_t u    = 0;
    for (const ReadingFact* const shim : shims) {
        low  = std::min(low, shim->value.si);
        high = std::max(high, shim->value.si);
        sum += shim->value.si;
        u = std::max(u, shim->u_si);
    }
    assessment.figures.push_back(
        figure("thickness", UnitOf::mm, sum / static_cast<std::int64_t>(shims.size()), u));
    const Limits equal{0, dum(kShimsEqual), "three equal shims, 0.03 mm: common practice"};
    // One micrometer reads all three in a row: what it is wrong by is the same for each and drops out.
    add_figure(assessment, figure("spread", UnitOf::mm, high - low, 0, equal),
               "The shims differ by " + fixed(from_si(high - low, UnitOf::mm), 3) +
                   " mm: the flange would stand tilted; use three equal shims.");
}

void assess_centre(const AssessQuestion& question, Assessment& assessment)
{
    const auto gaps = readings_under(question, "gap_each");
    if (question.unit == nullptr) return;
    Expansion  shaft = expansion_of(question.plan, *question.unit);
    const auto alone = expansion(shaft);
    if (!alone) return;
    assessment.figures.push_back(figure("shaft_growth", UnitOf::mm, dum(alone->growth)));
    if (alone->float_each)
        assessment.figures.push_back(figure("float_each", UnitOf::mm, dum(*alone->float_each)));
    assessment.figures.push_back(figure("set_off", UnitOf::mm, dum(alone->set_off)));
    if (gaps.size() != 2) return;

    std::int64_t u = 0;
    FloatGaps    read;
    for (const ReadingFact* const gap : gaps) {
        Millimetres& side =
            is_away_gap(question.plan, question.step.ref.pos, gap->ask) ? read.away : read.toward;
        side = millimetres(gap->value.si);
        u    = std::max(u, gap->u_si);
    }
    shaft.gaps      = read;
    shaft.gap_u     = to_micrometres(millimetres(u));
    const auto both = expansion(shaft);
    if (!both) return;
    const Millimetres stands = (read.away - read.toward) / 2.0;
    assessment.figures.push_back(figure("off_target", UnitOf::mm, dum(stands), u));
    take_verdict(assessment, both->verdict,
                 "The gaps of " + fixed(read.toward.value, 2) + " mm toward the fixed unit and " +
                     fixed(read.away.value, 2) + " mm away from it do not leave room for " +
                     fixed(both->growth.value, 2) + " mm of growth, or do not add up to the float of " +
                     sheet_of(*question.unit) + ".");
}

void assess_align(const AssessQuestion& question, Assessment& assessment)
{
    const auto offsets = readings_under(question, "offset");
    const auto most    = std::ranges::min_element(question.plan.units, {},
                                                  [](const auto& unit) { return unit.second.misalignment_max; });
    if (offsets.size() != 2 || most == question.plan.units.end()) return;
    const Offsets read{question.plan.job.span, millimetres(offsets[0]->value.si),
                       millimetres(offsets[1]->value.si),
                       to_micrometres(millimetres(std::max(offsets[0]->u_si, offsets[1]->u_si)))};
    const Degrees limit = most->second.misalignment_max;
    const auto    line  = align_by_offsets(read, limit);
    if (!line) return;
    Figure angle             = figure("angle", UnitOf::deg, mdeg(line->angle), mdeg(line->u),
                                      Limits{std::nullopt, mdeg(limit), sheet_of(most->second) + ", misalignment"});
    angle.verdict            = line->verdict;
    const ShownOutside shown = shown_outside(line->angle.value, limit.value, 1, 2);
    add_figure(assessment, std::move(angle),
               "The housings are " + shown.value + " deg out of line; " + sheet_of(most->second) +
                   " allows " + shown.limit + " deg.");
}

} // namespace engine
