#include "engine/book/catalogue_codec.h"
#include "engine/book/codec.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>

#include "tests/engine/book/drafts.h"

using namespace engine;

namespace {

/// As a reader meets it: written, printed canonically, parsed.
Entry entry_of(Draft said, std::int64_t at = 1000)
{
    const auto text = canonical(*said.body);
    REQUIRE(text);
    Entry entry;
    entry.hlc_ms = at;
    entry.seq    = static_cast<std::uint64_t>(at);
    entry.dev    = std::string(64, 'd');
    said.body    = std::make_shared<const nlohmann::json>(nlohmann::json::parse(*text));
    entry.said   = std::move(said);
    return entry;
}

UnitSheet full_sheet()
{
    UnitSheet unit;
    unit.code             = "SLW-P50-12";
    unit.revision         = "3";
    unit.mount            = Mount::flange;
    unit.split_housing    = true;
    unit.shaft            = Millimetres{49.2125}; // 1-15/16 in
    unit.bearing_bore     = Millimetres{55.0};
    unit.raceway          = Millimetres{66.7};
    unit.seat_width       = Millimetres{62.0};
    unit.taper            = 12.0;
    unit.pitch            = ThreadPitch{1.5};
    unit.slots            = 4;
    unit.tangs            = 13;
    unit.turn_min         = Degrees{90.0};
    unit.turn_max         = Degrees{120.5};
    unit.seat_class       = "h9";
    unit.seat_form        = "IT5/2";
    unit.clearance_group  = "C3";
    unit.clearance_before = LengthLimits{Millimetres{0.04}, Millimetres{0.055}};
    unit.clearance_after  = LengthLimits{Millimetres{0.02}, Millimetres{0.0375}};
    unit.shim             = Millimetres{0.5};
    unit.float_total      = Millimetres{4.8};
    unit.bolts            = 4;
    unit.bolt_size        = "5/8-11";
    unit.bolt_class       = "grade5";
    unit.bolt_torque      = NewtonMetres{150.5};
    unit.cap_torque       = NewtonMetres{70.0};
    unit.misalignment_max = Degrees{2.0};
    unit.grease           = Grams{35.0};
    unit.run_in_limit     = Celsius{93.0};
    unit.run_in_rise      = Kelvins{50.0};
    unit.asks             = {"clearance_before", "nut_torque"};
    return unit;
}

} // namespace

