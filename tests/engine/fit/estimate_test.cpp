#include "engine/fit/estimate.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>

using namespace engine;

namespace {

template <class T> Read<T> read(double value, double u)
{
    return {T{value}, T{u}};
}

Taper unit_of(double bore = 100)
{
    Taper unit;
    unit.bore    = Millimetres{bore};
    unit.raceway = Millimetres{bore / 0.8}; // 15 : 1 at 1:12
    unit.pitch   = ThreadPitch{2};
    unit.width   = Millimetres{40};
    return unit;
}

/// Readings without any error of a ring that was drawn up by `angle` after zero was taken late by `late`.
FitReadings perfect(const Taper& unit, double angle, double late = 0)
{
    const auto  up = draw_up_by_angle(unit, Degrees{angle + late});
    FitReadings r;
    r.angle            = read<Degrees>(angle, 2);
    r.nut_photo        = read<Degrees>(angle, 1.5);
    r.sleeve_travel    = read<Millimetres>(angle / 360 * unit.pitch.value, 0.03);
    r.clearance_before = read<Millimetres>(0.09, 0.003);
    r.clearance_after  = read<Millimetres>(0.09 - up->clearance_taken.value, 0.003);
    Taper oiled        = unit;
    oiled.friction     = (r.friction_low + r.friction_high) / 2;
    r.nut_torque = read<NewtonMetres>(draw_up_by_angle(oiled, Degrees{angle + late})->nut_torque->value, 10);
    return r;
}

} // namespace

