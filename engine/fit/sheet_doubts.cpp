#include "engine/fit/sheet_doubts.h"

#include "engine/base/numbers.h"
#include "engine/base/ranges.h"
#include "engine/fit/estimate.h"
#include "engine/fit/sheet_check.h"
#include "engine/metrology/limits.h"
#include "engine/mounting/bolting.h"

#include <cmath>

namespace engine {
namespace {

constexpr double kSeatingShare = 0.4;  // of a published nut angle, at most
constexpr double kTwoSigma     = 2;    // about 95 % (GUM 6.2.1)
constexpr double kMostFriction = 0.35; // K
constexpr double kOiled = 0.15, kAntiSeize = 0.12;
constexpr double kRounding = 1.02, kLoose = 0.2;

std::string mm_with_u(Millimetres length, Millimetres u)
{
    return fixed(length.value, 3) + " mm (+-" + fixed(u.value, 3) + ")";
}

void doubt_least_turn(const UnitSheet& sheet, std::vector<SheetDoubt>& doubts)
{
    if (!sheet.clearance_before) return;
    const auto up = draw_up_by_angle(taper_of(sheet), (1 - kSeatingShare) * sheet.turn_min);
    if (!up) return;
    const Millimetres u =
        kTwoSigma * std::hypot(kModelShare, kZeroError / sheet.turn_min) * up->clearance_taken;
    const Millimetres most = sheet.clearance_before->high;
    if (!(up->clearance_taken - u > most)) return;
    doubts.push_back({"turn_min", true, fixed(most.value, 3) + " mm", mm_with_u(up->clearance_taken, u),
                      "takes at least " + mm_with_u(up->clearance_taken, u) +
                          " of clearance, seating left out, and the sheet has " + fixed(most.value, 3) +
                          " mm at most before turning: the bearing would be jammed",
                      "turn and clearances as they stand on the maker's sheet"});
}

void doubt_turn(const UnitSheet& sheet, std::vector<SheetDoubt>& doubts)
{
    const auto check = check_sheet(claims_of(sheet));
    if (!check) {
        doubts.push_back({"turn_min",
                          false,
                          {},
                          {},
                          "could not be held against mechanics (" + check.error().message + ")",
                          "the maker's values, or leave it so"});
        return;
    }
    if (check->answer != SheetAnswer::disagrees) return;
    doubts.push_back({"turn_min", false, mm_with_u(check->limits_want, check->u_limits_want),
                      mm_with_u(check->turn_takes, check->u_turn_takes),
                      "does not agree with the clearances. " + check->sentence,
                      "it so if the maker says so"});
}

/// A class or form the tables do not hold gives the seat no limits: nothing would be judged at the machine.
void doubt_seat(const UnitSheet& sheet, std::vector<SheetDoubt>& doubts)
{
    if (const auto limits = limits_of(sheet.shaft, sheet.seat_class); !limits)
        doubts.push_back({"seat_class",
                          false,
                          sheet.seat_class,
                          {},
                          "gives no limits here, so the diameter of the seat will not be judged (" +
                              limits.error().message + ")",
                          {}});
    if (const auto form = form_limit(sheet.shaft, sheet.seat_form); !form)
        doubts.push_back(
            {"seat_form",
             false,
             sheet.seat_form,
             {},
             "gives no limit here, so the form of the seat will not be judged (" + form.error().message + ")",
             {}});
}

/// Torque that brings the bolt to this force.
NewtonMetres torque_at(const BoltThread& thread, Megapascals stress, double k)
{
    return NewtonMetres{k * stress.value * thread.stress_area.value * thread.diameter.value / 1000};
}

std::string torque_words(NewtonMetres torque)
{
    return fixed(torque.value, 1) + " N.m";
}

void doubt_torque(const UnitSheet& sheet, std::vector<SheetDoubt>& doubts)
{
    const auto thread = bolt_thread(sheet.bolt_size);
    const auto proof =
        thread ? proof_stress(*thread, sheet.bolt_class) : Result<ProofStress>(thread.failure());
    if (!proof) {
        doubts.push_back({"bolt_torque",
                          false,
                          {},
                          {},
                          "could not be held against the bolt (" + proof.error().message + ")",
                          "size and class as on the bolt"});
        return;
    }
    const std::string  bolt   = sheet.bolt_size + " " + sheet.bolt_class + " bolt";
    const NewtonMetres breaks = torque_at(*thread, proof->tensile, kMostFriction);
    const NewtonMetres most   = torque_at(*thread, proof->stress, kOiled);
    const NewtonMetres least  = kLoose * torque_at(*thread, proof->stress, kAntiSeize);
    SheetDoubt         doubt{"bolt_torque", false, torque_words(sheet.bolt_torque), {}, {}, {}};
    if (sheet.bolt_torque > breaks) {
        const auto shown = shown_outside(sheet.bolt_torque.value, breaks.value, 1, 1);
        doubt.impossible = true;
        doubt.ours       = torque_words(breaks);
        doubt.wrong      = "is " + shown.value + " N.m and breaks an " + bolt +
                      " however rough its thread: " + shown.limit +
                      " N.m bring it to its tensile strength at the highest friction";
        doubt.wanted = "the torque of the maker's sheet, in its unit";
    } else if (sheet.bolt_torque > kRounding * most) {
        doubt.ours  = torque_words(most);
        doubt.wrong = "is " + doubt.theirs + "; an oiled " + bolt + " passes its proof load at " +
                      doubt.ours + " (K 0.15)";
        doubt.wanted = "it so if the maker means dry bolts";
    } else if (sheet.bolt_torque < least) {
        const auto shown = shown_outside(sheet.bolt_torque.value, least.value, 1, 1);
        doubt.ours       = shown.limit + " N.m";
        doubt.theirs     = shown.value + " N.m";
        doubt.wrong      = "is " + doubt.theirs + "; below " + doubt.ours + " an " + bolt +
                      " holds less than a fifth of its proof load, whatever the grease";
        doubt.wanted = "it so if the maker says so; look at the unit";
    } else {
        return;
    }
    doubts.push_back(std::move(doubt));
}

} // namespace

std::vector<SheetDoubt> doubts_of(const UnitSheet& sheet)
{
    std::vector<SheetDoubt> doubts;
    doubt_least_turn(sheet, doubts);
    if (doubts.empty()) doubt_turn(sheet, doubts);
    doubt_seat(sheet, doubts);
    doubt_torque(sheet, doubts);
    return doubts;
}

} // namespace engine
