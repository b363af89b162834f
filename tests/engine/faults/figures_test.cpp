// Every fault the headers of the engine's figures name, made to happen. What the sentences say is read by the
// tests of each figure; here it is only that nothing impossible gets an answer. tests/house/said.py keeps the
// list whole.
#include "engine/evidence/population/ranks.h"
#include "engine/evidence/population/survival.h"
#include "engine/evidence/population/weibull.h"
#include "engine/fit/clearance.h"
#include "engine/fit/estimate.h"
#include "engine/fit/locktab.h"
#include "engine/fit/ring.h"
#include "engine/fit/sheet_check.h"
#include "engine/metrology/uncertainty.h"
#include "engine/mounting/alignment.h"
#include "engine/mounting/bolting.h"
#include "engine/mounting/expansion.h"
#include "engine/mounting/shims.h"

#include <doctest/doctest.h>

#include <array>
#include <limits>
#include <vector>

using namespace engine;

namespace {

template <class Answer> bool fails_with(const Answer& answer, Fault fault)
{
    return !answer && answer.error().fault == fault;
}

/// A 50 mm shaft on a 1:12 sleeve: an input, no check value.
Taper usual_taper()
{
    Taper taper;
    taper.bore    = Millimetres{55};
    taper.raceway = Millimetres{68};
    taper.pitch   = ThreadPitch{2};
    return taper;
}

const std::vector<LifeRecord> kTwoFailures{{"a", Hours{100}, true, 1}, {"b", Hours{200}, true, 1}};

} // namespace

TEST_SUITE("engine/faults")
{
    TEST_CASE("a ring, a tab and a clearance that cannot be get no figure")
    {
        CHECK(fails_with(growth_share({.bore = Millimetres{50}, .outer = Millimetres{50}}),
                         Fault::out_of_range));
        CHECK(fails_with(press_on({.bore = Millimetres{50}, .outer = Millimetres{62}}, Millimetres{0.6}),
                         Fault::out_of_range));
        CHECK(press_on({.bore = Millimetres{50}, .outer = Millimetres{62}}, Millimetres{0.05}));
        CHECK(fails_with(lock_step(0, 17), Fault::out_of_range));
        CHECK(fails_with(lock_step(4, 61), Fault::out_of_range));
        CHECK(lock_step(12, 60));
        CHECK(fails_with(clearance_group(Millimetres{18}, BoreForm::tapered, "CN"), Fault::not_found));
        CHECK(fails_with(advised_reduction(Millimetres{-1}), Fault::out_of_range));
        CHECK(fails_with(advised_reduction(Millimetres{24}), Fault::not_found));
    }

    TEST_CASE("an attempt whose readings cannot be gets no estimate")
    {
        FitReadings readings;
        readings.angle            = Read<Degrees>{Degrees{95}, Degrees{2}};
        readings.clearance_before = Read<Millimetres>{Millimetres{0.085}, Millimetres{0.005}};
        REQUIRE(estimate_fit(usual_taper(), readings));
        readings.angle->value = Degrees{1441};
        CHECK(fails_with(estimate_fit(usual_taper(), readings), Fault::out_of_range));
        SheetClaims claims{usual_taper(), Degrees{1441}, Degrees{1441}, "C3"};
        CHECK(fails_with(check_sheet(claims), Fault::out_of_range));
    }

    TEST_CASE("a length whose parts cannot be has no uncertainty")
    {
        const std::array parts{UncertaintyPart{"scale", Micrometres{-1}, 0}};
        CHECK(fails_with(combine(parts), Fault::out_of_range));
        LengthReading reading{.length = Millimetres{50}};
        CHECK(length_parts(reading));
        reading.length = Millimetres{0.05};
        CHECK(fails_with(length_parts(reading), Fault::out_of_range));
    }

    TEST_CASE("bolts, shims, growth and alignment refuse what cannot be")
    {
        CHECK(fails_with(stress_area(Millimetres{16}, ThreadPitch{8.1}, false), Fault::out_of_range));
        const auto thread = bolt_thread("M16");
        REQUIRE(thread);
        CHECK(fails_with(nut_factor_by_friction(*thread, 0.61, 0.1), Fault::out_of_range));
        CHECK(fails_with(nut_factor_by_friction(*thread, 0.1, 0.019), Fault::out_of_range));
        CHECK(fails_with(tightening(*thread, Megapascals{600}, 0.51), Fault::out_of_range));
        CHECK(fails_with(tightening(*thread, Megapascals{600}, 0.2, 0.91), Fault::out_of_range));
        CHECK(tightening(*thread, Megapascals{600}, 0.5, 0.9));
        CHECK(fails_with(cross_order(1), Fault::out_of_range));
        CHECK(fails_with(cross_order(25), Fault::out_of_range));
        CHECK(fails_with(torque_verdict({NewtonMetres{100}, NewtonMetres{100}, 31, 4}), Fault::out_of_range));
        CHECK(fails_with(shim_thickness(Turns{4.1}, ThreadPitch{2}, Millimetres{0}), Fault::out_of_range));
        const std::array stock{Millimetres{0.5}};
        CHECK(fails_with(fewest_leaves(Millimetres{20.1}, std::span<const Millimetres>(stock)),
                         Fault::out_of_range));
        ThreeShims shims{{Millimetres{1}, Millimetres{1}, Millimetres{1}}, Millimetres{9}};
        CHECK(fails_with(plane_of(shims), Fault::out_of_range));
        CHECK(
            fails_with(thermal_growth(Millimetres{50'001}, Kelvins{30}, kShaftGrowth), Fault::out_of_range));
        CHECK(fails_with(align_by_offsets({Millimetres{1000}, Millimetres{1}, Millimetres{0}}, Degrees{10.1}),
                         Fault::out_of_range));
    }

    TEST_CASE("lives that cannot be get no ranks, no fit and no curve")
    {
        const auto with = [](Hours time, int count) {
            return std::vector<LifeRecord>{{"a", Hours{100}, true, 1}, {"b", time, true, count}};
        };
        const auto none     = std::vector<LifeRecord>{};
        const auto too_long = with(Hours{10'000'001}, 1);
        CHECK_FALSE(bad_records(kTwoFailures));
        CHECK(bad_records(none)->error.fault == Fault::bad_input);
        CHECK(bad_records(too_long)->error.fault == Fault::out_of_range);
        CHECK(bad_records(with(Hours{100}, 0))->error.fault == Fault::out_of_range);
        CHECK(fails_with(median_rank(0.5, 10, RankRule::exact), Fault::out_of_range));
        CHECK(fails_with(median_rank(11, 10, RankRule::bernard), Fault::out_of_range));
        CHECK(fails_with(median_ranks(none, RankRule::exact), Fault::bad_input));
        CHECK(fails_with(median_ranks(too_long, RankRule::exact), Fault::out_of_range));
        CHECK(fails_with(kaplan_meier(none), Fault::bad_input));
        CHECK(fails_with(kaplan_meier(too_long), Fault::out_of_range));
        CHECK(fails_with(log_rank(std::vector<LifeRecord>{kTwoFailures[0]}), Fault::bad_input));
        CHECK(fails_with(log_rank(too_long), Fault::out_of_range));
        CHECK(fails_with(fit_weibull(kTwoFailures, 0.4), Fault::out_of_range));
        const auto table = parse_csv("time_h,event\n100,perhaps\n", "lives.csv");
        REQUIRE(table);
        CHECK(fails_with(life_records_from(*table), Fault::bad_input));
    }
}
