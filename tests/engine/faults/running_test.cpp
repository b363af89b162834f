// Every fault the headers of engine/running name, made to happen. See figures_test.cpp.
#include "engine/running/a_iso.h"
#include "engine/running/frequencies.h"
#include "engine/running/grease.h"
#include "engine/running/life.h"
#include "engine/running/lubrication.h"
#include "engine/running/run_in.h"
#include "engine/running/vibration.h"
#include "engine/running/viscosity.h"

#include <doctest/doctest.h>

#include <vector>

using namespace engine;

namespace {

template <class Answer> bool is_refused_as(const Answer& answer, Fault fault)
{
    return !answer && answer.error().fault == fault;
}

} // namespace

TEST_SUITE("engine/faults")
{
    TEST_CASE("a life of what cannot be is not told")
    {
        CHECK(is_refused_as(reliability_factor(99.99), Fault::out_of_range));
        LifeCase bearing{.c = Kilonewtons{100}, .p = Kilonewtons{10}, .speed = RevPerMinute{1000}};
        CHECK(rating_life(bearing));
        bearing.p = Kilonewtons{51};
        CHECK(is_refused_as(rating_life(bearing), Fault::out_of_range));
        CHECK(is_refused_as(modified_life_factor({.kappa = 0.05}), Fault::out_of_range));
    }

    TEST_CASE("a film, a load and a cleanliness that cannot be are refused")
    {
        const Millimetres dpw{100};
        CHECK(is_refused_as(pitch_diameter(Millimetres{90}, Millimetres{90}), Fault::out_of_range));
        CHECK(is_refused_as(reference_viscosity(RevPerMinute{0.5}, dpw), Fault::out_of_range));
        CHECK(is_refused_as(viscosity_ratio(KinematicViscosity{0.05}, RevPerMinute{1000}, dpw),
                            Fault::out_of_range));
        CHECK(is_refused_as(fatigue_load_limit(ElementKind::roller, Kilonewtons{0.005}, dpw),
                            Fault::out_of_range));
        CHECK(is_refused_as(contamination_band("spotless", dpw), Fault::bad_input));
        CHECK(is_refused_as(contamination_band("normal", Millimetres{0.5}), Fault::out_of_range));
        CHECK(is_refused_as(static_safety({.c0 = Kilonewtons{100}, .p0 = Kilonewtons{0}}),
                            Fault::out_of_range));
    }

    TEST_CASE("grease, oil, frequencies and vibration of what cannot be are refused")
    {
        GreaseCase bearing{.bore  = Millimetres{50},
                           .outer = Millimetres{90},
                           .width = Millimetres{23},
                           .speed = RevPerMinute{1000}};
        CHECK(grease_for(bearing));
        bearing.outer = Millimetres{49};
        CHECK(is_refused_as(grease_for(bearing), Fault::out_of_range));
        const ViscosityPoint cold{Celsius{40}, KinematicViscosity{32}},
            warm{Celsius{100}, KinematicViscosity{1.9}};
        CHECK(is_refused_as(viscosity_at(cold, warm, Celsius{60}), Fault::out_of_range));
        const RollingSet crowded{9, Millimetres{20}, Millimetres{21}, Degrees{0}, RevPerMinute{1000}};
        CHECK(is_refused_as(defect_frequencies(crowded), Fault::out_of_range));
        CHECK(is_refused_as(support_from("soft"), Fault::bad_input));
        CHECK(is_refused_as(vibration_zone({.rms = MmPerSecond{201}}), Fault::out_of_range));
        CHECK(is_refused_as(vibration_zone({.rms = MmPerSecond{1}, .group = 3}), Fault::out_of_range));
    }

    TEST_CASE("a run-in without a reading, or with limits that cannot be, is not judged")
    {
        RunInWatch watch;
        CHECK(is_refused_as(watch.judge(), Fault::bad_input));
        RunInWatch cold(RunInLimits{.limit = Celsius{19}});
        CHECK(is_refused_as(cold.take({0, Celsius{20}}), Fault::out_of_range));
        CHECK(is_refused_as(
            judge_run_in(std::vector{RunInPoint{0, Celsius{20}}}, RunInLimits{.limit = Celsius{19}}),
            Fault::out_of_range));
    }
}
