// What the screens about the plant say, before anything is drawn.
#include "field/screens/fitter/my_key.h"
#include "field/screens/fitter/this_tablet.h"
#include "field/screens/planner/member.h"
#include "field/screens/planner/members.h"
#include "field/screens/planner/plant_sign.h"
#include "sync/names.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "tests/field/screens/screens_support.h"

using namespace field::screens;
using nlohmann::json;
using support::job_of;
using support::Seen;

namespace {

engine::MachineKey key_number(unsigned char number)
{
    std::array<unsigned char, 32> seed{};
    seed.fill(number);
    return engine::MachineKey::from_seed(seed);
}

/// A plant whose list grows by what is said; the tablet in hand is number 1, called T-01.
struct Plant {
    engine::MachineKey root   = key_number(100);
    engine::Roster     roster = engine::Roster();
    PlantGlance        glance;

    Plant()
    {
        glance.roster     = &roster;
        glance.own        = code(1);
        glance.folder_set = true;
    }
    static std::string      dev(unsigned char number) { return key_number(number).device(); }
    static share::EnrolCode code(unsigned char number)
    {
        return {"saltmarsh", "T-0" + std::to_string(number), dev(number), false};
    }
    void trust() { roster = engine::Roster("saltmarsh", root.device()); }
    void says(const char* kind, const json& body)
    {
        engine::Statement statement;
        statement.plant = "saltmarsh";
        statement.seq   = roster.seq() + 1;
        statement.prev  = roster.head();
        statement.kind  = kind;
        statement.body  = std::make_shared<const json>(body);
        REQUIRE(engine::seal_statement(statement, root));
        REQUIRE(roster.apply(statement));
    }
    void begins()
    {
        trust();
        says("root", {{"keys", json::array({root.device()})}, {"threshold", 1}});
    }
    void joins(unsigned char number, const char* role)
    {
        says("add", {{"dev", dev(number)}, {"name", code(number).name}, {"role", role}});
    }
    void leaves(unsigned char number, const char* reason)
    {
        says("revoke",
             {{"dev", dev(number)}, {"last_seq", 9}, {"last_id", std::string(64, 'a')}, {"reason", reason}});
    }
};

ViewContext context_of(const char* badge)
{
    static Seen seen(job_of({{"BLOCK"}}));
    ViewContext context = seen.context();
    context.badge       = badge;
    return context;
}

const MemberRow* row_of(const MembersView& view, const std::string& id)
{
    for (const MemberRow& row : view.rows)
        if (row.id == id) return &row;
    return nullptr;
}

} // namespace

