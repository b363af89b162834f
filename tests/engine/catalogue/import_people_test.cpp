// People, instruments and jobs from a planner's file.
#include "engine/catalogue/import.h"

#include <doctest/doctest.h>

#include "tests/engine/catalogue/sheets.h"
#include "tests/engine/catalogue/table_maker.h"

using namespace engine;
using namespace catalogue_test;

namespace {

const Columns kFitter{{"badge", "112"}, {"role", "fitter"}, {"pin", "1120"}};
const Columns kMicrometer{
    {"tag", "M-07"},  {"tool", "micrometer"},    {"unit", "mm"},         {"low", "25mm"},
    {"high", "50mm"}, {"resolution", "0.001mm"}, {"error_limit", "4um"}, {"calibration_due", "2027-03-31"}};
const Columns kPlaceA{{"job", "2219"},
                      {"title", "Fan 4"},
                      {"asset", "LDF-04"},
                      {"due", "2026-12-04"},
                      {"old_bearing_out", "yes"},
                      {"span", "1400mm"},
                      {"rise", "35K"},
                      {"alpha", "12ppm/K"},
                      {"speed", "980rpm"},
                      {"run_in", "3h"},
                      {"position", "A"},
                      {"unit", "HELD"},
                      {"role", "fixed"},
                      {"serial", ""}};
const Columns kPlaceB = changed(kPlaceA, {{"position", "B"}, {"unit", "LOOSE"}, {"role", "expansion"}});

Result<std::string> seal(std::string_view pin)
{
    return "sealed:" + std::to_string(pin.size());
}

} // namespace

TEST_SUITE("engine/catalogue/import people")
{
    TEST_CASE("a person is kept with the sealed PIN and never with the PIN")
    {
        const auto taken = import_people(
            table_of("people.csv",
                     {kFitter, changed(kFitter, {{"badge", "205"}, {"role", "supervisor"}, {"pin", ""}})}),
            seal);
        REQUIRE(told(taken.faults) == "");
        REQUIRE(taken.items.size() == 2);
        CHECK(taken.items[0] == Person{"112", Role::fitter, "sealed:4"});
        CHECK(taken.items[1] == Person{"205", Role::supervisor, ""});
    }

    TEST_CASE("slips in people are told, a PIN is not repeated, and nothing is sealed for a refused file")
    {
        int        seals   = 0;
        const auto refused = import_people(
            table_of("people.csv", {kFitter, kFitter,
                                    changed(kFitter, {{"badge", "1 2"}, {"role", "boss"}, {"pin", "12a4"}})}),
            [&](std::string_view pin) {
                ++seals;
                return seal(pin);
            });
        CHECK(refused.items.empty());
        CHECK(told(refused.faults) == "3 badge, 4 badge, 4 role, 4 pin");
        CHECK(seals == 0);
        CHECK(sentence(refused.faults[1]).find("people.csv:4, column badge: '1 2' cannot be read") == 0);
        CHECK(sentence(refused.faults[3]) ==
              "people.csv:4, column pin cannot be a PIN; give 4 to 12 digits, or nothing.");
    }

    TEST_CASE("a PIN that cannot be sealed takes nobody")
    {
        const auto refused =
            import_people(table_of("people.csv", {kFitter}), [](std::string_view) -> Result<std::string> {
                return failure(Fault::io, "Not enough memory");
            });
        CHECK(refused.items.empty());
        CHECK(told(refused.faults) == "2 pin");
        CHECK(refused.faults.front().value.empty());
    }
}

