#include "engine/fit/clearance.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <map>
#include <string>

#include "tests/support/reference.h"

using namespace engine;

TEST_SUITE("engine/fit/clearance")
{
    // The tables of [SKF_2018] [NKE_2018] [KRW_2006] agree for C2..C4; the first is the one taken.
    TEST_CASE("every row of the published tables is given back, both bores and all groups [SKF_2018]")
    {
        const support::Reference table("radial_clearance_spherical_roller");
        int                      checked = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            if (table.text(row, "source") != "SKF_2018") continue;
            CAPTURE(row);
            const BoreForm form =
                table.text(row, "bore_type") == "tapered" ? BoreForm::tapered : BoreForm::cylindrical;
            const auto low  = table.maybe(row, "clearance_min_um");
            const auto high = table.maybe(row, "clearance_max_um");
            if (!low || !high) continue;
            for (const double bore :
                 {table.number(row, "bore_over_mm") + 0.001, table.number(row, "bore_to_mm")}) {
                const auto found = clearance_group(Millimetres{bore}, form, table.text(row, "group"));
                REQUIRE(found);
                CHECK(found->low.value == *low);
                CHECK(found->high.value == *high);
                CHECK(found->source == "[SKF_2018]");
            }
            ++checked;
        }
        CHECK(checked >= 150);
    }

    TEST_CASE("neighbouring groups join: the most of one is the least of the next [SKF_2018]")
    {
        const std::string groups[] = {"C2", "CN", "C3", "C4", "C5"};
        for (const BoreForm form : {BoreForm::cylindrical, BoreForm::tapered})
            for (const double bore : {30.0, 55.0, 100.0, 220.0, 500.0})
                for (std::size_t i = 0; i + 1 < std::size(groups); ++i) {
                    CAPTURE(bore);
                    const auto one  = clearance_group(Millimetres{bore}, form, groups[i]);
                    const auto next = clearance_group(Millimetres{bore}, form, groups[i + 1]);
                    REQUIRE(one);
                    REQUIRE(next);
                    CHECK(one->high == next->low);
                    CHECK(one->low < one->high);
                }
        CHECK(clearance_group(Millimetres{55}, BoreForm::tapered, "Normal")->low ==
              clearance_group(Millimetres{55}, BoreForm::tapered, "CN")->low);
    }

    TEST_CASE("the least that must be left is the largest any maker asks for")
    {
        const support::Reference table("driveup_spherical_roller");
        for (const std::string group : {"CN", "C3", "C4"})
            for (const double bore : {30.0, 55.0, 100.0, 160.0, 500.0}) {
                CAPTURE(group);
                CAPTURE(bore);
                double most = 0;
                for (std::size_t row = 0; row < table.rows(); ++row)
                    if (bore > table.number(row, "bore_over_mm") && bore <= table.number(row, "bore_to_mm"))
                        most = std::max(most, table.maybe(row, "residual_min_" + group + "_mm").value_or(0));
                const auto found = residual_minimum(Millimetres{bore}, group);
                REQUIRE(found);
                CHECK(found->clearance.value == doctest::Approx(most * 1000).epsilon(1e-9));
            }
    }

    TEST_CASE("the advised reduction spans what the makers print, and grows with the bore")
    {
        const support::Reference table("driveup_spherical_roller");
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const auto found = advised_reduction(Millimetres{table.number(row, "bore_to_mm")});
            REQUIRE(found);
            CHECK(found->low.value <= table.number(row, "reduction_min_mm") * 1000 + 1e-9);
            CHECK(found->high.value >= table.number(row, "reduction_max_mm") * 1000 - 1e-9);
            CHECK(found->source.find(table.text(row, "source")) != std::string::npos);
        }
        CHECK(advised_reduction(Millimetres{60})->low < advised_reduction(Millimetres{160})->low);
        // R1: bore 140, suggested reduction 64..89 um, at least 56 um left [TIMKEN_EM] example 1 p.89.
        CHECK(advised_reduction(Millimetres{140})->low.value <= 64);
        CHECK(advised_reduction(Millimetres{140})->high.value >= 89);
        CHECK(residual_minimum(Millimetres{140}, "CN")->clearance.value >= 55);
    }

    TEST_CASE("what no table lists is refused, and the sentence says what there is")
    {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        const double inf = std::numeric_limits<double>::infinity();
        for (const double bad : {nan, inf, -inf, -1.0, 0.0, 10.0, 501.0, 1e9}) {
            CAPTURE(bad);
            CHECK_FALSE(clearance_group(Millimetres{bad}, BoreForm::tapered, "CN"));
            CHECK_FALSE(residual_minimum(Millimetres{bad}, "CN"));
            CHECK_FALSE(advised_reduction(Millimetres{bad}));
        }
        CHECK(clearance_group(Millimetres{50}, BoreForm::tapered, "C6").error().message.find("C5") !=
              std::string::npos);
        CHECK(residual_minimum(Millimetres{50}, "C5").error().fault == Fault::bad_input);
        CHECK(clearance_group(Millimetres{600}, BoreForm::tapered, "CN").error().message ==
              "The bore is 600.000 mm; it must lie between 18 and 500 mm.");
    }
}
