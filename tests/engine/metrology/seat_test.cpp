#include "engine/metrology/seat.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "tests/support/reference.h"

using namespace engine;

namespace {

SeatSpec spec_of(double nominal)
{
    return {Millimetres{nominal}, *limits_of(Millimetres{nominal}, "h9"),
            *form_limit(Millimetres{nominal}, "IT5/2")};
}

/// Two planes of two directions: I.across, I.up, II.across, II.up.
std::vector<SeatReading> four(const std::array<double, 4>& mm)
{
    return {{"I", "across", Millimetres{mm[0]}},
            {"I", "up", Millimetres{mm[1]}},
            {"II", "across", Millimetres{mm[2]}},
            {"II", "up", Millimetres{mm[3]}}};
}

} // namespace

TEST_SUITE("engine/metrology/seat")
{
    // h9 at 50 mm: 0/-62 um, IT5/2 = 5.5 um [SKF_2018].
    TEST_CASE("a good seat is inside in size and form, and its figures are plain arithmetic")
    {
        const auto seat = evaluate_seat(spec_of(50), four({49.972, 49.974, 49.970, 49.972}), {});
        REQUIRE(seat);
        CHECK(seat->mean_20c.value == doctest::Approx(49.972).epsilon(1e-9));
        CHECK(seat->out_of_round.value == doctest::Approx(0.002).epsilon(1e-6));
        CHECK(seat->taper.value == doctest::Approx(0.002).epsilon(1e-6));
        CHECK(seat->form_deviation.value == doctest::Approx(2.0).epsilon(1e-6));
        CHECK(seat->size_verdict == Verdict::inside);
        CHECK(seat->form_verdict == Verdict::inside);
        // GUM 4.3.7 and F.2.2.1: 4/sqrt(3) and 1/sqrt(12) um; 50 mm * 11.5e-6/K * 2 K/sqrt(3) = 0.664 um.
        CHECK(seat->u_mean.value ==
              doctest::Approx(std::sqrt(16.0 / 3 + 1.0 / 48 + 0.664 * 0.664)).epsilon(1e-3));
    }

    TEST_CASE("every part may be as it must but one diameter decides")
    {
        CHECK(evaluate_seat(spec_of(50), four({49.972, 49.972, 49.972, 50.010}), {})->size_verdict ==
              Verdict::outside);
        CHECK(evaluate_seat(spec_of(50), four({49.972, 49.972, 49.972, 49.998}), {})->size_verdict ==
              Verdict::undecided);
        CHECK(evaluate_seat(spec_of(50), four({49.930, 49.972, 49.972, 49.972}), {})->size_verdict ==
              Verdict::outside);
        CHECK(evaluate_seat(spec_of(50), four({49.950, 49.980, 49.950, 49.950}), {})->form_verdict ==
              Verdict::outside);
        CHECK(evaluate_seat(spec_of(50), four({49.970, 49.980, 49.970, 49.970}), {})->form_verdict ==
              Verdict::undecided);
    }

    TEST_CASE("form is not called inside where nobody has looked")
    {
        const std::vector<SeatReading> one_plane{{"I", "across", Millimetres{49.97}},
                                                 {"I", "up", Millimetres{49.97}}};
        CHECK(evaluate_seat(spec_of(50), one_plane, {})->form_verdict == Verdict::undecided);
        const std::vector<SeatReading> one_way{{"I", "across", Millimetres{49.97}},
                                               {"II", "across", Millimetres{49.97}}};
        CHECK(evaluate_seat(spec_of(50), one_way, {})->form_verdict == Verdict::undecided);
    }

    // L20 = L (1 - alpha (t - 20)) [ISO1-2016-PAPER]; growths of the reference table [COMPUTED].
    TEST_CASE("a warm shaft is brought back to 20 degrees by its own growth")
    {
        const support::Reference growth("thermal_expansion_check");
        for (std::size_t i = 0; i < growth.rows(); ++i) {
            SeatConditions warm;
            warm.part      = Celsius{20 + growth.number(i, "delta_T_K")};
            warm.alpha     = PerKelvin{growth.number(i, "alpha_per_K")};
            const double l = growth.number(i, "length_mm");
            CHECK((l - at_20c(Millimetres{l}, warm).value) * 1000 ==
                  doctest::Approx(growth.number(i, "growth_um")).epsilon(1e-3));
        }
        SeatConditions both;
        both.part = both.instrument = Celsius{31};
        CHECK(at_20c(Millimetres{50}, both).value == doctest::Approx(50.0).epsilon(1e-12));
    }

    TEST_CASE("a warmer shop and a coarser micrometer never make a seat more certain")
    {
        double before = 0;
        for (const double limit : {1.0, 4.0, 10.0, 40.0}) {
            SeatConditions c;
            c.error_limit   = Micrometres{limit};
            const auto seat = evaluate_seat(spec_of(80), four({79.97, 79.97, 79.97, 79.97}), c);
            REQUIRE(seat);
            CHECK(seat->u_mean.value > before);
            before = seat->u_mean.value;
        }
        SeatConditions cold, hot;
        hot.part = hot.instrument = Celsius{45};
        const auto readings       = four({79.97, 79.97, 79.97, 79.97});
        CHECK(evaluate_seat(spec_of(80), readings, hot)->u_mean.value >
              evaluate_seat(spec_of(80), readings, cold)->u_mean.value);
    }

    TEST_CASE("readings that cannot be of this shaft are refused with the place and the range")
    {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        for (const double bad : {nan, 0.0, -50.0, 5.0, 500.0, std::numeric_limits<double>::infinity()}) {
            CAPTURE(bad);
            const auto seat = evaluate_seat(spec_of(50), four({49.97, bad, 49.97, 49.97}), {});
            REQUIRE_FALSE(seat);
            CHECK(seat.error().fault == Fault::out_of_range);
            CHECK(seat.error().message.find("I.up") != std::string::npos);
        }
        CHECK_FALSE(evaluate_seat(spec_of(50), {}, {}));
        auto twice         = four({49.97, 49.97, 49.97, 49.97});
        twice[3].direction = "across";
        CHECK(evaluate_seat(spec_of(50), twice, {}).error().message.find("twice") != std::string::npos);
        twice[3].direction = "";
        CHECK_FALSE(evaluate_seat(spec_of(50), twice, {}));
        SeatConditions hot;
        hot.part = Celsius{nan};
        CHECK_FALSE(evaluate_seat(spec_of(50), four({49.97, 49.97, 49.97, 49.97}), hot));
        hot.part = Celsius{400};
        CHECK(evaluate_seat(spec_of(50), four({49.97, 49.97, 49.97, 49.97}), hot)
                  .error()
                  .message.find("between -30 and 120 C") != std::string::npos);
    }
}