TEST_SUITE("engine/catalogue/import instruments")
{
    TEST_CASE("an instrument is kept in the unit it reads in, whatever unit of the kind the cell has")
    {
        const auto taken = import_instruments(
            table_of("instruments.csv", {kMicrometer,
                                         changed(kMicrometer, {{"tag", "M-09"},
                                                               {"unit", "in"},
                                                               {"low", "1in"},
                                                               {"high", "50.8mm"},
                                                               {"resolution", "0.1thou"},
                                                               {"error_limit", "0.0002in"}}),
                                         changed(kMicrometer, {{"tag", "C-05"},
                                                               {"tool", "thermometer"},
                                                               {"unit", "C"},
                                                               {"low", "-20C"},
                                                               {"high", "250C"},
                                                               {"resolution", "0.1C"},
                                                               {"error_limit", "1C"}})}));
        REQUIRE(told(taken.faults) == "");
        REQUIRE(taken.items.size() == 3);
        CHECK(taken.items[0] ==
              Instrument{"M-07", Tool::micrometer, UnitOf::mm, 25.0, 50.0, 0.001, 0.004, "2027-03-31"});
        CHECK(taken.items[1].unit == UnitOf::inch);
        CHECK(taken.items[1].high == doctest::Approx(2.0).epsilon(1e-12));
        CHECK(taken.items[1].resolution == doctest::Approx(0.0001).epsilon(1e-12));
        CHECK(taken.items[2].low == -20.0);
        CHECK(taken.items[2].error_limit == 1.0);
    }

    // 1 lbf.ft = 1.3558179483314 N.m (NIST SP 811, appendix B.8).
    TEST_CASE("a torque wrench in pound-feet is taken, however the unit is spelt")
    {
        for (const char* unit : {"lb\u00b7ft", "lbf\u00b7ft", "lb ft", "lbft", "lbf_ft", "ft-lb"}) {
            CAPTURE(unit);
            const std::string spelt = unit;
            const auto        taken = import_instruments(
                       table_of("instruments.csv", {changed(kMicrometer, {{"tag", "W-09"},
                                                                          {"tool", "torque_wrench"},
                                                                          {"unit", spelt},
                                                                          {"low", "20" + spelt},
                                                                          {"high", "203.37269Nm"}, // 150 lbf.ft
                                                                          {"resolution", "0.5 lb ft"},
                                                                          {"error_limit", "4.5lbft"}})}));
            REQUIRE(told(taken.faults) == "");
            const Instrument& wrench = taken.items.front();
            CHECK(wrench.unit == UnitOf::lbf_ft);
            CHECK(wrench.low == doctest::Approx(20).epsilon(1e-12));
            CHECK(wrench.high == doctest::Approx(150).epsilon(1e-7));
            CHECK(wrench.error_limit == doctest::Approx(4.5).epsilon(1e-12));
        }
        const auto mass = import_instruments(
            table_of("instruments.csv", {changed(kMicrometer, {{"tool", "torque_wrench"}, {"unit", "lb"}})}));
        CHECK(told(mass.faults) == "2 unit");
    }

    TEST_CASE("slips in instruments are told at their place")
    {
        struct Row {
            Columns     changes;
            const char* sentence;
        };
        for (const Row& row : {
                 Row{{{"tag", "M 7"}}, "instruments.csv:2, column tag: 'M 7' cannot be read"},
                 Row{{{"tool", "hammer"}},
                     "instruments.csv:2, column tool: 'hammer' cannot be read; give micrometer,"},
                 Row{{{"unit", "furlong"}}, "instruments.csv:2, column unit: 'furlong' cannot be read"},
                 Row{{{"tool", "torque_wrench"}},
                     "instruments.csv:2, column unit: 'mm' is nothing a torque_wrench reads"},
                 Row{{{"low", "25"}},
                     "instruments.csv:2, column low: '25' cannot be read; give a value with a unit such as "
                     "0.01mm."},
                 Row{{{"low", "25C"}}, "instruments.csv:2, column low: '25C' cannot be read"},
                 Row{{{"high", "25mm"}}, "instruments.csv:2, column high: '25mm' is not above low, 25mm"},
                 Row{{{"high", ""}}, "instruments.csv:2, column high is empty"},
                 Row{{{"resolution", "0mm"}},
                     "instruments.csv:2, column resolution: '0mm' is outside what can be"},
                 Row{{{"error_limit", "25mm"}},
                     "instruments.csv:2, column error_limit: '25mm' is outside what can be"},
                 Row{{{"calibration_due", "31.3.2027"}},
                     "instruments.csv:2, column calibration_due: '31.3.2027' cannot be read"},
                 Row{{{"calibration_due", "2027-02-29"}},
                     "instruments.csv:2, column calibration_due: '2027-02-29' cannot be read"},
             }) {
            CAPTURE(row.sentence);
            const auto refused =
                import_instruments(table_of("instruments.csv", {changed(kMicrometer, row.changes)}));
            CHECK(refused.items.empty());
            REQUIRE(told(refused.faults) != "");
            CHECK(refused.faults.size() == 1);
            CAPTURE(sentence(refused.faults.front()));
            CHECK(sentence(refused.faults.front()).find(row.sentence) == 0);
        }
    }

    TEST_CASE("a tag stands once, and Fahrenheit is refused where a difference may be meant")
    {
        const auto refused =
            import_instruments(table_of("instruments.csv", {kMicrometer, kMicrometer,
                                                            changed(kMicrometer, {{"tag", "C-05"},
                                                                                  {"tool", "thermometer"},
                                                                                  {"unit", "C"},
                                                                                  {"low", "-20C"},
                                                                                  {"high", "250C"},
                                                                                  {"resolution", "1F"},
                                                                                  {"error_limit", "1C"}})}));
        CHECK(refused.items.empty());
        CHECK(told(refused.faults) == "3 tag, 4 resolution");
    }

    TEST_CASE("a leap day is a day only in a leap year")
    {
        for (const auto& [day, fits] : {std::pair{"2028-02-29", true},
                                        {"2100-02-29", false},
                                        {"2027-13-01", false},
                                        {"2027-00-10", false},
                                        {"2027-04-31", false},
                                        {"2027-4-30", false}}) {
            const std::string which = day;
            CAPTURE(which);
            const auto taken = import_instruments(
                table_of("instruments.csv", {changed(kMicrometer, {{"calibration_due", day}})}));
            CHECK(taken.faults.empty() == fits);
        }
    }
}

