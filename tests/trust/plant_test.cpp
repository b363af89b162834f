// Who may bring in units, people, instruments and jobs, and which plant a book is of: FORMAT.md sections 9
// and 10.
#include "engine/book/catalogue_codec.h"
#include "engine/book/plant.h"

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

/// A planner's machine and a reader, in a plant whose list asks for the planner's signature.
struct PlannedPlant {
    TempFolder place;
    FakeClock  clock;
    Machine    planner{place, clock, 1}, reader{place, clock, 2};
    Office     office;
    MachineKey key = Office::key_of(90), boss = Office::key_of(91);

    PlannedPlant()
    {
        office.say("add", {{"dev", planner.book.device()},
                           {"name", "office"},
                           {"role", "planner"},
                           {"signs_from", 1},
                           {"plans_from", 3}});
        office.add(reader.book.device(), "recorder");
        office.say("person", {{"badge", "900"}, {"key", key.device()}, {"role", "planner"}, {"name", ""}});
        office.say("person",
                   {{"badge", "205"}, {"key", boss.device()}, {"role", "supervisor"}, {"name", ""}});
        office.tell(reader.book);
    }
    static Draft promoted(const std::string& by) { return draft_of(Person{"112", Role::supervisor, ""}, by); }
    static Draft signed_with(Draft draft, const MachineKey& with)
    {
        REQUIRE(sign_as(draft, with, "saltmarsh"));
        return draft;
    }
    /// The code the reader gives to what the planner's machine says; empty when it stands.
    std::string code_of(const Draft& draft)
    {
        const auto kept = planner.book.append(draft);
        REQUIRE(kept);
        const auto taken =
            reader.book.receive(planner.book.entries_of_machine(planner.book.device(), 1, 1000));
        REQUIRE(taken);
        for (const auto& one : taken->set_aside)
            if (one.seq == kept->seq) return one.code;
        return {};
    }
};

constexpr const char* kOneId     = "00112233445566778899aabbccddeeff";
constexpr const char* kAnotherId = "ffeeddccbbaa99887766554433221100";

Book made(const TempFolder& place, const FakeClock& clock, const std::string& name, const PlantMark& mark)
{
    BookOptions options;
    options.machine_name = name;
    options.mark         = mark;
    auto book            = Book::open(place / (name + ".book"), clock, options);
    REQUIRE(book);
    return *std::move(book);
}

} // namespace

