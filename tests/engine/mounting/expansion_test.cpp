#include "engine/mounting/alignment.h"
#include "engine/mounting/expansion.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();
} // namespace

TEST_SUITE("engine/mounting/expansion")
{
    TEST_CASE("worked shaft growths come out as printed [SKF_2018] [BOYUE]")
    {
        const support::Reference table("thermal_examples");
        int                      checked = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const auto length = table.maybe(row, "length_mm");
            if (!length) continue;
            const auto growth = thermal_growth(Millimetres{*length}, Kelvins{table.number(row, "delta_T_K")},
                                               PerKelvin{table.number(row, "alpha_per_K")});
            REQUIRE(growth);
            CHECK(growth->value == doctest::Approx(table.number(row, "answer_mm")).epsilon(1e-4));
            ++checked;
        }
        CHECK(checked == 2);
    }

    // SKF_2018 p.851: 2.5 mm of growth against 15.2 mm each way.
    TEST_CASE("the worked float check is inside and a shaft too long is not [SKF_2018]")
    {
        Expansion shaft;
        shaft.span        = Millimetres{3000};
        shaft.rise        = Kelvins{70};
        shaft.float_total = Millimetres{30.4};
        CHECK(expansion(shaft)->verdict == Verdict::inside);
        CHECK(expansion(shaft)->float_each->value == doctest::Approx(15.2).epsilon(1e-12));
        CHECK(expansion(shaft)->set_off.value == doctest::Approx(2.52).epsilon(1e-9));
        shaft.float_total = Millimetres{4};
        CHECK(expansion(shaft)->verdict == Verdict::undecided); // only when set off
        CHECK(expansion(shaft)->set_off.value == doctest::Approx(1.26).epsilon(1e-9));
        shaft.float_total = Millimetres{2};
        CHECK(expansion(shaft)->verdict == Verdict::outside);
    }

    TEST_CASE("gaps decide: room must be left behind when cold and before when warm")
    {
        Expansion shaft;
        shaft.span        = Millimetres{1000};
        shaft.rise        = Kelvins{50}; // 0.6 mm
        shaft.float_total = Millimetres{4};
        shaft.gaps        = FloatGaps{Millimetres{2}, Millimetres{2}};
        CHECK(expansion(shaft)->verdict == Verdict::inside);
        shaft.gaps = FloatGaps{Millimetres{3.4}, Millimetres{0.6}};
        CHECK(expansion(shaft)->verdict == Verdict::undecided); // just touching
        shaft.gaps = FloatGaps{Millimetres{3.8}, Millimetres{0.2}};
        CHECK(expansion(shaft)->verdict == Verdict::outside); // would push
        shaft.rise = Kelvins{-50};
        CHECK(expansion(shaft)->verdict == Verdict::inside); // it will shrink away
        shaft.gaps = FloatGaps{Millimetres{0.2}, Millimetres{3.8}};
        CHECK(expansion(shaft)->verdict == Verdict::outside);
        shaft.gaps = FloatGaps{Millimetres{3}, Millimetres{3}}; // do not add up to 4
        CHECK(expansion(shaft)->verdict == Verdict::undecided);
    }

    TEST_CASE("gaps say how far to move, what room is left warm, and the rise they can take")
    {
        Expansion shaft;
        shaft.span        = Millimetres{1000};
        shaft.rise        = Kelvins{50}; // 0.6 mm
        shaft.float_total = Millimetres{4};
        shaft.gaps        = FloatGaps{Millimetres{2}, Millimetres{2}};
        auto found        = expansion(shaft);
        REQUIRE(found);
        CHECK(found->move->value == doctest::Approx(0.6).epsilon(1e-9));
        CHECK(found->room_left->value == doctest::Approx(1.4).epsilon(1e-9));
        CHECK(found->rise_held->value == doctest::Approx(2 / 0.012).epsilon(1e-9));
        // Moved so, nothing is left to do and the warm shaft stands in the middle.
        shaft.gaps = FloatGaps{Millimetres{1.4}, Millimetres{2.6}};
        found      = expansion(shaft);
        CHECK(found->move->value == doctest::Approx(0).epsilon(1e-9));
        CHECK(found->room_left->value == doctest::Approx(2).epsilon(1e-9));
        // The rise held is the inverse of the growth.
        CHECK(thermal_growth(shaft.span, *found->rise_held, shaft.alpha)->value ==
              doctest::Approx(2.6).epsilon(1e-9));
        shaft.rise = Kelvins{-50};
        CHECK(expansion(shaft)->room_left->value == doctest::Approx(0.8).epsilon(1e-9));
        shaft.span = Millimetres{0};
        CHECK_FALSE(expansion(shaft)->rise_held);
        shaft.gaps.reset();
        CHECK_FALSE(expansion(shaft)->move);
    }

    TEST_CASE("growth is in proportion to span and rise, with its sign")
    {
        for (double span = 0; span <= 50000; span += 2500)
            for (double rise = -150; rise <= 400; rise += 50)
                CHECK(thermal_growth(Millimetres{span}, Kelvins{rise}, kShaftGrowth)->value ==
                      doctest::Approx(12e-6 * span * rise).epsilon(1e-12));
        for (const double bad : {kNoNumber, 1e9, -1e9}) {
            CHECK_FALSE(thermal_growth(Millimetres{bad}, Kelvins{50}, kShaftGrowth));
            CHECK_FALSE(thermal_growth(Millimetres{1000}, Kelvins{bad}, kShaftGrowth));
            CHECK_FALSE(thermal_growth(Millimetres{1000}, Kelvins{50}, PerKelvin{bad}));
            Expansion shaft;
            shaft.float_total = Millimetres{bad};
            CHECK_FALSE(expansion(shaft));
            shaft.float_total.reset();
            shaft.gaps = FloatGaps{Millimetres{bad}, Millimetres{1}};
            CHECK_FALSE(expansion(shaft));
            shaft.gaps = FloatGaps{Millimetres{1}, Millimetres{bad}};
            CHECK_FALSE(expansion(shaft));
        }
    }
}

