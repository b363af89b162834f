#include "engine/fit/sheet_check.h"

#include "engine/base/ranges.h"
#include "engine/fit/clearance.h"
#include "engine/fit/estimate.h"
#include "engine/metrology/instrument.h"

#include <cmath>

namespace engine {
namespace {

constexpr double kCoverage = 2; // k = 2, about 95 % (GUM 6.2.1)

double half(const LengthLimits& limits)
{
    return (limits.high - limits.low).value / 2;
}

Millimetres middle(const LengthLimits& limits)
{
    return (limits.low + limits.high) / 2;
}

std::optional<Failure> bad_claims(const SheetClaims& claims)
{
    const Range turn{0, 1440, "degrees", 0};
    if (auto bad = out_of(turn, claims.turn_min.value, "least turn of the nut")) return bad;
    if (auto bad = out_of(turn, claims.turn_max.value, "most turn of the nut")) return bad;
    if (claims.turn_min > claims.turn_max)
        return failure(Fault::bad_input, "The least turn of the sheet is above its most turn.");
    for (const auto* limits : {&claims.before, &claims.after}) {
        if (!limits->has_value()) continue;
        for (const Millimetres value : {(*limits)->low, (*limits)->high})
            if (auto bad = out_of({0, 2, "mm", 0}, value.value, "clearance of the sheet")) return bad;
        if ((*limits)->low > (*limits)->high)
            return failure(Fault::bad_input, "A clearance of the sheet has its limits the wrong way round.");
    }
    return std::nullopt;
}

LengthLimits in_mm(const ClearanceRange& range)
{
    return {to_millimetres(range.low), to_millimetres(range.high)};
}

/// What the clearances ask for; nothing when neither sheet nor tables say.
void find_wanted(const SheetClaims& claims, SheetCheck& check)
{
    std::optional<LengthLimits> before = claims.before;
    check.wanted_from                  = "the sheet";
    if (!before && claims.after && !claims.group.empty()) {
        if (const auto range = clearance_group(claims.unit.bore, BoreForm::tapered, claims.group)) {
            before            = in_mm(*range);
            check.wanted_from = "the sheet and " + claims.group + " of " + range->source;
        }
    }
    if (before && claims.after) {
        check.limits_want = middle(*before) - middle(*claims.after);
        check.u_limits_want =
            Millimetres{kCoverage * std::hypot(standard_of_half_width(half(*before)),
                                               standard_of_half_width(half(*claims.after)))};
        check.answer = SheetAnswer::agrees;
    } else if (const auto advised = advised_reduction(claims.unit.bore)) {
        check.limits_want   = middle(in_mm(*advised));
        check.u_limits_want = Millimetres{kCoverage * standard_of_half_width(half(in_mm(*advised)))};
        check.wanted_from   = advised->source;
        check.answer        = SheetAnswer::agrees;
    }
}

std::string plus_minus(Millimetres value, Millimetres u)
{
    return fixed(value.value, 3) + " mm (+-" + fixed(u.value, 3) + ")";
}

std::string sentence_of(const SheetClaims& claims, const SheetCheck& check)
{
    const std::string name = claims.name.empty() ? "The sheet" : claims.name;
    const std::string turn = name + ": turning " + fixed(claims.turn_min.value, 0) + " to " +
                             fixed(claims.turn_max.value, 0) + " deg should take " +
                             plus_minus(check.turn_takes, check.u_turn_takes) + " of clearance";
    if (check.answer == SheetAnswer::cannot_say)
        return turn + "; neither sheet nor tables say what is wanted.";
    const std::string both = turn + "; " + plus_minus(check.limits_want, check.u_limits_want) +
                             " is wanted by " + check.wanted_from;
    if (check.answer == SheetAnswer::agrees) return both + ": they agree.";
    return both + ": they disagree by more than both may be off. The sheet decides; ask its maker" +
           (check.turn_takes > check.limits_want
                ? ", and whether its turn counts from hand tight, seating included."
                : ".");
}

} // namespace

std::string_view name_of(SheetAnswer answer)
{
    if (answer == SheetAnswer::agrees) return "agrees";
    return answer == SheetAnswer::disagrees ? "disagrees" : "cannot say";
}

Taper taper_of(const UnitSheet& sheet)
{
    Taper taper;
    taper.bore    = sheet.bearing_bore;
    taper.raceway = sheet.raceway;
    taper.taper   = sheet.taper;
    taper.pitch   = sheet.pitch;
    taper.width   = sheet.seat_width;
    // The longer travel on an adapter sleeve is published for these two tapers [TIMKEN_EM table 41 note 2];
    // for others the give of a slit sleeve on this shaft is worked out.
    if (sheet.taper == 12.0 || sheet.taper == 30.0)
        taper.on_sleeve = true;
    else
        taper.sleeve_bore = sheet.shaft;
    return taper;
}

SheetClaims claims_of(const UnitSheet& sheet)
{
    SheetClaims claims;
    claims.unit     = taper_of(sheet);
    claims.turn_min = sheet.turn_min;
    claims.turn_max = sheet.turn_max;
    claims.group    = sheet.clearance_group;
    claims.before   = sheet.clearance_before;
    claims.after    = sheet.clearance_after;
    claims.name     = sheet.code + " rev " + sheet.revision;
    return claims;
}

Result<SheetCheck> check_sheet(const SheetClaims& claims)
{
    if (auto bad = bad_claims(claims)) return *bad;
    const Degrees mid = (claims.turn_min + claims.turn_max) / 2;
    const auto    up  = draw_up_by_angle(claims.unit, mid);
    if (!up) return up.failure();

    SheetCheck   check;
    const double per_degree = mid.value > 0 ? up->clearance_taken.value / mid.value : 0;
    const double window     = standard_of_half_width((claims.turn_max - claims.turn_min).value / 2);
    check.turn_takes        = up->clearance_taken;
    check.heavy             = up->heavy;
    check.u_turn_takes =
        Millimetres{kCoverage * std::hypot(check.turn_takes.value * model_share(claims.unit.bore),
                                           per_degree * window, per_degree * kZeroError.value)};
    find_wanted(claims, check);
    if (check.answer != SheetAnswer::cannot_say) {
        const double may = std::hypot(check.u_turn_takes.value, check.u_limits_want.value);
        // Nothing turned and nothing wanted is agreement, not a division by nothing.
        const double gap = std::abs((check.turn_takes - check.limits_want).value);
        check.apart      = may > 0 ? gap / may : 0;
        if (check.apart > 1) check.answer = SheetAnswer::disagrees;
    }
    check.sentence = sentence_of(claims, check);
    return check;
}

} // namespace engine