TEST_SUITE("engine/book planner and plant")
{
    TEST_CASE("a fitter is made supervisor by a planner's own signature only")
    {
        PlannedPlant plant;
        CHECK(plant.code_of(draft_of(Person{"112", Role::fitter, ""}, "900")) == ""); // entry 2: before
        CHECK(plant.code_of(PlannedPlant::promoted("900")) == "R09");                 // the badge alone
        CHECK(plant.code_of(PlannedPlant::signed_with(PlannedPlant::promoted("205"), plant.boss)) == "R09");
        CHECK(plant.code_of(PlannedPlant::signed_with(PlannedPlant::promoted("205"), plant.key)) == "R09");
        CHECK(plant.code_of(PlannedPlant::signed_with(PlannedPlant::promoted("900"), Office::key_of(92))) ==
              "R04");
        CHECK(plant.reader.book.catalogue().person("112")->role == Role::fitter);
        CHECK(plant.code_of(PlannedPlant::signed_with(PlannedPlant::promoted("900"), plant.key)) == "");
        CHECK(plant.reader.book.catalogue().person("112")->role == Role::supervisor);
    }

    TEST_CASE("what a planner signed and somebody altered on the way counts for nothing")
    {
        PlannedPlant plant;
        REQUIRE(plant.planner.book.append(draft_of(Person{"112", Role::fitter, ""}, "900")));
        Draft draft = PlannedPlant::signed_with(draft_of(Person{"112", Role::fitter, ""}, "900"), plant.key);
        nlohmann::json body = *draft.body;
        body["role"]        = "supervisor";
        draft.body          = std::make_shared<const nlohmann::json>(std::move(body));
        CHECK(plant.code_of(draft) == "R06");
        plant.office.say(
            "person.end",
            {{"key", plant.key.device()}, {"reason", "left"}, {"heads", nlohmann::json::array()}});
        plant.office.tell(plant.reader.book);
        CHECK(plant.code_of(PlannedPlant::signed_with(PlannedPlant::promoted("900"), plant.key)) == "R05");
    }

    TEST_CASE("units, instruments and jobs need the planner's signature as people do")
    {
        PlannedPlant plant;
        REQUIRE(plant.planner.book.append(draft_of(Person{"900", Role::planner, ""}, "900")));
        UnitSheet  unit;
        Instrument tool;
        Job        job;
        unit.code  = "SLW-P50-12";
        tool.tag   = "M-07";
        job.number = "2219";
        for (const Draft& draft : {draft_of(unit, "900"), draft_of(tool, "900"), draft_of(job, "900")}) {
            CHECK(plant.code_of(draft) == "R09");
            CHECK(plant.code_of(PlannedPlant::signed_with(draft, plant.key)) == "");
        }
    }

    TEST_CASE("a list of an earlier version asks for no planner's signature")
    {
        PlannedPlant plant;
        Office       old;
        old.add(plant.planner.book.device(), "planner").add(plant.reader.book.device(), "recorder");
        TempFolder other;
        Machine    reader(other, plant.clock, 2);
        old.tell(reader.book);
        REQUIRE(plant.planner.book.append(draft_of(Person{"112", Role::fitter, ""}, "900")));
        REQUIRE(plant.planner.book.append(PlannedPlant::promoted("900")));
        const auto taken =
            reader.book.receive(plant.planner.book.entries_of_machine(plant.planner.book.device(), 1, 1000));
        REQUIRE(taken);
        CHECK(taken->set_aside.empty());
        CHECK(reader.book.catalogue().person("112")->role == Role::supervisor);
    }

    TEST_CASE("a book carries the id of its plant through reopening and a new key")
    {
        const TempFolder place;
        const FakeClock  clock;
        {
            Book book = made(place, clock, "T-01", {kOneId, true});
            CHECK(book.plant_mark().id == kOneId);
            REQUIRE(book.replace_key("copied"));
        }
        const auto again = Book::open(place / "T-01.book", clock, {}, false);
        REQUIRE(again);
        CHECK(again->plant_mark().id == kOneId);
        CHECK(again->plant_mark().invented);
        for (const Entry& entry : again->entries_of_kind(kind::genesis))
            CHECK(plant_mark_in(entry.body()).id == kOneId);
    }

    TEST_CASE("entries of another plant of the same name are not taken")
    {
        const TempFolder place;
        const FakeClock  clock;
        Book             ours   = made(place, clock, "T-01", {kOneId, false});
        const Book       theirs = made(place, clock, "T-02", {kAnotherId, false});
        const Book       old    = made(place, clock, "T-03", {});
        const auto       taken  = ours.receive(theirs.entries_of_machine(theirs.device(), 1, 10));
        REQUIRE_FALSE(taken);
        CHECK(taken.error().fault == Fault::bad_input);
        CHECK(taken.error().message.find("another plant") != std::string::npos);
        CHECK(ours.receive(old.entries_of_machine(old.device(), 1, 10)));
    }

    TEST_CASE("a book without an id takes the first one it meets, an invented one only while it is empty")
    {
        const TempFolder place;
        const FakeClock  clock;
        Book             fresh = made(place, clock, "T-01", {});
        REQUIRE(fresh.adopt_plant({kOneId, true}));
        CHECK(fresh.plant_mark().id == kOneId);
        CHECK_FALSE(fresh.adopt_plant({kAnotherId, true}));
        Book filled = made(place, clock, "T-02", {});
        REQUIRE(filled.append(draft_of(Person{"112", Role::fitter, ""}, "")));
        const Status mixed = filled.adopt_plant({kOneId, true});
        REQUIRE_FALSE(mixed);
        CHECK(mixed.error().message.find("invented demo plant") != std::string::npos);
        CHECK(filled.plant_mark().id.empty());
        CHECK(filled.adopt_plant({kAnotherId, false}));
    }

    TEST_CASE("an enrolment list of another plant is not taken, whatever key it trusts")
    {
        const TempFolder place;
        const FakeClock  clock;
        Book             ours = made(place, clock, "T-01", {kOneId, false});
        const MachineKey key  = Office::key_of(200);
        const auto       root = [&](const std::string& id) {
            Statement statement;
            statement.plant = "saltmarsh";
            statement.seq   = 1;
            statement.prev  = std::string(64, '0');
            statement.kind  = statement_kind::root;
            statement.at_ms = 1;
            statement.body  = std::make_shared<const nlohmann::json>(nlohmann::json{
                {"keys", nlohmann::json::array({key.device()})}, {"threshold", 1}, {"plant_id", id}});
            REQUIRE(seal_statement(statement, key));
            return statement.line;
        };
        REQUIRE(ours.trust_root(key.device()));
        CHECK_FALSE(ours.take_statements({root(kAnotherId)}));
        CHECK_FALSE(ours.roster().enrolled());
        CHECK(ours.take_statements({root(kOneId)}));
        CHECK(ours.roster().mark().id == kOneId);
    }

    TEST_CASE("what is said of a plant names what it is not")
    {
        CHECK(notices_of({"Mill 3", {kOneId, false}, true}).empty());
        REQUIRE(notices_of({"Mill 3", {}, false}).size() == 1);
        CHECK(notices_of({"Mill 3", {}, false}).front().find("not enrolled") != std::string::npos);
        CHECK(title_of({"saltmarsh", {kOneId, true}, true}) == "Plant saltmarsh (invented demo plant)");
        CHECK(new_plant_id() != new_plant_id());
        CHECK(is_plant_id(new_plant_id()));
    }
}