TEST_SUITE("field/screens plant")
{
    TEST_CASE("a tablet shows the figures of its own key in groups of four, and a code that says the same")
    {
        const Plant plant;
        const auto  view = view_of(context_of("112"), plant.glance, ThisTabletState{});
        REQUIRE(view.card.figures.size() == 4);
        std::string all;
        for (const std::string& group : view.card.figures) {
            CHECK(group.size() == 4);
            all += group;
        }
        CHECK(all == share::device_folder(Plant::dev(1)));
        CHECK(view.card.title == "Tablet T-01");
        REQUIRE(view.card.qr);
        CHECK(view.card.qr->side >= 21); // the smallest QR code, ISO/IEC 18004 (from memory)
    }

    TEST_CASE("a plant without a list says that every tablet counts and offers to look in the folder")
    {
        Plant plant;
        auto  view = view_of(context_of("112"), plant.glance, ThisTabletState{});
        CHECK(view.card.standing == "This plant has no list yet: every tablet counts.");
        CHECK(view.main_ask == ThisTabletAsk::look);
        plant.glance.folder_set = false;
        view                    = view_of(context_of("112"), plant.glance, ThisTabletState{});
        CHECK(view.main_ask == ThisTabletAsk::back);
    }

    TEST_CASE("a list in the folder is not trusted before its figures were tapped and the bar was tapped")
    {
        Plant plant;
        plant.glance.offer.plant_keys = {plant.root.device()};
        ThisTabletState state;
        CHECK(view_of(context_of("112"), plant.glance, state).main_ask == ThisTabletAsk::compare);
        state.comparing = true;
        auto view       = view_of(context_of("112"), plant.glance, state);
        REQUIRE(view.offers.size() == 1);
        CHECK(view.offers[0].lines[0] + " " + view.offers[0].lines[1] ==
              engine::fingerprint_of(plant.root.device()));
        CHECK_FALSE(view.main_on);
        state.key = view.offers[0].key;
        view      = view_of(context_of("112"), plant.glance, state);
        CHECK(view.main_on);
        CHECK(view.main_ask == ThisTabletAsk::trust);
    }

    TEST_CASE("a tablet tells whether it waits, is enrolled and as what, or was revoked")
    {
        Plant plant;
        plant.begins();
        const auto standing = [&] {
            return view_of(context_of("112"), plant.glance, ThisTabletState{}).card.standing;
        };
        CHECK(standing() == "Waiting to be enrolled. Work goes on meanwhile.");
        plant.joins(1, "supervisor");
        CHECK(standing() == "Enrolled as supervisor.");
        plant.leaves(1, "lost");
        CHECK(standing() == "Revoked: what it records from now on does not count.");
    }

    TEST_CASE("the figures of the trusted plant key are shown to be compared with the wall")
    {
        Plant plant;
        plant.begins();
        const auto view = view_of(context_of("112"), plant.glance, ThisTabletState{});
        REQUIRE(view.card.plant_lines.size() == 2);
        CHECK(view.card.plant_lines == paper_lines(plant.root.device()));
        CHECK(view.card.plant_lines[0].size() == 19); // four groups of four, three gaps
        CHECK(view.card.plant_lines[1].size() == 19);
    }

    TEST_CASE("only a planner's badge is led to the list")
    {
        const Plant plant;
        CHECK(view_of(context_of("112"), plant.glance, ThisTabletState{}).members.empty());
        ViewContext              planner = context_of("401");
        static engine::Catalogue people;
        people.people["401"] = engine::Person{.badge = "401", .role = engine::Role::planner};
        planner.catalogue    = &people;
        CHECK_FALSE(view_of(planner, plant.glance, ThisTabletState{}).members.empty());
    }

    TEST_CASE("the list has those who wait first and those who left last")
    {
        Plant plant;
        plant.begins();
        plant.joins(1, "planner");
        plant.joins(2, "recorder");
        plant.joins(3, "recorder");
        plant.leaves(2, "lost");
        plant.glance.offer.machines = {Plant::code(4)};
        const auto view             = view_of(context_of("401"), plant.glance, MembersState{});
        REQUIRE(view.rows.size() == 4);
        CHECK(view.rows.front().id == "machine.T-04");
        CHECK(view.rows.front().symbol == field::look::Symbol::not_done);
        CHECK(view.rows.front().second.find(share::figures_of(Plant::dev(4))) != std::string::npos);
        CHECK(view.rows.back().id == "machine.T-02");
        CHECK(view.rows.back().second == "revoked");
        REQUIRE(row_of(view, "machine.T-01"));
        CHECK(row_of(view, "machine.T-01")->title == "T-01 · this one");
    }

    TEST_CASE("two machines of one name stay two rows, and enrolling the second one warns")
    {
        Plant plant;
        plant.begins();
        plant.joins(2, "recorder");
        share::EnrolCode twin       = Plant::code(3);
        twin.name                   = "T-02";
        plant.glance.offer.machines = {twin};
        const auto view             = view_of(context_of("401"), plant.glance, MembersState{});
        REQUIRE(view.rows.size() == 2);
        CHECK(view.rows[0].id != view.rows[1].id);
        const auto member = view_of(context_of("401"), plant.glance, MemberState{.code = twin});
        CHECK(member.note == "The list has another machine of that name. Go by the figures on its glass.");
    }

    TEST_CASE("nobody is enrolled before the figures were compared and a role was picked")
    {
        Plant plant;
        plant.begins();
        MemberState state{.code = Plant::code(4)};
        const auto  view = [&] { return view_of(context_of("401"), plant.glance, state); };
        CHECK(view().what == MemberView::What::enrol);
        CHECK(view().figures == share::figures_of(Plant::dev(4)));
        CHECK(view().main_sub == "compare the figures first");
        state.role = "recorder";
        CHECK_FALSE(view().main_on);
        state.role.clear(), state.same = true;
        CHECK_FALSE(view().main_on);
        CHECK(view().main_sub == "pick the role");
        state.role = "recorder";
        CHECK(view().main_on);
        CHECK(view().main_title == "Enrol T-04 as recorder");
    }

    TEST_CASE("a machine of the list can be revoked for a named reason, and says how far its entries count")
    {
        Plant plant;
        plant.begins();
        plant.joins(2, "recorder");
        plant.glance.last[Plant::dev(2)] = 214;
        MemberState state{.code = Plant::code(2)};
        auto        view = view_of(context_of("401"), plant.glance, state);
        CHECK(view.what == MemberView::What::revoke);
        CHECK(view.note.find("214") != std::string::npos);
        plant.glance.last.clear();
        CHECK(view_of(context_of("401"), plant.glance, state).note ==
              "No entry of it is here: nothing it recorded would count. Exchange first.");
        CHECK_FALSE(view.main_on);
        state.reason = "lost";
        CHECK(view_of(context_of("401"), plant.glance, state).main_on);
        plant.leaves(2, "lost");
        view = view_of(context_of("401"), plant.glance, state);
        CHECK(view.what == MemberView::What::read);
        CHECK(view.note == "Revoked: Lost. Its entries up to 9 count.");
        CHECK_FALSE(view.main_on);
    }

    TEST_CASE("a reason that came by command is shown as it was given")
    {
        Plant plant;
        plant.begins();
        plant.joins(2, "recorder");
        plant.leaves(2, "fell into the pulper");
        const auto view = view_of(context_of("401"), plant.glance, MemberState{.code = Plant::code(2)});
        CHECK(view.note.find("fell into the pulper") != std::string::npos);
    }

    TEST_CASE("the tablet in hand does not revoke itself")
    {
        Plant plant;
        plant.begins();
        plant.joins(1, "planner");
        const auto view = view_of(context_of("401"), plant.glance, MemberState{.code = Plant::code(1)});
        CHECK(view.what == MemberView::What::read);
        CHECK_FALSE(view.main_on);
    }

    TEST_CASE("a signature needs the key's file and a passphrase, and is not asked for twice")
    {
        Plant          plant;
        PlantSignState state{.what = "Revoke T-02"};
        const auto     view = [&] { return view_of(context_of("401"), plant.glance, state); };
        CHECK(view().title == "Revoke T-02");
        CHECK_FALSE(view().typing);
        plant.glance.key_trouble = "No file.";
        CHECK(view().note == "No file.");
        CHECK_FALSE(view().again.empty());
        plant.glance.key_trouble.clear(), plant.glance.key_file = "plant.key";
        CHECK(view().typing);
        CHECK_FALSE(view().main_on);
        (void)state.pad.press("a");
        CHECK(view().main_on);
        plant.glance.signing = true;
        CHECK_FALSE(view().main_on);
        CHECK_FALSE(view().typing);
        CHECK(view().main_title == "Opening the key");
    }

    TEST_CASE("a person's key is made with a PIN of four digits, then tells whether it is on the list")
    {
        Plant plant;
        plant.begins();
        MyKeyState state;
        const auto view = [&] { return view_of(context_of("205"), plant.glance, state); };
        CHECK_FALSE(view().main_on);
        state.pin = "205";
        CHECK_FALSE(view().main_on);
        state.pin = "2050";
        CHECK(view().main_on);
        plant.glance.signing = true;
        CHECK_FALSE(view().main_on);
        plant.glance.signing = false;
        state.key            = Plant::dev(9);
        CHECK(view().card.standing == "Waiting to be enrolled. Show this to a planner.");
        plant.says("person", {{"badge", "205"}, {"name", ""}, {"key", state.key}, {"role", "supervisor"}});
        CHECK(view().card.standing == "Enrolled as supervisor.");
        plant.says("person.end", {{"key", state.key}, {"reason", "lost"}, {"heads", json::array()}});
        CHECK(view().card.standing == "Ended: it signs nothing any more.");
    }

    TEST_CASE("a plant without a key is told how it gets one, and nothing can be scanned for it")
    {
        const Plant plant;
        const auto  view = view_of(context_of("401"), plant.glance, MembersState{});
        CHECK(view.rows.empty());
        CHECK(view.note == "This plant has no key. Make it with the command enrol plant-key.");
        CHECK_FALSE(view.main_on);
    }
}
