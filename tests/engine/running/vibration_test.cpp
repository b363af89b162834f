#include "engine/running/frequencies.h"
#include "engine/running/vibration.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
constexpr double kUnreadable = std::numeric_limits<double>::quiet_NaN();
constexpr double kBoundless  = std::numeric_limits<double>::infinity();

RollingSet ball_bearing()
{
    RollingSet set;
    set.elements = 9;
    set.element  = Millimetres{7.94};
    set.pitch    = Millimetres{39.0398};
    set.speed    = RevPerMinute{60}; // one turn a second: frequencies are multiples of the speed
    return set;
}
} // namespace

TEST_SUITE("engine/running/vibration")
{
    TEST_CASE("zones begin at the published boundaries of each group and support [CODE-VIB-1] [CODE-VIB-2]")
    {
        const support::Reference table("vibration_zones");
        REQUIRE(table.rows() == 4);
        for (std::size_t row = 0; row < table.rows(); ++row) {
            VibrationCase machine;
            machine.group   = static_cast<int>(table.number(row, "group"));
            machine.support = *support_from(table.text(row, "support"));
            char zone       = 'A';
            for (const std::string column : {"AB_mm_s_rms", "BC_mm_s_rms", "CD_mm_s_rms"}) {
                const double boundary = table.number(row, column);
                machine.rms           = MmPerSecond{boundary};
                auto found            = vibration_zone(machine);
                REQUIRE(found);
                CHECK(found->zone == zone); // a boundary belongs to the quieter zone
                CHECK(found->next_boundary->value == boundary);
                machine.rms = MmPerSecond{boundary + 0.001};
                found       = vibration_zone(machine);
                CHECK(found->zone == ++zone);
            }
            CHECK_FALSE(vibration_zone(machine)->next_boundary);
        }
    }

    TEST_CASE("the uncertainty of the reading is told, and decides")
    {
        VibrationCase machine;
        machine.rms = MmPerSecond{2.7}; // group 2, rigid: B to 2.8
        auto found  = vibration_zone(machine);
        CHECK(found->zone == 'B');
        CHECK(found->worst == 'C');
        CHECK(found->verdict == Verdict::undecided);
        machine.u_percent = 0;
        CHECK(vibration_zone(machine)->worst == 'B');
        CHECK(vibration_zone(machine)->verdict == Verdict::inside);
        machine.rms = MmPerSecond{2.801};
        CHECK(vibration_zone(machine)->verdict == Verdict::outside);
        machine.rms = MmPerSecond{0};
        CHECK(vibration_zone(machine)->zone == 'A');
    }

    TEST_CASE("more vibration is never a quieter zone, and a soft support allows more")
    {
        char before = 'A';
        for (double rms = 0; rms < 12; rms += 0.05) {
            VibrationCase machine;
            machine.rms     = MmPerSecond{rms};
            const char zone = vibration_zone(machine)->zone;
            CHECK(zone >= before);
            machine.support = Support::flexible;
            CHECK(vibration_zone(machine)->zone <= zone);
            before = zone;
        }
        CHECK(before == 'D');
    }

    TEST_CASE("what cannot be is refused")
    {
        for (const double bad : {kUnreadable, -0.1, 1e9, kBoundless}) {
            VibrationCase machine;
            machine.rms = MmPerSecond{bad};
            CHECK_FALSE(vibration_zone(machine));
            machine.rms       = MmPerSecond{1};
            machine.u_percent = bad;
            CHECK_FALSE(vibration_zone(machine));
        }
        for (const int group : {-1, 0, 3}) {
            VibrationCase machine;
            machine.group = group;
            CHECK(vibration_zone(machine).error().message.find("between 1 and 2") != std::string::npos);
        }
        CHECK_FALSE(support_from("soft"));
        CHECK_FALSE(support_from(""));
    }
}

TEST_SUITE("engine/running/frequencies")
{
    TEST_CASE("published multiples of the speed come out [CODE-CWRU] [CURTIN-MFS]")
    {
        const support::Reference table("bearing_freq_checks");
        REQUIRE(table.rows() >= 4);
        for (std::size_t row = 0; row < table.rows(); ++row) {
            RollingSet set = ball_bearing();
            set.elements   = static_cast<int>(table.number(row, "n_elements"));
            set.element    = Millimetres{table.number(row, "d_element_mm")};
            set.pitch      = Millimetres{table.number(row, "D_pitch_mm")};
            set.contact    = Degrees{table.number(row, "contact_angle_deg")};
            const auto f   = defect_frequencies(set);
            REQUIRE(f);
            const std::string quantity = table.text(row, "quantity");
            CAPTURE(quantity);
            const double found = quantity == "BPFO"    ? f->bpfo.value
                                 : quantity == "BPFI"  ? f->bpfi.value
                                 : quantity == "FTF"   ? f->ftf.value
                                 : quantity == "2*BSF" ? 2 * f->bsf.value
                                                       : f->bsf.value;
            CHECK(found == doctest::Approx(table.number(row, "published_multiple")).epsilon(1.5e-3));
        }
    }

    TEST_CASE("inner and outer strikes add up to every element once a turn, whatever the geometry")
    {
        for (double contact = 0; contact <= 60; contact += 7.5)
            for (double speed = 30; speed < 10'000; speed *= 3) {
                RollingSet set = ball_bearing();
                set.contact    = Degrees{contact};
                set.speed      = RevPerMinute{speed};
                const auto f   = defect_frequencies(set);
                REQUIRE(f);
                CHECK(f->bpfo.value + f->bpfi.value == doctest::Approx(9 * speed / 60).epsilon(1e-12));
                CHECK(f->bpfo.value == doctest::Approx(9 * f->ftf.value).epsilon(1e-12));
                CHECK(f->ftf.value < speed / 120); // the cage is slower than half the shaft
            }
    }

    TEST_CASE("the same bearing in inches strikes as often")
    {
        RollingSet inch = ball_bearing();
        inch.element    = *parse_length("0.3126in");
        inch.pitch      = *parse_length("1.537in");
        RollingSet mm   = ball_bearing();
        mm.element      = *parse_length("7.94004mm");
        mm.pitch        = *parse_length("39.0398mm");
        CHECK(defect_frequencies(inch)->bsf.value ==
              doctest::Approx(defect_frequencies(mm)->bsf.value).epsilon(1e-9));
    }

    TEST_CASE("what cannot be is refused, also elements that do not find room")
    {
        for (const double bad : {kUnreadable, -1.0, 0.0, 1e9, kBoundless}) {
            RollingSet set = ball_bearing();
            set.element    = Millimetres{bad};
            CHECK_FALSE(defect_frequencies(set));
            set       = ball_bearing();
            set.pitch = Millimetres{bad};
            CHECK_FALSE(defect_frequencies(set));
            set       = ball_bearing();
            set.speed = RevPerMinute{bad};
            CHECK_FALSE(defect_frequencies(set));
            set         = ball_bearing();
            set.contact = Degrees{bad == 0.0 ? 85 : bad};
            CHECK_FALSE(defect_frequencies(set));
        }
        RollingSet crowded = ball_bearing();
        crowded.elements   = 19;
        CHECK(defect_frequencies(crowded).error().message.find("one row") != std::string::npos);
        crowded.elements = 2;
        CHECK_FALSE(defect_frequencies(crowded));
    }
}