TEST_SUITE("engine/mounting/alignment")
{
    TEST_CASE("two offsets make one angle, and the usual 2 degrees decide (common practice)")
    {
        // A right triangle 3-4-5: 50 mm over 1000 mm is 2.862 degrees.
        auto found = align_by_offsets({Millimetres{1000}, Millimetres{30}, Millimetres{40}}, Degrees{2});
        REQUIRE(found);
        CHECK(found->angle.value == doctest::Approx(2.8624).epsilon(1e-4));
        CHECK(found->verdict == Verdict::outside);
        found = align_by_offsets({Millimetres{1000}, Millimetres{3}, Millimetres{-4}}, Degrees{2});
        CHECK(found->angle.value == doctest::Approx(0.28648).epsilon(1e-4));
        CHECK(found->verdict == Verdict::inside);
        const double edge = 1000 * std::tan(2 * 3.14159265358979 / 180);
        CHECK(align_by_offsets({Millimetres{1000}, Millimetres{edge}, Millimetres{0}}, Degrees{2})->verdict ==
              Verdict::undecided);
    }

    TEST_CASE("the direction of the lean is told")
    {
        const auto direction = [](double across, double up) {
            return align_by_offsets({Millimetres{1000}, Millimetres{across}, Millimetres{up}}, Degrees{2})
                ->direction.value;
        };
        CHECK(direction(1, 0) == doctest::Approx(0));
        CHECK(direction(0, 1) == doctest::Approx(90));
        CHECK(direction(-1, 0) == doctest::Approx(180));
        CHECK(direction(1, -1) == doctest::Approx(-45));
        CHECK(align_by_slopes({Degrees{1}, Degrees{1}}, Degrees{2})->direction.value == doctest::Approx(45));
    }

    TEST_CASE("slopes and the offsets they make over a span give the same angle")
    {
        for (double a = -5; a <= 5; a += 1)
            for (double b = -5; b <= 5; b += 1) {
                const double radian = 3.14159265358979 / 180;
                const auto   slopes = align_by_slopes({Degrees{a}, Degrees{b}}, Degrees{2});
                const auto   by = align_by_offsets({Millimetres{800}, Millimetres{800 * std::tan(a * radian)},
                                                    Millimetres{800 * std::tan(b * radian)}},
                                                   Degrees{2});
                REQUIRE(slopes);
                REQUIRE(by);
                CHECK(slopes->angle.value == doctest::Approx(by->angle.value).epsilon(1e-9));
            }
    }

    TEST_CASE("readings that cannot be are refused")
    {
        for (const double bad : {kNoNumber, 1e9, -1e9, std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(align_by_offsets({Millimetres{bad}, Millimetres{1}, Millimetres{1}}, Degrees{2}));
            CHECK_FALSE(align_by_offsets({Millimetres{1000}, Millimetres{bad}, Millimetres{1}}, Degrees{2}));
            CHECK_FALSE(align_by_offsets({Millimetres{1000}, Millimetres{1}, Millimetres{bad}}, Degrees{2}));
            CHECK_FALSE(align_by_offsets({Millimetres{1000}, Millimetres{1}, Millimetres{1}}, Degrees{bad}));
            CHECK_FALSE(align_by_slopes({Degrees{bad}, Degrees{1}}, Degrees{2}));
            CHECK_FALSE(align_by_slopes({Degrees{1}, Degrees{bad}}, Degrees{2}));
        }
    }
}
