#include "engine/evidence/population/survival.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {

std::vector<LifeRecord> freireich()
{
    const support::Reference table("survival_data");
    std::vector<LifeRecord>  records;
    for (std::size_t row = 0; row < table.rows(); ++row)
        records.push_back(
            {table.text(row, "group"), Hours{table.number(row, "time")}, table.text(row, "event") == "1", 1});
    return records;
}

double looked_up(const support::Reference& table, const std::string& quantity, std::string_view column)
{
    for (std::size_t row = 0; row < table.rows(); ++row)
        if (table.text(row, "quantity") == quantity) return table.number(row, column);
    FAIL("no row " << quantity);
    return 0;
}

} // namespace

TEST_SUITE("engine/population/survival")
{
    TEST_CASE(
        "the survival of the text-book groups comes out step by step [INTROBIOSTAT-11.1] [MEM-FREIREICH-KM]")
    {
        const support::Reference table("kaplan_meier_check");
        const auto               curves = kaplan_meier(freireich());
        REQUIRE(curves);
        REQUIRE(curves->size() == 2);
        const SurvivalCurve& treated = curves->at(0);
        CHECK(treated.group == "6-MP");
        CHECK(treated.bearings == 21);
        CHECK(treated.failures == 9);
        std::size_t step = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            if (table.text(row, "group") != "6-MP") continue;
            const SurvivalStep& found = treated.steps.at(step++);
            CHECK(found.time.value == table.number(row, "time"));
            CHECK(found.at_risk == table.number(row, "at_risk"));
            CHECK(found.failures == table.number(row, "events"));
            CHECK(found.s == doctest::Approx(table.number(row, "S_computed")).epsilon(1e-6));
            CHECK(found.se == doctest::Approx(table.number(row, "se_greenwood")).epsilon(1e-5));
        }
        CHECK(step == treated.steps.size());
        CHECK(treated.median->value == 23);
        CHECK(curves->at(1).median->value == 8);
        CHECK(curves->at(1).steps.back().s == 0);
        CHECK(curves->at(1).steps.back().se == 0);
    }

    TEST_CASE("the log-rank test of these groups is the text-book's [MEM-FREIREICH-LR]")
    {
        const support::Reference table("logrank_check");
        const auto               test = log_rank(freireich());
        REQUIRE(test);
        CHECK(test->groups.at(0).observed == looked_up(table, "observed 6-MP", "published"));
        CHECK(test->groups.at(0).expected ==
              doctest::Approx(looked_up(table, "expected 6-MP", "published")).epsilon(1e-4));
        CHECK(test->groups.at(1).expected ==
              doctest::Approx(looked_up(table, "expected placebo", "published")).epsilon(1e-4));
        const std::string row = "chi-square (hypergeometric variance)";
        CHECK(test->chi_square == doctest::Approx(looked_up(table, row, "published")).epsilon(3e-4));
        CHECK(test->chi_square == doctest::Approx(looked_up(table, row, "computed")).epsilon(1e-7));
        CHECK(test->p == doctest::Approx(looked_up(table, "p-value", "computed")).epsilon(1e-5));
        CHECK(test->dof == 1);
        CHECK(test->reading.find("'placebo' failed 21 times where 10.7") != std::string::npos);
    }

    TEST_CASE("without suspensions the curve is the plain share still running")
    {
        std::vector<LifeRecord> records;
        for (int i = 1; i <= 50; ++i)
            records.push_back({"", Hours{10.0 * i}, true, 1});
        const auto curves = kaplan_meier(records);
        REQUIRE(curves);
        for (int i = 1; i <= 50; ++i) {
            const SurvivalStep& step = curves->front().steps.at(static_cast<std::size_t>(i - 1));
            const double        s    = 1 - i / 50.0;
            CHECK(step.s == doctest::Approx(s).epsilon(1e-9));
            if (i < 50)
                CHECK(step.se == doctest::Approx(std::sqrt(s * (1 - s) / 50)).epsilon(1e-9)); // binomial
        }
        CHECK(curves->front().median->value == 250);
    }

    TEST_CASE("counts, order and the unit of time do not matter")
    {
        auto records = freireich();
        std::reverse(records.begin(), records.end());
        for (LifeRecord& r : records)
            r.time = Hours{r.time.value * 168}; // weeks to hours
        const auto plain = log_rank(freireich()), other = log_rank(records);
        CHECK(other->chi_square == doctest::Approx(plain->chi_square).epsilon(1e-12));
        std::vector<LifeRecord> counted = freireich();
        counted.insert(counted.end(), {"6-MP", Hours{35}, false, 3});
        std::vector<LifeRecord> single = freireich();
        for (int i = 0; i < 3; ++i)
            single.push_back({"6-MP", Hours{35}, false, 1});
        CHECK(log_rank(counted)->chi_square == doctest::Approx(log_rank(single)->chi_square).epsilon(1e-12));
    }

    TEST_CASE("equal groups do not differ, and more than two are compared at once")
    {
        std::vector<LifeRecord> records;
        for (const std::string group : {"A", "B", "C"})
            for (int i = 1; i <= 12; ++i)
                records.push_back({group, Hours{100.0 * i}, i % 3 != 0, 1});
        const auto same = log_rank(records);
        REQUIRE(same);
        CHECK(same->dof == 2);
        CHECK(same->chi_square == doctest::Approx(0).epsilon(1e-9));
        CHECK(same->p == doctest::Approx(1).epsilon(1e-9));
        CHECK(same->reading.find("do not differ") != std::string::npos);
        // A group that left before the first failure counts for nothing.
        records.push_back({"D", Hours{5}, false, 4});
        CHECK(log_rank(records)->dof == 2);
    }

    TEST_CASE("what cannot be compared or read is refused")
    {
        CHECK_FALSE(kaplan_meier({}));
        CHECK_FALSE(log_rank({}));
        const std::vector<LifeRecord> one{{"A", Hours{5}, true, 1}, {"A", Hours{6}, true, 1}};
        CHECK(kaplan_meier(one)->size() == 1);
        CHECK(log_rank(one).error().message.find("two groups") != std::string::npos);
        const std::vector<LifeRecord> alive{{"A", Hours{5}, false, 1}, {"B", Hours{6}, false, 1}};
        CHECK_FALSE(log_rank(alive));
        CHECK(kaplan_meier(alive)->at(0).steps.empty());
        CHECK_FALSE(kaplan_meier(alive)->at(0).median);
        // All fail in the same moment: there is no spread to judge by.
        const std::vector<LifeRecord> moment{{"A", Hours{5}, true, 2}, {"B", Hours{5}, true, 2}};
        CHECK(log_rank(moment).error().message.find("side by side") != std::string::npos);
        std::vector<LifeRecord> many;
        for (int i = 0; i < 60; ++i)
            many.push_back({"lot " + std::to_string(i), Hours{5.0 + i}, true, 1});
        CHECK(log_rank(many).error().message.find("between 1 and 50") != std::string::npos);
        CHECK(kaplan_meier(many));
        for (const double bad : {std::numeric_limits<double>::quiet_NaN(), 0.0, -1.0, 1e12}) {
            CHECK_FALSE(kaplan_meier(std::vector<LifeRecord>{{"A", Hours{bad}, true, 1}}));
            CHECK_FALSE(log_rank(std::vector<LifeRecord>{{"A", Hours{bad}, true, 1}}));
        }
    }
}