TEST_SUITE("engine/catalogue/import jobs")
{
    TEST_CASE("rows of one job become its positions")
    {
        const auto taken = import_jobs(table_of("jobs.csv", {kPlaceA, kPlaceB,
                                                             changed(kPlaceA, {{"job", "2220"},
                                                                               {"span", ""},
                                                                               {"alpha", ""},
                                                                               {"speed", ""},
                                                                               {"run_in", ""},
                                                                               {"old_bearing_out", ""},
                                                                               {"serial", "S-1"}})}),
                                       plant());
        REQUIRE(told(taken.faults) == "");
        REQUIRE(taken.items.size() == 2);
        const Job& fan = taken.items[0];
        CHECK(fan.number == "2219");
        CHECK(fan.title == "Fan 4");
        CHECK(fan.old_bearing_out);
        CHECK(fan.span == Millimetres{1400.0});
        CHECK(fan.rise == Kelvins{35.0});
        CHECK(fan.alpha.value == doctest::Approx(12e-6).epsilon(1e-12));
        CHECK(fan.speed == RevPerMinute{980.0});
        CHECK(fan.run_in == Hours{3.0});
        CHECK(fan.due == "2026-12-04");
        REQUIRE(fan.positions.size() == 2);
        CHECK(fan.positions[0] == Position{"A", "HELD", Hold::fixed, ""});
        CHECK(fan.positions[1] == Position{"B", "LOOSE", Hold::expansion, ""});
        const Job& single = taken.items[1];
        CHECK_FALSE(single.old_bearing_out);
        CHECK(single.positions.front().serial == "S-1");
        CHECK(single.run_in == Job{}.run_in);
        CHECK(single.alpha == Job{}.alpha);
        CHECK(single.speed == RevPerMinute{0.0});
    }

    TEST_CASE("slips in jobs are told at their place")
    {
        struct Row {
            Columns     second;
            const char* sentence;
        };
        for (const Row& row : {
                 Row{{{"title", "Fan 5"}},
                     "jobs.csv:3, column title: 'Fan 5' is not what line 2 says; give 'Fan 4' on every row "
                     "of job 2219."},
                 Row{{{"rise", "30K"}}, "jobs.csv:3, column rise: '30K' is not what line 2 says"},
                 Row{{{"position", "A"}}, "jobs.csv:3, column position: 'A' does not follow A"},
                 Row{{{"position", "b"}}, "jobs.csv:3, column position: 'b' cannot be read"},
                 Row{{{"unit", "NOBODY"}}, "jobs.csv:3, column unit: 'NOBODY' is not in the catalogue"},
                 Row{{{"unit", "HELD"}},
                     "jobs.csv:3, column role: 'expansion' asks for float, which unit HELD has not"},
                 Row{{{"role", "loose"}},
                     "jobs.csv:3, column role: 'loose' cannot be read; give fixed or expansion."},
                 Row{{{"serial", "a b"}}, "jobs.csv:3, column serial: 'a b' cannot be read"},
                 Row{{{"job", ""}, {"position", "A"}, {"span", ""}}, "jobs.csv:3, column job is empty"},
             }) {
            CAPTURE(row.sentence);
            const bool other = !row.second.empty() && row.second.front().first == "job";
            const auto first = other ? changed(kPlaceA, {{"span", ""}}) : kPlaceA;
            const auto refused =
                import_jobs(table_of("jobs.csv", {first, changed(kPlaceB, row.second)}), plant());
            CHECK(refused.items.empty());
            REQUIRE(told(refused.faults) != "");
            CHECK(refused.faults.size() == 1);
            CAPTURE(sentence(refused.faults.front()));
            CHECK(sentence(refused.faults.front()).find(row.sentence) == 0);
        }
    }

    TEST_CASE("slips of the job as a whole are told at its first row")
    {
        struct Row {
            std::vector<Columns> rows;
            const char*          places;
        };
        const auto loose_a = changed(kPlaceB, {{"position", "A"}});
        for (const Row& row : {
                 Row{{loose_a, kPlaceB}, "2 role"},
                 Row{{changed(kPlaceA, {{"span", ""}}), changed(kPlaceB, {{"span", ""}})}, "2 span"},
                 Row{{kPlaceA}, "2 span"},
                 Row{{changed(kPlaceA, {{"due", "soon"},
                                        {"asset", ""},
                                        {"span", ""},
                                        {"rise", "35C"},
                                        {"speed", "980"},
                                        {"alpha", "1"},
                                        {"run_in", "0h"},
                                        {"title", ""}})},
                     "2 title, 2 asset, 2 due, 2 rise, 2 alpha, 2 speed, 2 run_in"},
                 Row{{kPlaceA, changed(kPlaceA, {{"job", "9"}, {"span", ""}}), kPlaceB}, "2 span, 4 job"},
             }) {
            CAPTURE(row.places);
            const auto refused = import_jobs(table_of("jobs.csv", row.rows), plant());
            CHECK(refused.items.empty());
            CHECK(told(refused.faults) == row.places);
        }
    }

    TEST_CASE("an open job may get another day, but not other positions")
    {
        Catalogue  known = plant();
        const auto first = import_jobs(table_of("jobs.csv", {kPlaceA, kPlaceB}), known);
        REQUIRE(first.items.size() == 1);
        known.jobs.emplace("2219", first.items.front());
        const Columns later{{"due", "2027-01-08"}};
        CHECK(import_jobs(table_of("jobs.csv", {changed(kPlaceA, later), changed(kPlaceB, later)}), known)
                  .items.size() == 1);
        const Columns fixed{{"role", "fixed"}};
        const auto    refused = import_jobs(table_of("jobs.csv", {kPlaceA, changed(kPlaceB, fixed)}), known);
        CHECK(refused.items.empty());
        CHECK(told(refused.faults) == "2 job");
    }
}