TEST_SUITE("engine/fit/estimate")
{
    TEST_CASE("readings without error give back the state they were made from")
    {
        const Taper unit  = unit_of();
        const auto  found = estimate_fit(unit, perfect(unit, 140));
        REQUIRE(found);
        const auto up = draw_up_by_angle(unit, Degrees{140});
        CHECK(found->travel.value == doctest::Approx(up->travel.value).epsilon(1e-6));
        CHECK(found->clearance_left.value == doctest::Approx(0.09 - up->clearance_taken.value).epsilon(1e-6));
        CHECK(found->clearance_taken.value == doctest::Approx(up->clearance_taken.value).epsilon(1e-6));
        CHECK(found->zero_error.value == doctest::Approx(0).epsilon(1e-6));
        CHECK(found->chi_square == doctest::Approx(0).epsilon(1e-9));
        CHECK(found->dof == 4);
        CHECK(found->misfit.empty());
        CHECK(found->low < found->clearance_left);
        CHECK(found->clearance_left < found->high);
    }

    // Two readings of one quantity: weighted mean and its uncertainty, GUM (JCGM 100) H.2 and any textbook.
    TEST_CASE("clearance alone is the weighted mean, and its interval is 1.96 of its uncertainty either way")
    {
        const Taper unit = unit_of();
        FitReadings r;
        r.clearance_before = read<Millimetres>(0.080, 0.003);
        r.clearance_after  = read<Millimetres>(0.040, 0.004);
        const auto found   = estimate_fit(unit, r);
        REQUIRE(found);
        CHECK(found->dof == 0);
        CHECK(found->clearance_left.value == doctest::Approx(0.040).epsilon(1e-9));
        CHECK(found->u_clearance_left.value == doctest::Approx(0.004).epsilon(1e-6));
        CHECK((found->high - found->low).value == doctest::Approx(2 * 1.959964 * 0.004).epsilon(1e-6));
        // 15 : 1 of the theory at bore / raceway 0.8 and 1:12 [KOYO_203E].
        CHECK(found->travel.value == doctest::Approx(0.040 * 15).epsilon(1e-6));
    }

    TEST_CASE("a turn alone carries what zero and the ring model may be wrong by")
    {
        const Taper unit = unit_of();
        FitReadings r;
        r.angle            = read<Degrees>(135, 2);
        r.clearance_before = read<Millimetres>(0.090, 0.003);
        const auto found   = estimate_fit(unit, r);
        REQUIRE(found);
        const double per_degree = 2.0 / 360 / 15;
        const double taken      = 135 * per_degree;
        CHECK(found->clearance_left.value == doctest::Approx(0.090 - taken).epsilon(1e-6));
        CHECK(found->u_clearance_left.value ==
              doctest::Approx(std::hypot(0.003, per_degree * std::hypot(2, 2.5), taken * kModelShare))
                  .epsilon(1e-6));
    }

    TEST_CASE("more readings never make the interval wider, and more angle leaves less clearance")
    {
        const Taper unit    = unit_of();
        FitReadings full    = perfect(unit, 140), r;
        r.angle             = full.angle;
        r.delivered_low     = Millimetres{0.08};
        r.delivered_high    = Millimetres{0.10};
        double     width    = 1;
        const auto narrower = [&] {
            const auto found = estimate_fit(unit, r);
            REQUIRE(found);
            const double now = (found->high - found->low).value;
            CHECK(now <= width * (1 + 1e-9));
            width = now;
        };
        narrower();
        r.nut_photo = full.nut_photo;
        narrower();
        r.sleeve_travel = full.sleeve_travel;
        narrower();
        r.nut_torque = full.nut_torque;
        narrower();
        r.clearance_after = full.clearance_after;
        narrower();

        FitReadings turned;
        turned.clearance_before = full.clearance_before;
        double left             = 1;
        for (double angle = 0; angle <= 240; angle += 10) {
            turned.angle     = read<Degrees>(angle, 2);
            const auto found = estimate_fit(unit, turned);
            REQUIRE(found);
            CHECK(found->clearance_left.value < left);
            left = found->clearance_left.value;
        }
    }

    TEST_CASE("one bad reading among good ones is named")
    {
        const Taper unit = unit_of();
        FitReadings r    = perfect(unit, 140);
        SUBCASE("thread misread by half a millimetre")
        {
            r.sleeve_travel->value = r.sleeve_travel->value + Millimetres{0.5};
            const auto found       = estimate_fit(unit, r);
            REQUIRE(found);
            CHECK(found->misfit == "sleeve_travel");
            CHECK(found->or_else.empty());
            CHECK(found->chi_square > found->chi_limit);
        }
        SUBCASE("the dial read 40 degrees off")
        {
            r.angle->value   = Degrees{180};
            const auto found = estimate_fit(unit, r);
            REQUIRE(found);
            CHECK(found->misfit == "angle");
        }
        SUBCASE("the photo read 30 degrees off")
        {
            r.nut_photo->value = Degrees{110};
            CHECK(estimate_fit(unit, r)->misfit == "nut_photo");
        }
        SUBCASE("a torque three times what the turn asks for")
        {
            r.nut_torque->value = 3 * r.nut_torque->value;
            CHECK(estimate_fit(unit, r)->misfit == "nut_torque");
        }
        SUBCASE("feelers over a loaded roller: everything else agrees on the turn")
        {
            r.nut_torque->u          = NewtonMetres{1};
            r.friction_low           = 0.11;
            r.friction_high          = 0.12;
            const Taper same         = unit;
            r.nut_torque->value      = perfect(same, 140).nut_torque->value;
            r.clearance_after->value = r.clearance_after->value + Millimetres{0.04};
            const auto found         = estimate_fit(unit, r);
            REQUIRE(found);
            CHECK(found->misfit == "clearance_after");
            REQUIRE(found->or_else.size() == 1); // a wrong first reading would look just the same
            CHECK(found->or_else.front() == "clearance_before");
        }
    }

    TEST_CASE("a zero taken late shows when the feelers see more than the turn, and names its suspects")
    {
        const Taper unit = unit_of();
        FitReadings r    = perfect(unit, 60, 90);
        r.nut_torque.reset();
        const auto found = estimate_fit(unit, r);
        REQUIRE(found);
        CHECK(found->misfit == "zero");
        CHECK(found->or_else.size() == 2); // either feeler reading would explain it as well
        CHECK(found->zero_error.value > 0);
    }

    TEST_CASE("the verdict is inside only when the whole interval is and the readings fit [ISO14253-RULE]")
    {
        const Taper unit = unit_of();
        FitReadings r    = perfect(unit, 135); // 0.050 taken, 0.040 left
        CHECK_FALSE(estimate_fit(unit, r)->verdict);
        r.left_low  = Millimetres{0.020};
        r.left_high = Millimetres{0.060};
        CHECK(estimate_fit(unit, r)->verdict == Verdict::inside);
        r.left_low = Millimetres{0.039};
        CHECK(estimate_fit(unit, r)->verdict == Verdict::undecided);
        r.left_low = Millimetres{0.055};
        CHECK(estimate_fit(unit, r)->verdict == Verdict::outside);
        r.left_low             = Millimetres{0.001};
        r.left_high            = Millimetres{0.5};
        r.sleeve_travel->value = Millimetres{2};
        const auto misfit      = estimate_fit(unit, r);
        CHECK(misfit->verdict == Verdict::undecided);
        // The interval is widened by the square root of chi-square over its degrees of freedom.
        r.sleeve_travel.reset();
        const auto without = estimate_fit(unit, r);
        CHECK((misfit->high - misfit->low).value > 2 * (without->high - without->low).value);
    }

    TEST_CASE("the 95 percent interval holds the truth about 95 times of 100")
    {
        const Taper   unit = unit_of();
        std::mt19937  dice(20240611);
        const auto    err   = [&](double u) { return std::normal_distribution<double>(0, u)(dice); };
        int           holds = 0, suspected = 0;
        constexpr int kTimes = 2000;
        for (int i = 0; i < kTimes; ++i) {
            const double zero = err(kZeroError.value), share = err(kModelShare), travel = 0.75;
            FitReadings  r;
            const double turned = travel / 2 * 360 - zero;
            r.angle             = read<Degrees>(turned + err(2), 2);
            r.nut_photo         = read<Degrees>(turned + err(1.5), 1.5);
            r.sleeve_travel     = read<Millimetres>(turned / 180 + err(0.03), 0.03);
            r.clearance_before  = read<Millimetres>(0.09 + err(0.003), 0.003);
            const double left   = 0.09 - (1 + share) * travel / 15;
            r.clearance_after   = read<Millimetres>(left + err(0.004), 0.004);
            const auto found    = estimate_fit(unit, r);
            REQUIRE(found);
            holds += int{found->low.value <= left && left <= found->high.value};
            suspected += int{!found->consistent};
        }
        CHECK(holds >= kTimes * 93 / 100);
        CHECK(holds <= kTimes * 98 / 100);
        CHECK(suspected == doctest::Approx(kTimes * 0.05).epsilon(0.35));
    }

    TEST_CASE("a photo cannot count whole turns: the angle read tells them")
    {
        const Taper unit = unit_of();
        FitReadings r    = perfect(unit, 400);
        r.clearance_after.reset(); // nothing would be left
        r.nut_photo->value = Degrees{40};
        const auto found   = estimate_fit(unit, r);
        REQUIRE(found);
        CHECK(found->misfit.empty());
        CHECK(found->travel.value == doctest::Approx(400.0 / 360 * 2).epsilon(1e-6));
    }

    TEST_CASE("too little to go by is said")
    {
        const Taper unit = unit_of();
        FitReadings r;
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r.angle = read<Degrees>(90, 2);
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r.angle.reset();
        r.clearance_after = read<Millimetres>(0.04, 0.004);
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r.nut_torque = read<NewtonMetres>(500, 10);
        CHECK(estimate_fit(unit, r));
        r.sleeve_travel = read<Millimetres>(0.7, 0.05);
        CHECK(estimate_fit(unit, r));
        r.nut_torque.reset();
        CHECK(estimate_fit(unit, r));
        r.nut_torque   = read<NewtonMetres>(500, 10);
        Taper no_width = unit;
        no_width.width = Millimetres{0};
        CHECK(estimate_fit(no_width, r).error().message.find("width") != std::string::npos);
    }

    TEST_CASE("limits the wrong way round are refused")
    {
        const Taper unit = unit_of();
        FitReadings good = perfect(unit, 90), r = good;
        r.left_low  = Millimetres{0.05};
        r.left_high = Millimetres{0.04};
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r              = good;
        r.friction_low = 0.2;
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r               = good;
        r.delivered_low = Millimetres{0.05};
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
        r.delivered_high = Millimetres{0.05};
        CHECK(estimate_fit(unit, r).error().fault == Fault::bad_input);
    }

    TEST_CASE("what cannot be is refused, and the sentence names the range")
    {
        const Taper  unit = unit_of();
        const double nan  = std::numeric_limits<double>::quiet_NaN();
        const double inf  = std::numeric_limits<double>::infinity();
        for (const double bad : {nan, inf, -inf, -1e3, 1e9})
            for (int field = 0; field < 16; ++field) {
                FitReadings r = perfect(unit, 90);
                Taper       t = unit;
                r.left_low    = Millimetres{0.01};
                switch (field) {
                case 0:
                    r.angle->value = Degrees{bad};
                    break;
                case 1:
                    r.angle->u = Degrees{bad};
                    break;
                case 2:
                    r.nut_photo->value = Degrees{bad};
                    break;
                case 3:
                    r.nut_photo->u = Degrees{bad};
                    break;
                case 4:
                    r.sleeve_travel->value = Millimetres{bad};
                    break;
                case 5:
                    r.sleeve_travel->u = Millimetres{bad};
                    break;
                case 6:
                    r.clearance_before->value = Millimetres{bad};
                    break;
                case 7:
                    r.clearance_before->u = Millimetres{bad};
                    break;
                case 8:
                    r.clearance_after->value = Millimetres{bad};
                    break;
                case 9:
                    r.nut_torque->value = NewtonMetres{bad};
                    break;
                case 10:
                    r.nut_torque->u = NewtonMetres{bad};
                    break;
                case 11:
                    r.zero.value = Degrees{bad};
                    break;
                case 12:
                    r.model_share = bad;
                    break;
                case 13:
                    r.left_low = Millimetres{bad};
                    break;
                case 14:
                    r.friction_high = bad;
                    break;
                default:
                    t.bore = Millimetres{bad};
                    break;
                }
                CAPTURE(field);
                CAPTURE(bad);
                CHECK_FALSE(estimate_fit(t, r));
            }
        FitReadings r = perfect(unit, 90);
        r.angle->u    = Degrees{0};
        CHECK(estimate_fit(unit, r).error().message ==
              "The uncertainty of the angle is 0.000 degrees; it must lie between 0.01 and 180.00 degrees.");
    }
}