TEST_SUITE("engine/population/records")
{
    TEST_CASE("a sheet is read with or without counts and groups")
    {
        const auto read = [](const std::string& text) {
            return life_records_from(*parse_csv(text, "life.csv"));
        };
        const auto full = read("group,time_h,event,count\nA,100,1,2\n,200.5,0,1\n");
        REQUIRE(full);
        CHECK(full->at(0).group == "A");
        CHECK(full->at(0).failed);
        CHECK(full->at(0).count == 2);
        CHECK_FALSE(full->at(1).failed);
        CHECK(full->at(1).time.value == 200.5);
        CHECK(read("event,time\n1,5\n")->at(0).count == 1);
    }

    TEST_CASE("a bad cell names its line and what would be right")
    {
        const auto complaint = [](const std::string& text) {
            const auto records = life_records_from(*parse_csv(text, "life.csv"));
            REQUIRE_FALSE(records);
            return records.error().message;
        };
        CHECK(complaint("hours,event\n5,1\n").find("time_h and event") != std::string::npos);
        CHECK(complaint("time_h,event\n5,1\nsoon,1\n").find("life.csv:3") == 0);
        CHECK(complaint("time_h,event\n5,yes\n").find("1 for a failure") != std::string::npos);
        CHECK(complaint("time_h,event\n-5,1\n").find("life.csv:2") == 0);
        CHECK(complaint("time_h,event\nnan,1\n").find("life.csv:2") == 0);
        CHECK(complaint("time_h,event,count\n5,1,many\n").find("life.csv:2") == 0);
        CHECK(complaint("time_h,event,count\n5,1,1.5\n").find("whole number") != std::string::npos);
        CHECK(complaint("time_h,event,count\n5,1,0\n").find("life.csv:2") == 0);
        CHECK(complaint("time_h,event\n").find("no record") != std::string::npos);
    }

    TEST_CASE("more than can be held is refused")
    {
        std::vector<LifeRecord> many(100'001, LifeRecord{"", Hours{5}, true, 1});
        CHECK(bad_records(many));
        many.assign(20, LifeRecord{"", Hours{5}, true, 1'000'000});
        CHECK(bad_records(many)->error.message.find("number of bearings") != std::string::npos);
    }
}
