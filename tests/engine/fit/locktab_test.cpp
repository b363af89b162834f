#include "engine/fit/clearance.h"
#include "engine/fit/locktab.h"

#include <doctest/doctest.h>

#include <array>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

TEST_SUITE("engine/fit/locktab")
{
    TEST_CASE("the step of every metric lock nut is the published one [KOYO_203E] [NSK_E1102]")
    {
        const support::Reference table("locknut_metric");
        CHECK(table.rows() >= 30);
        for (std::size_t row = 0; row < table.rows(); ++row) {
            CAPTURE(table.text(row, "nut_designation_ISO_DIN"));
            const auto step = lock_step(static_cast<int>(table.number(row, "nut_slots")),
                                        static_cast<int>(table.number(row, "washer_tangs")));
            REQUIRE(step);
            CHECK(step->value == doctest::Approx(table.number(row, "lock_step_deg")).epsilon(1e-4));
        }
        // 4.74 degrees of a 2 mm pitch are 0.026 mm [COMPUTED].
        const LockTab m100{4, 19, Degrees{90}, {}, {}, ThreadPitch{2}};
        CHECK(lock_tab(m100)->extra_travel->value == doctest::Approx(0.026).epsilon(0.02));
    }

    TEST_CASE("a read gap is added, never taken away, and the limit decides")
    {
        LockTab tab{4, 13, Degrees{90}, Degrees{3}, Degrees{95}, ThreadPitch{1.5}};
        auto    figures = lock_tab(tab);
        REQUIRE(figures);
        CHECK(figures->final_angle.value == doctest::Approx(93).epsilon(1e-12));
        CHECK(figures->extra_travel->value == doctest::Approx(0.0125).epsilon(1e-9));
        CHECK(figures->verdict == Verdict::inside);
        tab.gap = Degrees{6};
        CHECK(lock_tab(tab)->verdict == Verdict::outside);
        tab.gap.reset();
        CHECK(lock_tab(tab)->verdict == Verdict::undecided); // 90 + 6.92 may pass 95
        tab.limit = Degrees{100};
        CHECK(lock_tab(tab)->verdict == Verdict::inside);
        tab.limit = Degrees{89.9};
        CHECK(lock_tab(tab)->verdict == Verdict::outside);
        tab.limit = Degrees{93};
        tab.gap   = Degrees{3};
        CHECK(lock_tab(tab)->verdict == Verdict::inside); // the limit itself
        tab.limit.reset();
        CHECK(lock_tab(tab)->verdict == Verdict::inside);
    }

    TEST_CASE("counts and angles that cannot be are refused")
    {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        CHECK_FALSE(lock_step(0, 13));
        CHECK_FALSE(lock_step(4, 0));
        CHECK_FALSE(lock_step(-4, 13));
        CHECK_FALSE(lock_step(4, 1000));
        for (const double bad : {nan, -1.0, 1e9}) {
            CHECK_FALSE(lock_tab({4, 13, Degrees{bad}, {}, {}, {}}));
            CHECK_FALSE(lock_tab({4, 13, Degrees{90}, Degrees{bad}, {}, {}}));
            CHECK_FALSE(lock_tab({4, 13, Degrees{90}, {}, Degrees{bad}, {}}));
            CHECK_FALSE(lock_tab({4, 13, Degrees{90}, {}, {}, ThreadPitch{bad}}));
        }
        CHECK(lock_tab({4, 13, Degrees{90}, Degrees{12}, {}, {}})
                  .error()
                  .message.find("gap to the next tang") != std::string::npos);
    }
}

TEST_SUITE("engine/fit/clearance")
{
    TEST_CASE("every group of the preferred catalogue is given for the bores it lists [SKF_2018]")
    {
        const support::Reference table("radial_clearance_spherical_roller");
        int                      checked = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            if (table.text(row, "source") != "SKF_2018") continue;
            const auto form =
                table.text(row, "bore_type") == "tapered" ? BoreForm::tapered : BoreForm::cylindrical;
            const auto range =
                clearance_group(Millimetres{table.number(row, "bore_to_mm")}, form, table.text(row, "group"));
            CAPTURE(row);
            REQUIRE(range);
            CHECK(range->low.value == table.number(row, "clearance_min_um"));
            CHECK(range->high.value == table.number(row, "clearance_max_um"));
            CHECK(range->source == "[SKF_2018]");
            ++checked;
        }
        CHECK(checked > 150);
    }

    TEST_CASE("groups join each other and grow with the bore")
    {
        constexpr std::array kGroups{"C2", "CN", "C3", "C4"};
        for (const BoreForm form : {BoreForm::tapered, BoreForm::cylindrical}) {
            double before = 0;
            for (double bore = 25; bore <= 500; bore += 5) {
                CAPTURE(bore);
                double end = -1;
                for (const char* group : kGroups) {
                    const auto range = clearance_group(Millimetres{bore}, form, group);
                    REQUIRE(range);
                    CHECK(range->low < range->high);
                    if (end >= 0) CHECK(range->low.value == end);
                    end = range->high.value;
                }
                CHECK(end >= before);
                before = end;
            }
        }
    }

    TEST_CASE("the residual minimum is never below any maker's and names whose it is")
    {
        const support::Reference table("driveup_spherical_roller");
        for (std::size_t row = 0; row < table.rows(); ++row)
            for (const std::string group : {"CN", "C3", "C4"}) {
                const auto left = table.maybe(row, "residual_min_" + group + "_mm");
                if (!left) continue;
                const auto least = residual_minimum(Millimetres{table.number(row, "bore_to_mm")}, group);
                REQUIRE(least);
                CHECK(least->clearance.value >= *left * 1000 - 1e-9);
                CHECK_FALSE(least->source.empty());
            }
    }

    TEST_CASE("bores and groups no table holds are refused")
    {
        CHECK(clearance_group(Millimetres{50}, BoreForm::tapered, "C6").error().fault == Fault::bad_input);
        CHECK(clearance_group(Millimetres{50}, BoreForm::tapered, "").error().fault == Fault::bad_input);
        CHECK(residual_minimum(Millimetres{50}, "C2").error().fault == Fault::bad_input);
        for (const double bad : {0.0, -50.0, 18.0, 500.1, std::numeric_limits<double>::quiet_NaN()}) {
            CHECK_FALSE(clearance_group(Millimetres{bad}, BoreForm::tapered, "CN"));
            CHECK_FALSE(residual_minimum(Millimetres{bad}, "CN"));
        }
        CHECK(clearance_group(Millimetres{50}, BoreForm::tapered, "Normal"));
    }
}
