#include "engine/metrology/instrument.h"
#include "engine/metrology/limits.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <string>

#include "tests/support/reference.h"

using namespace engine;

namespace {
double um(Millimetres length)
{
    return length.value * 1000;
}
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
} // namespace

TEST_SUITE("engine/metrology/limits")
{
    TEST_CASE("every published IT grade to 500 mm is given, at both ends of its step [NSK_E1102]")
    {
        const support::Reference table("iso286_it_grades");
        CHECK(table.rows() == 234);
        for (std::size_t i = 0; i < table.rows(); ++i) {
            const int grade = std::stoi(table.text(i, "grade").substr(2));
            for (const double size :
                 {table.number(i, "nominal_to_mm"), table.number(i, "nominal_over_mm") + 0.001}) {
                CAPTURE(grade);
                CAPTURE(size);
                const auto it = it_grade(Millimetres{size}, grade);
                // The table's own note: IT14 to IT18 not to be used for nominal <= 1 mm.
                if (grade >= 14 && size <= 1) {
                    CHECK_FALSE(it);
                    continue;
                }
                REQUIRE(it);
                CHECK(it->value == doctest::Approx(table.number(i, "tolerance_um")).epsilon(1e-12));
            }
        }
    }

    // ISO 286-1 table 1, repeated by [NSK_E1102] App. Table 11: the note of
    // tests/reference/iso286_it_grades.csv.
    TEST_CASE("IT14 to IT18 do not exist at or below 1 mm [NSK_E1102]")
    {
        for (int grade = 1; grade <= 18; ++grade) {
            CAPTURE(grade);
            CHECK(it_grade(Millimetres{1.001}, grade).has_value());
            CHECK(it_grade(Millimetres{1.0}, grade).has_value() == (grade < 14));
            CHECK(it_grade(Millimetres{0.5}, grade).has_value() == (grade < 14));
        }
        const auto refused = limits_of(Millimetres{0.5}, "h18");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().fault == Fault::out_of_range);
        CHECK(refused.error().message ==
              "IT18 does not exist for a nominal size of 0.500 mm; ISO 286-1 has IT14 to "
              "IT18 above 1 mm only.");
        CHECK_FALSE(limits_of(Millimetres{1.0}, "js14"));
        CHECK_FALSE(form_limit(Millimetres{1.0}, "IT16/2"));
        CHECK(limits_of(Millimetres{0.5}, "h13").has_value());
    }

    TEST_CASE("a size out of the tables is told so that it is seen to be out of them")
    {
        CHECK(it_grade(Millimetres{500.0001}, 7).error().message.find("is 500.0001 mm;") !=
              std::string::npos);
        CHECK(it_grade(Millimetres{-0.0001}, 7).error().message.find("is -0.0001 mm;") != std::string::npos);
    }

    TEST_CASE("every published limit of the h and js classes is given [NSK_E1102] [DERIVED]")
    {
        const support::Reference table("iso286_shaft_limits_h_js");
        CHECK(table.rows() == 182);
        for (std::size_t i = 0; i < table.rows(); ++i) {
            const std::string iso_class = table.text(i, "tolerance_class");
            CAPTURE(iso_class);
            CAPTURE(i);
            const auto limits = limits_of(Millimetres{table.number(i, "nominal_to_mm")}, iso_class);
            REQUIRE(limits);
            CHECK(um(limits->upper) == doctest::Approx(table.number(i, "upper_dev_um")).epsilon(1e-9));
            CHECK(um(limits->lower) == doctest::Approx(table.number(i, "lower_dev_um")).epsilon(1e-9));
            CHECK(limits->iso_class == iso_class);
        }
    }

    TEST_CASE("h9 and IT5/2 of a sleeve seat are those of the catalogue table [SKF_2018]")
    {
        const support::Reference table("seat_form_limits_h9_it5_2");
        for (std::size_t i = 0; i < table.rows(); ++i) {
            const Millimetres size{table.number(i, "shaft_to_mm")};
            CAPTURE(size.value);
            CHECK(um(limits_of(size, "h9")->lower) ==
                  doctest::Approx(table.number(i, "lower_dev_um")).epsilon(1e-9));
            CHECK(form_limit(size, "IT5/2")->limit.value ==
                  doctest::Approx(table.number(i, "it5_half_um")).epsilon(1e-9));
            CHECK(std::ceil(form_limit(size, "IT5/2")->limit.value) == table.number(i, "runout_max_um"));
        }
    }

    // The generating formulas of ISO 286-1, from memory like the table itself; the standard rounds them.
    TEST_CASE("remembered deviations follow the formulas they were rounded from [MEM-ISO286-1]")
    {
        struct Row {
            const char* iso_class;
            double      factor, power, slack_um;
        };
        constexpr std::array kSizes{5.0,   8.0,   14.0,  25.0,  40.0,  75.0,
                                    100.0, 150.0, 210.0, 300.0, 350.0, 450.0};
        constexpr std::array kMeans{4.243, 7.746,  13.416, 23.238, 38.73,  63.246,
                                    97.98, 146.97, 212.13, 280.62, 354.96, 447.21};
        for (const Row& r : {Row{"d8", 16, 0.44, 4.7}, Row{"e8", 11, 0.41, 2.9}, Row{"f7", 5.5, 0.41, 1.0},
                             Row{"g6", 2.5, 0.34, 0.6}})
            for (std::size_t i = 0; i < kSizes.size(); ++i) {
                CAPTURE(kSizes[i]);
                const auto limits = limits_of(Millimetres{kSizes[i]}, r.iso_class);
                REQUIRE(limits);
                CHECK(std::abs(-um(limits->upper) - r.factor * std::pow(kMeans[i], r.power)) <= r.slack_um);
                CHECK(limits->source.find("from memory") != std::string::npos);
            }
        for (std::size_t i = 0; i < kSizes.size(); ++i) {
            CAPTURE(kSizes[i]);
            const double n = um(limits_of(Millimetres{kSizes[i]}, "n6")->lower);
            CHECK(std::abs(n - 5 * std::pow(kMeans[i], 0.34)) <= 0.9);
            const double k = um(limits_of(Millimetres{kSizes[i]}, "k6")->lower);
            CHECK(std::abs(k - 0.6 * std::cbrt(kMeans[i])) <= 0.8);
        }
        // Rules of the standard: p is IT7 plus 0 to 5 um, m is IT7 - IT6, both from memory.
        for (const double size : kSizes) {
            CAPTURE(size);
            const double it7 = it_grade(Millimetres{size}, 7)->value;
            const double it6 = it_grade(Millimetres{size}, 6)->value;
            const double p   = um(limits_of(Millimetres{size}, "p6")->lower);
            CHECK((p >= it7 - 0.5 && p <= it7 + 5.5));
            CHECK(um(limits_of(Millimetres{size}, "m6")->lower) == doctest::Approx(it7 - it6).epsilon(1e-9));
        }
    }

    TEST_CASE("classes follow each other from loose to tight and every tolerance is its grade")
    {
        constexpr std::array kOrder{"d6", "e6", "f6", "g6", "h6", "js6", "k6", "m6", "n6", "p6", "r6", "s6"};
        for (double size = 0.5; size <= 500; size += 3.7) {
            double before = -1e9;
            for (const char* iso_class : kOrder) {
                const auto limits = limits_of(Millimetres{size}, iso_class);
                REQUIRE(limits);
                CHECK(limits->lower.value >= before);
                before = limits->lower.value;
                CHECK(um(limits->tolerance) ==
                      doctest::Approx(it_grade(Millimetres{size}, 6)->value).epsilon(1e-9));
                CHECK((limits->upper - limits->lower).value ==
                      doctest::Approx(limits->tolerance.value).epsilon(1e-9));
            }
        }
        CHECK(limits_of(Millimetres{50}, "k8")->lower.value == 0.0);
    }

    TEST_CASE("grades grow with size and with grade")
    {
        for (int grade = 1; grade <= 18; ++grade) {
            double before = 0;
            for (double size = 2; size <= 500; size += 7) {
                const double width = it_grade(Millimetres{size}, grade)->value;
                CHECK(width >= before);
                before = width;
                if (grade > 1) CHECK(width > it_grade(Millimetres{size}, grade - 1)->value);
            }
        }
    }

    TEST_CASE("what no table holds is refused in a sentence")
    {
        for (const double size : {0.0, -50.0, 500.001, 1e9, kNan, kInf, -kInf}) {
            CAPTURE(size);
            CHECK(limits_of(Millimetres{size}, "h9").error().fault == Fault::out_of_range);
            CHECK(it_grade(Millimetres{size}, 5).error().fault == Fault::out_of_range);
            CHECK(form_limit(Millimetres{size}, "IT5/2").error().fault == Fault::out_of_range);
        }
        for (const std::string bad : {"",    "h",  "9",  "h0", "h19", "H9", "js19", "d4",   "d14",  "s11",
                                      "m10", "t6", "j6", " 9", "h9x", "x9", "h-9",  "h099", "jss7", "mm"}) {
            CAPTURE(bad);
            CHECK(limits_of(Millimetres{50}, bad).error().fault == Fault::bad_input);
        }
        for (const std::string bad : {"", "IT", "5", "IT5/3", "IT5/", "it5", "IT5/2 ", "ITx", "IT-5"}) {
            CAPTURE(bad);
            CHECK(form_limit(Millimetres{50}, bad).error().fault == Fault::bad_input);
        }
        CHECK(form_limit(Millimetres{50}, "IT19").error().fault == Fault::out_of_range);
        CHECK(it_grade(Millimetres{50}, 0).error().fault == Fault::out_of_range);
    }

    TEST_CASE("the error limit of a micrometer is that of DIN 863-1 for every range [SCRIBD-DIN863]")
    {
        const support::Reference table("micrometer_mpe");
        CHECK(table.rows() == 20);
        for (std::size_t i = 0; i < table.rows(); ++i) {
            const double inside = (table.number(i, "range_min_mm") + table.number(i, "range_max_mm")) / 2;
            CAPTURE(inside);
            CHECK(micrometer_error_limit(Millimetres{inside})->value == table.number(i, "error_limit_um"));
        }
        CHECK(micrometer_error_limit(Millimetres{500})->value == 13);
        for (const double bad : {-1.0, 500.1, kNan, kInf})
            CHECK_FALSE(micrometer_error_limit(Millimetres{bad}));
    }
}
