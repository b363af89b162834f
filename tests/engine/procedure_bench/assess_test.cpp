#include "engine/procedure/assess.h"

#include <algorithm>

#include "tests/engine/procedure_bench/bench.h"

using namespace engine;

namespace {

const StepRef kSeat{"seat", "A"};

/// Four diameters and the part temperature of a seat at A, each with U = 4.7 um.
FactsByStep seat_facts(const Plan& plan, const std::vector<std::string>& diameters)
{
    const std::vector<std::string> slots{"I.across", "I.up", "II.across", "II.up"};
    FactsByStep                    facts;
    for (std::size_t i = 0; i < diameters.size(); ++i)
        bench::put(plan, facts, kSeat, bench::read("diameter", slots[i], diameters[i], UnitOf::mm, 47));
    bench::put(plan, facts, kSeat, bench::read("part_temperature", "", "20.0", UnitOf::celsius));
    return facts;
}

} // namespace

TEST_SUITE("engine/procedure/assess")
{
    // Source: ISO 286-2, IT9 over 30 up to 50 mm = 62 um, as read in NSK_E1102 (reference
    // iso286_it_grades.csv).
    TEST_CASE("a seat h9 of 50 mm is limited to 49.938 .. 50.000 mm and says from where")
    {
        const Plan plan   = bench::plan_of(bench::job_of("SLW-P50-12"));
        const auto limits = limits_of_reading(plan, {}, kSeat, "diameter", "I.up", UnitOf::mm);
        REQUIRE(limits.has_value());
        CHECK(limits->low == 499380);
        CHECK(limits->high == 500000);
        CHECK(limits->source.find("sheet SLW-P50-12 rev R3") != std::string::npos);
        CHECK(limits->source.find("h9") != std::string::npos);
        CHECK(limits->source.find("ISO 286") != std::string::npos);
    }

    TEST_CASE("every limit rule of the procedure is known, and no other")
    {
        for (const Step& step : bench::procedure().steps)
            for (const Ask& ask : step.asks) {
                CAPTURE(step.key);
                CAPTURE(ask.limits);
                if (!ask.limits.empty()) CHECK(is_limit_rule(ask.limits));
            }
        CHECK_FALSE(is_limit_rule("sea"));
        CHECK_FALSE(is_limit_rule(""));
    }

    // Source: ISO 14253-1, whole interval inside; U 4.7 um against the same table row as above.
    TEST_CASE("a seat is inside in the middle of h9, undecided by its limit and outside beyond it")
    {
        const Plan plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const auto of   = [&plan](const std::string& mm) {
            return assess(plan, seat_facts(plan, {mm, mm, mm, mm}), kSeat);
        };
        CHECK(of("49.970").verdict == Verdict::inside);
        CHECK(of("49.970").sentence.empty());
        CHECK(of("49.997").verdict == Verdict::undecided);
        CHECK_FALSE(of("49.997").sentence.empty());
        CHECK(of("49.930").verdict == Verdict::outside);
    }

    // IT5 over 30 up to 50 mm = 11 um, half of it on the radius (NSK_E1102; NKE_2018): 5.5 um. A spread of 14
    // um in diameter is 7 um on the radius plus 3.3 um of doubt.
    TEST_CASE("an oval seat of good mean size is not inside, and the figure says by how much")
    {
        const Plan plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const auto seat = assess(plan, seat_facts(plan, {"49.960", "49.980", "49.961", "49.979"}), kSeat);
        CHECK(seat.verdict == Verdict::outside);
        const Figure* const form = bench::figure(seat, "form");
        REQUIRE(form != nullptr);
        CHECK(form->si == 100);
        REQUIRE(form->limits.has_value());
        CHECK(form->limits->high == 55);
        const Figure* const mean = bench::figure(seat, "mean_20c");
        REQUIRE(mean != nullptr);
        CHECK(mean->si == 499700);
    }

    TEST_CASE("one diameter of four does not hold the step for the form nobody has looked at yet")
    {
        const Plan plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        CHECK(assess(plan, seat_facts(plan, {"49.970"}), kSeat).verdict == Verdict::inside);
    }

    // A shim of 0.042 in is 1.0668 mm (25.4 mm an inch exactly); +-0.05 mm is common practice.
    TEST_CASE("the shim of the sheet is met within 0.05 mm, and three shims are equal")
    {
        const Plan    plan = bench::plan_of(bench::job_of("SLW-F115-24", "SLW-F115-24"));
        const StepRef at{"shims", "B"};
        const auto    limits = limits_of_reading(plan, {}, at, "thickness", "1", UnitOf::mm);
        REQUIRE(limits.has_value());
        CHECK(limits->low == 10168);
        CHECK(limits->high == 11168);
        const auto of = [&](const std::vector<std::string>& mm) {
            FactsByStep facts;
            for (std::size_t i = 0; i < mm.size(); ++i)
                bench::put(plan, facts, at,
                           bench::read("thickness", std::to_string(i + 1), mm[i], UnitOf::mm));
            return assess(plan, facts, at);
        };
        CHECK(of({"1.070", "1.065", "1.070"}).verdict == Verdict::inside);
        CHECK(of({"1.070", "1.020", "1.070"}).verdict == Verdict::outside); // 0.05 mm apart: tilted
    }

    // Travel: pitch 2 mm x 95/360 = 0.5278 mm [thread lead]. Interference on an adapter sleeve at 1:12:
    // 0.5278 / 12 / 1.1 = 0.03998 mm (TIMKEN_EM table 41 note 2); growth x 55/68 (NSK_E1102 Table 15.1) =
    // 0.0323.
    TEST_CASE("the turn shows travel, interference and clearance taken while the dial moves")
    {
        const Plan plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const auto live = assess_turn(plan, {}, "A", Degrees{95});
        CHECK(live.verdict == Verdict::inside);
        const auto mm = [&live](const char* key) {
            const Figure* const one = bench::figure(live, key);
            REQUIRE(one != nullptr);
            return from_si(one->si, UnitOf::mm);
        };
        CHECK(mm("travel") == doctest::Approx(0.5278).epsilon(1e-3));
        CHECK(mm("interference") == doctest::Approx(0.03998).epsilon(5e-3));
        CHECK(mm("clearance_taken") == doctest::Approx(0.0323).epsilon(5e-3));
        // Nothing was read before: the range of the sheet as delivered, 0.075 to 0.095 mm, stands for it.
        const Figure* const left = bench::figure(live, "clearance_left");
        REQUIRE(left != nullptr);
        CHECK(from_si(left->si, UnitOf::mm) == doctest::Approx(0.085 - 0.0323).epsilon(5e-3));
        CHECK(from_si(left->u_si, UnitOf::mm) > 0.010);
        CHECK(assess_turn(plan, {}, "A", Degrees{84}).verdict == Verdict::outside);
        CHECK(assess_turn(plan, {}, "A", Degrees{106}).verdict == Verdict::outside);
    }

    TEST_CASE("the clearance left is what was read before less what the turn takes, with its doubt")
    {
        const Plan  plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        FactsByStep facts;
        bench::put(plan, facts, {"clearance_before", "A"},
                   bench::read("clearance", "", "0.085", UnitOf::mm, 82));
        const auto          live = assess_turn(plan, facts, "A", Degrees{95});
        const Figure* const left = bench::figure(live, "clearance_left");
        REQUIRE(left != nullptr);
        CHECK(from_si(left->si, UnitOf::mm) == doctest::Approx(0.085 - 0.0323).epsilon(5e-3));
        CHECK(left->u_si > 82);
    }

    TEST_CASE("a sleeve that moved much less than the turn makes is told, and zero may be what is wrong")
    {
        const Plan  plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        FactsByStep facts;
        bench::put(plan, facts, {"clearance_before", "A"},
                   bench::read("clearance", "", "0.085", UnitOf::mm, 82));
        const auto sound = assess_turn(plan, facts, "A", Degrees{95});
        bench::put(plan, facts, {"turn", "A"}, bench::read("sleeve_travel", "", "0.20", UnitOf::mm, 600));
        const auto late = assess_turn(plan, facts, "A", Degrees{95});
        const auto told = [](const Assessment& by) {
            return std::ranges::any_of(by.advice, [](const std::string& advice) {
                return advice.find("does not fit what else was read") != std::string::npos;
            });
        };
        CHECK_FALSE(told(sound));
        CHECK(told(late));
        CHECK(bench::figure(late, "clearance_left")->si > bench::figure(sound, "clearance_left")->si);
    }

    TEST_CASE("what the lock tab may ask for ends where the sheet's turn ends")
    {
        const Plan    plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const StepRef lock{"lock", "A"};
        FactsByStep   facts;
        bench::put(plan, facts, {"turn", "A"}, bench::read("turn", "", "102", UnitOf::deg));
        const auto limits = limits_of_reading(plan, facts, lock, "extra", "", UnitOf::deg);
        REQUIRE(limits.has_value());
        CHECK(limits->low == 0);
        CHECK(limits->high == 3000); // 105 deg of the sheet less 102 turned
        bench::put(plan, facts, lock, bench::read("extra", "", "4", UnitOf::deg));
        const auto over = assess(plan, facts, lock);
        CHECK(over.verdict == Verdict::outside);
        CHECK(over.sentence.find("106 deg") != std::string::npos);
    }

    TEST_CASE("feelers that disagree with the turn are told, and never overrule the sheet")
    {
        const Plan  plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        FactsByStep facts;
        bench::put(plan, facts, {"clearance_before", "A"},
                   bench::read("clearance", "", "0.090", UnitOf::mm, 40));
        bench::put(plan, facts, {"turn", "A"}, bench::read("turn", "", "95", UnitOf::deg));
        const StepRef at{"clearance_after", "A"};
        bench::put(plan, facts, at, bench::read("clearance", "", "0.040", UnitOf::mm, 40));
        const auto after = assess(plan, facts, at);
        CHECK(after.verdict == Verdict::inside);
        CHECK(after.advice.size() == 1);
    }

    // Growth 12e-6 class: 11.5e-6 x 1400 mm x 35 K = 0.5635 mm [SKF_2018 p.851, form of the worked example].
    TEST_CASE("the expansion cartridge keeps room for the growth on the side the shaft grows into")
    {
        const Plan    plan = bench::plan_of(bench::job_of("SLW-P50-12", "SLW-E50-12"));
        const StepRef at{"centre", "B"};
        const auto    away = limits_of_reading(plan, {}, at, "gap_right", "", UnitOf::mm);
        REQUIRE(away.has_value());
        CHECK(away->low == 5635);
        CHECK(away->high == 60000);
        const auto of = [&](const char* left, const char* right) {
            FactsByStep facts;
            bench::put(plan, facts, at, bench::read("gap_left", "", left, UnitOf::mm, 350));
            bench::put(plan, facts, at, bench::read("gap_right", "", right, UnitOf::mm, 350));
            return assess(plan, facts, at).verdict;
        };
        CHECK(of("3.00", "3.00") == Verdict::inside);
        CHECK(of("5.80", "0.20") == Verdict::outside);
    }

    TEST_CASE("a housing over the run-in limit stops the step while readings are still to come")
    {
        const Plan    plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const StepRef at{"run_in", ""};
        FactsByStep   facts;
        bench::put(plan, facts, at, bench::read("temperature", "A.0", "21", UnitOf::celsius, 1200));
        bench::put(plan, facts, at, bench::read("temperature", "A.15", "40", UnitOf::celsius, 1200));
        CHECK(assess(plan, facts, at).verdict == Verdict::inside);
        bench::put(plan, facts, at, bench::read("temperature", "A.30", "93", UnitOf::celsius, 1200));
        CHECK(assess(plan, facts, at).verdict == Verdict::outside);
    }

    TEST_CASE("an answer that does not go on holds the step and says which")
    {
        const Plan    plan = bench::plan_of(bench::job_of("SLW-P50-12"));
        const StepRef at{"zero", "A"};
        FactsByStep   facts;
        facts[at].ref = at;
        facts[at].choices.push_back({{}, "grips", "no", false});
        const auto zero = assess(plan, facts, at);
        CHECK(zero.verdict == Verdict::outside);
        CHECK(zero.sentence.find("grips") != std::string::npos);
        facts[at].choices.front().option = "yes";
        CHECK(assess(plan, facts, at).verdict == Verdict::inside);
    }
}

TEST_SUITE("engine/procedure/uncertainty")
{
    // GUM 4.3.7 and F.2.2.1: 2 sqrt((4/sqrt 3)^2 + (1/sqrt 12)^2) = 4.65 um, rounded up to 0.1 um.
    TEST_CASE("a micrometer of 4 um error and 1 um steps gives U 4.7 um")
    {
        Instrument micrometer;
        micrometer.unit        = UnitOf::mm;
        micrometer.error_limit = 0.004;
        micrometer.resolution  = 0.001;
        CHECK(uncertainty_of_reading(*enter("49.970", UnitOf::mm), &micrometer, {}) == 47);
        // Typed to 0.01 mm only: 2 sqrt((4/sqrt 3)^2 + (10/sqrt 12)^2) = 7.4 um.
        CHECK(uncertainty_of_reading(*enter("49.97", UnitOf::mm), &micrometer, {}) == 74);
        CHECK(uncertainty_of_reading(*enter("49.970", UnitOf::mm), &micrometer, 31000) > 47);
        CHECK(uncertainty_of_reading(*enter("49.970", UnitOf::mm), nullptr, {}) == 0);
    }
}