TEST_SUITE("engine/book catalogue codec")
{
    TEST_CASE("a sheet comes back as it was, all fields and none")
    {
        const UnitSheet full = full_sheet();
        CHECK(catalogue_of({entry_of(draft_of(full, "901"))}).units.at("SLW-P50-12") == full);
        UnitSheet bare;
        bare.code = "SLW-P40";
        CHECK(catalogue_of({entry_of(draft_of(bare, "901"))}).units.at("SLW-P40") == bare);
    }

    TEST_CASE("a pitch in threads per inch loses less than a millionth of a millimetre")
    {
        UnitSheet unit;
        unit.code       = "SLW-P40";
        unit.pitch      = ThreadPitch{25.4 / 18.0};
        const auto back = catalogue_of({entry_of(draft_of(unit, "901"))}).units.at("SLW-P40");
        CHECK(std::abs(back.pitch.value - 25.4 / 18.0) < 1e-6);
    }

    TEST_CASE("people and instruments come back as they were")
    {
        const Person     person{"417", Role::supervisor, "$argon2id$v=19$m=65536,t=2,p=1$c2FsdA$aGFzaA"};
        const Person     plain{"418", Role::fitter, ""};
        const Instrument gauge{"M-07", Tool::micrometer, UnitOf::inch, 1.0,
                               2.0,    0.00005,          0.0001,       "2027-03-31"};
        const Catalogue  catalogue =
            catalogue_of({entry_of(draft_of(person, "901")), entry_of(draft_of(plain, "901")),
                          entry_of(draft_of(gauge, "901"))});
        CHECK(catalogue.people.at("417") == person);
        CHECK(catalogue.people.at("418") == plain);
        CHECK(catalogue.instruments.at("M-07") == gauge);
    }

    TEST_CASE("every tool, unit and role has a spelling of its own")
    {
        for (int i = 0; i <= static_cast<int>(Tool::vibration_meter); ++i) {
            Instrument one;
            one.tag  = "X";
            one.tool = static_cast<Tool>(i);
            CHECK(catalogue_of({entry_of(draft_of(one, ""))}).instruments.at("X").tool == one.tool);
        }
        for (int i = 0; i <= static_cast<int>(UnitOf::text); ++i) {
            Instrument one;
            one.tag  = "X";
            one.unit = static_cast<UnitOf>(i);
            CHECK(catalogue_of({entry_of(draft_of(one, ""))}).instruments.at("X").unit == one.unit);
        }
        for (int i = 0; i <= static_cast<int>(Role::planner); ++i) {
            const Person one{"1", static_cast<Role>(i), ""};
            CHECK(catalogue_of({entry_of(draft_of(one, ""))}).people.at("1") == one);
        }
    }

    TEST_CASE("a job comes back as it was, and its entry belongs to it")
    {
        Job job;
        job.number    = "2219";
        job.title     = "Lime dryer fan 4";
        job.asset     = "LDF-04";
        job.positions = {{"A", "SLW-P50-12", Hold::fixed, "SN-1"}, {"B", "SLW-P50-12", Hold::expansion, ""}};
        job.old_bearing_out = true;
        job.span            = Millimetres{1250.0};
        job.rise            = Kelvins{35.5};
        job.alpha           = PerKelvin{11.5e-6};
        job.speed           = RevPerMinute{1480.0};
        job.run_in          = Hours{4.0};
        job.due             = "2026-11-27";
        const Draft opened  = draft_of(job, "901");
        CHECK(opened.kind == kind::job_open);
        CHECK(opened.job == "2219");
        const Job back = catalogue_of({entry_of(opened)}).jobs.at("2219");
        CHECK(back.alpha.value == doctest::Approx(11.5e-6).epsilon(1e-12));
        CHECK(back.positions == job.positions);
        CHECK(back == job);
    }

    TEST_CASE("the newest sheet wins, in whatever order the entries come")
    {
        UnitSheet   unit  = full_sheet();
        const Entry older = entry_of(draft_of(unit, "901"), 1000);
        unit.revision     = "4";
        const Entry newer = entry_of(draft_of(unit, "901"), 2000);
        CHECK(catalogue_of({older, newer}).units.at("SLW-P50-12").revision == "4");
        CHECK(catalogue_of({newer, older}).units.at("SLW-P50-12").revision == "4");
    }

    TEST_CASE("an entry that cannot be read is skipped and named, and leaves the older one in force")
    {
        const Entry good = entry_of(draft_of(full_sheet(), "901"), 1000);
        for (const char* key : {"shaft_dum", "mount", "asks", "clearance_before_dum"}) {
            nlohmann::json body = good.body();
            body[key]           = "nonsense";
            std::vector<std::string> complaints;
            const Catalogue          catalogue =
                catalogue_of({good, entry_of(draft(kind::unit, body), 2000)}, &complaints);
            CHECK(catalogue.units.at("SLW-P50-12") == full_sheet());
            REQUIRE(complaints.size() == 1);
            CHECK(complaints.front() ==
                  "Entry 2000 of machine dddddddddddddddd (unit) cannot be read: its field '" +
                      std::string(key) + "' is missing or not as it must be.");
        }
    }

    TEST_CASE("keys a later version adds do no harm")
    {
        nlohmann::json body = *draft_of(full_sheet(), "901").body;
        body["colour"]      = "green";
        CHECK(catalogue_of({entry_of(draft(kind::unit, body))}).units.at("SLW-P50-12") == full_sheet());
    }
}
