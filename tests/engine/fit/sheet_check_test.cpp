#include "engine/fit/sheet_check.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {

SheetClaims claims_of(double bore, double turn_min, double turn_max)
{
    SheetClaims claims;
    claims.unit.bore    = Millimetres{bore};
    claims.unit.raceway = Millimetres{bore / 0.8}; // 15 : 1 at 1:12
    claims.unit.pitch   = ThreadPitch{2};
    claims.turn_min     = Degrees{turn_min};
    claims.turn_max     = Degrees{turn_max};
    claims.name         = "PB-1 rev 2";
    return claims;
}

LengthLimits band(double low, double high)
{
    return {Millimetres{low}, Millimetres{high}};
}

} // namespace

TEST_SUITE("engine/fit/sheet_check")
{
    // Travel over reduction of the same row are two statements of one sheet: turned into a turn they must
    // agree.
    TEST_CASE("published travel and reduction agree with each other for every bore [NSK_E1102] [NKE_2018]")
    {
        const support::Reference table("driveup_spherical_roller");
        int                      checked = 0, agreed = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const auto low  = table.maybe(row, "s_1_12_shaft_min_mm");
            const auto high = table.maybe(row, "s_1_12_shaft_max_mm");
            if (!low || !high) continue;
            CAPTURE(row);
            SheetClaims  claims = claims_of(table.number(row, "bore_to_mm"), *low * 180, *high * 180);
            const double least  = table.number(row, "reduction_min_mm");
            const double most   = table.number(row, "reduction_max_mm");
            claims.before       = band(0.3, 0.3);
            claims.after        = band(0.3 - most, 0.3 - least);
            const auto found    = check_sheet(claims);
            REQUIRE(found);
            agreed += int{found->answer == SheetAnswer::agrees};
            ++checked;
        }
        CHECK(checked >= 50);
        CHECK(agreed >= checked * 9 / 10);
    }

    TEST_CASE("a turn that takes twice what the limits want disagrees, and the sentence says why it may")
    {
        SheetClaims claims = claims_of(100, 130, 140); // 0.050 mm
        claims.before      = band(0.080, 0.100);
        claims.after       = band(0.035, 0.045);
        const auto good    = check_sheet(claims);
        REQUIRE(good);
        CHECK(good->answer == SheetAnswer::agrees);
        CHECK(good->turn_takes.value == doctest::Approx(0.050).epsilon(1e-9));
        CHECK(good->limits_want.value == doctest::Approx(0.050).epsilon(1e-9));
        CHECK(good->wanted_from == "the sheet");
        claims.turn_min = Degrees{265}, claims.turn_max = Degrees{275};
        const auto much = check_sheet(claims);
        CHECK(much->answer == SheetAnswer::disagrees);
        CHECK(much->apart > 1);
        CHECK(much->heavy);
        CHECK(much->sentence.find("hand tight") != std::string::npos);
        claims.turn_min = Degrees{20}, claims.turn_max = Degrees{30};
        const auto little = check_sheet(claims);
        CHECK(little->answer == SheetAnswer::disagrees);
        CHECK(little->sentence.find("hand tight") == std::string::npos);
        CHECK(little->sentence.find("PB-1 rev 2") == 0);
    }

    // Rectangular: half-width over the square root of 3 (GUM 4.3.7); k = 2.
    TEST_CASE("each side carries its own uncertainty")
    {
        SheetClaims claims = claims_of(100, 135, 135);
        claims.before      = band(0.080, 0.100);
        claims.after       = band(0.040, 0.040);
        const auto exact   = check_sheet(claims);
        REQUIRE(exact);
        CHECK(exact->u_limits_want.value == doctest::Approx(2 * 0.010 / std::sqrt(3.0)).epsilon(1e-9));
        claims.turn_min = Degrees{105}, claims.turn_max = Degrees{165};
        CHECK(check_sheet(claims)->u_turn_takes > exact->u_turn_takes);
        CHECK(check_sheet(claims)->turn_takes == exact->turn_takes);
    }

    TEST_CASE("what the sheet leaves out is taken from the tables, and said")
    {
        SheetClaims claims = claims_of(100, 130, 140);
        CHECK(check_sheet(claims)->answer == SheetAnswer::agrees); // advised: 0.040 to 0.060
        CHECK(check_sheet(claims)->wanted_from.find("SKF_2018") != std::string::npos);
        claims.after = band(0.030, 0.050);
        claims.group = "CN";
        CHECK(check_sheet(claims)->wanted_from == "the sheet and CN of [SKF_2018]");
        claims.group = "C9";
        CHECK(check_sheet(claims)->wanted_from.find("NSK_E1102") != std::string::npos);
        const SheetClaims small = claims_of(20, 30, 40); // no table has that bore
        CHECK(check_sheet(small)->answer == SheetAnswer::cannot_say);
        CHECK(check_sheet(small)->sentence.find("neither") != std::string::npos);
    }

    TEST_CASE("the sheet of the catalogue is taken as it stands")
    {
        UnitSheet sheet;
        sheet.code = "PB-55", sheet.revision = "3";
        sheet.shaft = Millimetres{50}, sheet.bearing_bore = Millimetres{55},
        sheet.raceway  = Millimetres{68.75};
        sheet.pitch    = ThreadPitch{2};
        sheet.turn_min = Degrees{80}, sheet.turn_max = Degrees{110};
        sheet.clearance_group = "CN";
        SheetClaims claims    = engine::claims_of(sheet);
        CHECK(claims.unit.on_sleeve);
        const auto found = check_sheet(claims);
        REQUIRE(found);
        CHECK(found->sentence.find("PB-55 rev 3") == 0);
        sheet.taper = 16; // no published factor: the give of the slit sleeve itself
        claims      = engine::claims_of(sheet);
        CHECK_FALSE(claims.unit.on_sleeve);
        CHECK(claims.unit.sleeve_bore == sheet.shaft);
        CHECK(check_sheet(claims));
        CHECK(name_of(SheetAnswer::agrees) == "agrees");
        CHECK(name_of(SheetAnswer::disagrees) == "disagrees");
        CHECK(name_of(SheetAnswer::cannot_say) == "cannot say");
    }

    TEST_CASE("a sheet that cannot be is refused")
    {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        for (const double bad : {nan, -1.0, 1e9}) {
            SheetClaims claims = claims_of(100, 130, 140);
            claims.turn_min    = Degrees{bad};
            CHECK_FALSE(check_sheet(claims));
            claims          = claims_of(100, 130, 140);
            claims.turn_max = Degrees{bad};
            CHECK_FALSE(check_sheet(claims));
            claims        = claims_of(100, 130, 140);
            claims.before = band(0.01, bad);
            CHECK_FALSE(check_sheet(claims));
            claims           = claims_of(100, 130, 140);
            claims.unit.bore = Millimetres{bad};
            CHECK_FALSE(check_sheet(claims));
        }
        CHECK(check_sheet(claims_of(100, 140, 130)).error().fault == Fault::bad_input);
        SheetClaims claims = claims_of(100, 130, 140);
        claims.after       = band(0.05, 0.04);
        CHECK(check_sheet(claims).error().fault == Fault::bad_input);
        CHECK(check_sheet(claims_of(100, 0, 0))->u_turn_takes.value == 0.0);
    }
}
