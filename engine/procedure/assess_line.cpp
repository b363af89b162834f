// What several readings of one step say together: shims, the cartridge, the alignment.
#include "engine/procedure/assess_parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr Millimetres kShimsEqual{0.03}; ///< three packs differ by no more: common practice
constexpr double      kDegreesPerRadian = 180.0 / std::numbers::pi;

std::vector<const ReadingFact*> readings_under(const AssessQuestion& question, std::string_view rule)
{
    std::vector<const ReadingFact*> found;
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        if (ask != nullptr && ask->limits == rule) found.push_back(&reading);
    }
    return found;
}

std::int64_t root_sum_square(std::int64_t a, std::int64_t b)
{
    return std::llround(std::hypot(static_cast<double>(a), static_cast<double>(b)));
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
    if (gaps.size() != 2 || question.unit == nullptr || !question.unit->float_total) return;
    const std::int64_t left  = gaps[0]->value.si;
    const std::int64_t right = gaps[1]->value.si;
    const std::int64_t u     = root_sum_square(gaps[0]->u_si, gaps[1]->u_si);
    const std::int64_t total = dum(*question.unit->float_total);
    assessment.figures.push_back(figure("float_total", UnitOf::mm, left + right, u));
    assessment.figures.push_back(figure("set_off", UnitOf::mm, (right - left) / 2, u / 2));
    constexpr std::int64_t kFloatMayDiffer = 5'000; // 0.5 mm of the sheet's float: common practice
    if (std::abs(left + right - total) > kFloatMayDiffer + u)
        assessment.advice.push_back("Both gaps together are " + fixed(from_si(left + right, UnitOf::mm), 2) +
                                    " mm; " + sheet_of(*question.unit) + " says " +
                                    fixed(question.unit->float_total->value, 2) +
                                    " mm of float. Read them again.");
}

void assess_align(const AssessQuestion& question, Assessment& assessment)
{
    const auto        offsets = readings_under(question, "offset");
    const Millimetres span    = question.plan.job.span;
    if (offsets.size() != 2 || !(span.value > 0)) return;
    const auto angle_of = [&span](double offset_dum) {
        return Degrees{std::atan2(from_si(std::llround(offset_dum), UnitOf::mm), span.value) *
                       kDegreesPerRadian};
    };
    const auto   offset = root_sum_square(offsets[0]->value.si, offsets[1]->value.si);
    const auto   u      = std::max(offsets[0]->u_si, offsets[1]->u_si);
    const auto   most   = std::ranges::min_element(question.plan.units, {}, [](const auto& unit) {
                          return unit.second.misalignment_max;
                      })->second;
    const Limits limit{std::nullopt, mdeg(most.misalignment_max), sheet_of(most) + ", misalignment"};
    const auto   angle = angle_of(static_cast<double>(offset));
    add_figure(assessment,
               figure("angle", UnitOf::deg, mdeg(angle), mdeg(angle_of(static_cast<double>(u))), limit),
               "The housings are " + fixed(angle.value, 2) + " deg out of line; " + limit.source +
                   " allows " + fixed(most.misalignment_max.value, 1) + " deg.");
}

} // namespace engine
