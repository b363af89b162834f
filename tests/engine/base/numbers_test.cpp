#include "engine/base/numbers.h"

#include <doctest/doctest.h>

#include <limits>

using namespace engine;

TEST_SUITE("engine/base/numbers")
{
    TEST_CASE("a decimal number is read with a point or a comma and nothing else around it")
    {
        CHECK(*parse_number("12") == 12.0);
        CHECK(*parse_number("-0.055") == -0.055);
        CHECK(*parse_number(".5") == 0.5);
        CHECK(*parse_number("1,5") == 1.5);
        CHECK(*parse_number(" +2.50 ") == 2.5);
        CHECK(*parse_number("5.") == 5.0);
        for (const std::string bad :
             {"",      " ",       "-",     ".",   "nan", "NaN", "-nan", "inf", "-inf",  "infinity", "0x10",
              "1.2.3", "1,234.5", "12 mm", "1 2", "--3", "+-3", "1e",   "e5",  "12abc", "1/2"}) {
            CAPTURE(bad);
            REQUIRE_FALSE(parse_number(bad));
            CHECK(parse_number(bad).error().fault == Fault::bad_input);
        }
        for (const std::string huge : {"1e16", "-1e16", "1e400", "1e-400", "99999999999999999999"}) {
            CAPTURE(huge);
            REQUIRE_FALSE(parse_number(huge));
            CHECK(parse_number(huge).error().fault == Fault::out_of_range);
        }
        CHECK_FALSE(parse_number(std::string(500, '1')));
    }

    TEST_CASE(
        "a comma before exactly three digits is refused, with both readings, since it may part thousands")
    {
        struct Row {
            const char *text, *thousands, *decimals;
        };
        for (const Row& r : {Row{"3,000", "3000", "3.000"}, Row{"49,970", "49970", "49.970"},
                             Row{"-1,480", "-1480", "-1.480"}, Row{" 123,456 ", "123456", "123.456"}}) {
            CAPTURE(r.text);
            const auto number = parse_number(r.text);
            REQUIRE_FALSE(number);
            CHECK(number.error().message.find(std::string(r.thousands) + " and " + r.decimals) !=
                  std::string::npos);
            CHECK_FALSE(enter(r.text, UnitOf::mm));
        }
        CHECK(parse_length("3,000mm").error().message ==
              "'3,000mm' can be 3000mm and 3.000mm; write one of them, without a comma.");
        CHECK_FALSE(parse_torque("1,480 Nm"));
        CHECK_FALSE(parse_mass("1,500g"));
        CHECK(two_readings("1,480rpm")->first == "1480rpm");
    }

    TEST_CASE("a comma that can only be a decimal mark is taken: a group of thousands never begins with 0")
    {
        CHECK(parse_length("0,085mm")->value == doctest::Approx(0.085).epsilon(1e-12));
        CHECK(parse_length("-0,055 mm")->value == doctest::Approx(-0.055).epsilon(1e-12));
        CHECK(*parse_number(",085") == doctest::Approx(0.085).epsilon(1e-12));
        CHECK(parse_length("49,97mm")->value == doctest::Approx(49.97).epsilon(1e-12));
        CHECK(parse_length("49,9705mm")->value == doctest::Approx(49.9705).epsilon(1e-12));
        CHECK(enter("0,085", UnitOf::mm)->si == 850);
        for (const char* none :
             {"", ",", "1,5", "0,085mm", "1,2345", "1,234,567", "1,234.5", "M16", "a,123x"}) {
            CAPTURE(none);
            CHECK_FALSE(two_readings(none));
        }
    }

    TEST_CASE("a text the record holds keeps the meaning it had when it was taken")
    {
        REQUIRE(enter_kept("49,970", UnitOf::mm));
        CHECK(enter_kept("49,970", UnitOf::mm)->si == 499700);
        CHECK(*parse_kept_number("1,480") == doctest::Approx(1.48).epsilon(1e-12));
    }

    // 1 lbf = 4.4482216152605 N and 1 ft = 0.3048 m exactly (NIST SP 811, appendix B.8 and its footnotes), so
    // that 1 lbf.ft = 1.355 817 948 331 400 4 N.m; 1 lbf.in is a twelfth of it.
    TEST_CASE("torques in pounds and feet are read in every spelling on a wrench [NIST SP 811]")
    {
        for (const char* text :
             {"100lb\u00b7ft", "100 lb ft", "100lbft", "100lb-ft", "100 lbf\u00b7ft", "100lbf_ft",
              "100lbf.ft", "100ft-lb", "100 ft\u00b7lb", "100ft lbf", "100lb\u22c5ft"}) {
            CAPTURE(text);
            REQUIRE(parse_torque(text));
            CHECK(parse_torque(text)->value == doctest::Approx(135.58179483314004).epsilon(1e-15));
        }
        for (const char* text : {"120in\u00b7lb", "120 lb in", "120lbf.in", "120in-lb", "120lbin"}) {
            CAPTURE(text);
            REQUIRE(parse_torque(text));
            CHECK(parse_torque(text)->value == doctest::Approx(13.558179483314004).epsilon(1e-14));
        }
        for (const char* bad : {"100lb", "100ft", "100lbm", "100lbs", "100kg\u00b7m"}) {
            CAPTURE(bad);
            CHECK_FALSE(parse_torque(bad));
        }
        const auto reading = enter("118", UnitOf::lbf_ft);
        REQUIRE(reading);
        CHECK(reading->si == 159987); // 118 x 1.3558179483314 = 159.98652 N.m
        for (const char* symbol : {"lb\u00b7ft", "lbf\u00b7ft", "lb ft", "lbf_ft", "ft-lb"})
            CHECK(*unit_from_symbol(symbol) == UnitOf::lbf_ft);
    }

    // Inch = 25.4 mm exactly (ISO 80000-3).
    TEST_CASE("lengths are read in millimetres, micrometres, inches, fractions of an inch and thou")
    {
        CHECK(parse_length("49.972mm")->value == doctest::Approx(49.972).epsilon(1e-15));
        CHECK(parse_length("1-15/16in")->value == doctest::Approx(49.2125).epsilon(1e-15));
        CHECK(parse_length("1 15/16 in")->value == doctest::Approx(49.2125).epsilon(1e-15));
        CHECK(parse_length("15/16in")->value == doctest::Approx(23.8125).epsilon(1e-15));
        CHECK(parse_length("2in")->value == doctest::Approx(50.8).epsilon(1e-15));
        CHECK(parse_length("1.9375\"")->value == doctest::Approx(49.2125).epsilon(1e-15));
        CHECK(parse_length("2.5thou")->value == doctest::Approx(0.0635).epsilon(1e-15));
        CHECK(parse_length("12um")->value == doctest::Approx(0.012).epsilon(1e-15));
        CHECK(parse_length("12\u00b5m")->value == doctest::Approx(0.012).epsilon(1e-15));
        CHECK(parse_length("12\u03bcm")->value == doctest::Approx(0.012).epsilon(1e-15));
        CHECK(parse_length("-0.055 mm")->value == doctest::Approx(-0.055).epsilon(1e-15));
        CHECK(parse_length("-1-1/2in")->value == doctest::Approx(-38.1).epsilon(1e-15));
        CHECK(parse_length("1,5mm")->value == 1.5);
        CHECK(parse_length("5.mm")->value == 5.0);
    }

    TEST_CASE("slips of the finger are not lengths")
    {
        for (const std::string bad : {"",        "mm",        "12kg",
                                      "12C",     "nanmm",     "infmm",
                                      "0x10mm",  "1/2mm",     "1-17/16in",
                                      "1/0in",   "/16in",     "15/in",
                                      "1-/16in", "a-15/16in", "1--1/2in",
                                      "1-15/16", "12mm3",     "12 m m",
                                      "1e999mm", "1/2/3in",   "99999999999/99999999999in"}) {
            CAPTURE(bad);
            CHECK_FALSE(parse_length(bad));
        }
    }

    TEST_CASE("a number without its unit is refused and the sentence names the text and the units it takes")
    {
        const auto length = parse_length("50");
        REQUIRE_FALSE(length);
        CHECK(length.error().message ==
              "'50' has no unit; give a length in mm, um, in or thou, such as 49.972mm or 1-15/16in.");
        CHECK(parse_pitch("18").error().message.find("mm, in or tpi") != std::string::npos);
        CHECK(parse_angle("95").error().message.find("deg or turn") != std::string::npos);
        CHECK(parse_temperature("31").error().message.find("C or F") != std::string::npos);
        CHECK(parse_torque("40").error().message.find("Nm, lb\u00b7ft or lb\u00b7in") != std::string::npos);
        CHECK(parse_duration("8").error().message.find("h or min") != std::string::npos);
        CHECK(parse_mass("12").error().message.find("g, kg or oz") != std::string::npos);
        CHECK(parse_length("50deg").error().message.find("'deg'") != std::string::npos);
        CHECK(parse_length(std::string(5000, '9')).error().message.size() < 250);
    }

    TEST_CASE("pitches are read as an advance or as threads per inch, and never as zero")
    {
        CHECK(parse_pitch("1.5mm")->value == 1.5);
        CHECK(parse_pitch("18tpi")->value == doctest::Approx(25.4 / 18).epsilon(1e-15));
        CHECK(parse_pitch("24 tpi")->value == doctest::Approx(25.4 / 24).epsilon(1e-15));
        CHECK(parse_pitch("1/24in")->value == doctest::Approx(25.4 / 24).epsilon(1e-15));
        for (const std::string bad : {"0tpi", "-18tpi", "0mm", "-1mm", "18", "tpi", "nantpi"}) {
            CAPTURE(bad);
            CHECK_FALSE(parse_pitch(bad));
        }
    }

    // Conversions: NIST SP 811, appendix B (1 lbf.ft = 1.355818 N.m, 1 lbf.in = 0.1129848 N.m,
    // 1 oz = 28.34952 g, t/degC = (t/degF - 32)/1.8).
    TEST_CASE("angles, temperatures, torques, durations and masses are read with their units")
    {
        CHECK(parse_angle("95deg")->value == 95);
        CHECK(parse_angle("95\u00b0")->value == 95);
        CHECK(parse_angle("0.75turn")->value == 270);
        CHECK(parse_temperature("31C")->value == 31);
        CHECK(parse_temperature("-5\u00b0C")->value == -5);
        CHECK(parse_temperature("31degC")->value == 31);
        CHECK(parse_temperature("212F")->value == doctest::Approx(100).epsilon(1e-12));
        CHECK(parse_temperature("32degF")->value == doctest::Approx(0).epsilon(1e-12));
        CHECK_FALSE(parse_temperature("-300C"));
        CHECK(parse_torque("40Nm")->value == 40);
        CHECK(parse_torque("40N\u00b7m")->value == 40);
        CHECK(parse_torque("40N.m")->value == 40);
        CHECK(parse_torque("1lbft")->value == doctest::Approx(1.355818).epsilon(1e-6));
        CHECK(parse_torque("1lbf\u00b7in")->value == doctest::Approx(0.1129848).epsilon(1e-6));
        CHECK(parse_duration("90min")->value == doctest::Approx(1.5).epsilon(1e-15));
        CHECK(parse_mass("2kg")->value == 2000);
        CHECK(parse_mass("1oz")->value == doctest::Approx(28.34952).epsilon(1e-6));
    }

    TEST_CASE("printing keeps the decimals asked for, with a point, and has no negative zero")
    {
        CHECK(fixed(49.97, 3) == "49.970");
        CHECK(fixed(-0.001, 2) == "0.00");
        CHECK(fixed(-0.0, 0) == "0");
        CHECK(fixed(-0.01, 2) == "-0.01");
        CHECK(fixed(1e15, 1) == "1000000000000000.0");
        CHECK(fixed(std::numeric_limits<double>::quiet_NaN(), 2) == "?");
        CHECK(fixed(std::numeric_limits<double>::max(), 2).size() > 300);
    }

    TEST_CASE("inches print as a fraction when they lie on one, else with four places")
    {
        CHECK(inches_as_fraction(Millimetres{49.2125}) == "1-15/16");
        CHECK(inches_as_fraction(Millimetres{23.8125}) == "15/16");
        CHECK(inches_as_fraction(Millimetres{50.8}) == "2");
        CHECK(inches_as_fraction(Millimetres{0}) == "0");
        CHECK(inches_as_fraction(Millimetres{-38.1}) == "-1-1/2");
        CHECK(inches_as_fraction(Millimetres{50.0}) == "1-31/32"); // 0.0003 in away
        CHECK(inches_as_fraction(Millimetres{50.1}) == "1.9724");  // 0.004 in from the next 64th
        CHECK(inches_as_fraction(Millimetres{49.2125}, 4) == "1.9375");
    }

    TEST_CASE("every sixty-fourth of an inch up to ten inches survives printing and reading")
    {
        for (int n = 0; n <= 640; ++n) {
            const Millimetres length{n * 25.4 / 64};
            const auto        back = parse_length(inches_as_fraction(length) + "in");
            CAPTURE(n);
            REQUIRE(back);
            CHECK(back->value == doctest::Approx(length.value).epsilon(1e-12));
        }
    }

    TEST_CASE("a reading keeps its text and becomes an integer in its SI unit")
    {
        struct Row {
            const char*  text;
            UnitOf       unit;
            std::int64_t si;
            const char*  si_name;
        };
        for (const Row& r :
             {Row{"49.970", UnitOf::mm, 499700, "dum"}, Row{"12.5", UnitOf::um, 125, "dum"},
              Row{"1-15/16", UnitOf::inch, 492125, "dum"}, Row{"1.9375", UnitOf::inch, 492125, "dum"},
              Row{"2.5", UnitOf::thou, 635, "dum"}, Row{"95", UnitOf::deg, 95000, "mdeg"},
              Row{"0.75", UnitOf::turn, 270000, "mdeg"}, Row{"-5,5", UnitOf::celsius, -5500, "mC"},
              Row{"40", UnitOf::newton_metre, 40000, "mNm"}, Row{"12", UnitOf::gram, 12000, "mg"},
              Row{"1.5", UnitOf::hour, 5400, "s"}, Row{"45", UnitOf::minute, 2700, "s"},
              Row{"2.8", UnitOf::mm_per_s, 2800, "um_s"}, Row{"30", UnitOf::percent, 30000, "mpc"},
              Row{"4", UnitOf::count, 4, "1"}, Row{"no rub", UnitOf::text, 0, "1"}}) {
            CAPTURE(r.text);
            const auto reading = enter(r.text, r.unit);
            REQUIRE(reading);
            CHECK(reading->text == r.text);
            CHECK(reading->unit == r.unit);
            CHECK(reading->si == r.si);
            CHECK(si_unit(r.unit) == r.si_name);
        }
    }

    TEST_CASE("a reading that cannot be read is refused")
    {
        for (const std::string bad : {"", "nan", "inf", "12mm", "1/2", "1e14"}) {
            CAPTURE(bad);
            CHECK_FALSE(enter(bad, UnitOf::mm));
        }
        CHECK_FALSE(enter("1-17/16", UnitOf::inch));
        CHECK_FALSE(enter("2.5", UnitOf::count));
        CHECK_FALSE(enter("-274", UnitOf::celsius));
        CHECK_FALSE(enter("   ", UnitOf::text));
    }

    TEST_CASE("every unit comes back from its symbol and every SI integer from its unit")
    {
        for (int u = 0; u <= static_cast<int>(UnitOf::text); ++u) {
            const auto unit = static_cast<UnitOf>(u);
            CAPTURE(u);
            REQUIRE(unit_from_symbol(unit_symbol(unit)));
            CHECK(*unit_from_symbol(unit_symbol(unit)) == unit);
            for (const std::int64_t si : {0L, 1L, -1L, 999L, 499700L, 7'200'000L})
                CHECK(to_si(from_si(si, unit), unit) == si);
        }
        CHECK(*unit_from_symbol("um") == UnitOf::um);
        CHECK(*unit_from_symbol("C") == UnitOf::celsius);
        CHECK_FALSE(unit_from_symbol("furlong"));
        CHECK(to_si(std::numeric_limits<double>::quiet_NaN(), UnitOf::mm) == 0);
        CHECK(to_si(1e300, UnitOf::mm) > 0);
        CHECK(to_si(-1e300, UnitOf::mm) < 0);
    }
}
