// Who belongs to the plant, and what readers make of it.
#include "engine/book/locked_key.h"
#include "engine/book/roster.h"

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

struct Plant {
    TempFolder   place;
    FakeClock    clock;
    MemoryFolder folder;
    Machine      a{place, clock, 1}, b{place, clock, 2};
    Office       office;
    MachineKey   boss = Office::key_of(90);

    Plant()
    {
        office.add(a.book.device(), "recorder").add(b.book.device(), "planner");
        office.say("person",
                   {{"badge", "502"}, {"key", boss.device()}, {"role", "supervisor"}, {"name", ""}});
    }
    Draft sign_off(const MachineKey& key, const std::string& badge = "502") const
    {
        Draft draft{badge,
                    kind::countersign,
                    "2219",
                    "",
                    "",
                    {},
                    std::make_shared<const nlohmann::json>(nlohmann::json{{"count", 1}, {"root", "x"}})};
        REQUIRE(sign_as(draft, key, "saltmarsh"));
        return draft;
    }
    /// The code the reader b gives to what a says; empty when it stands.
    std::string code_of(const Draft& draft)
    {
        const auto kept = a.book.append(draft);
        REQUIRE(kept);
        const auto taken = b.book.receive(a.book.entries_of_machine(a.book.device(), 1, 1000));
        REQUIRE(taken);
        for (const auto& one : taken->set_aside)
            if (one.seq == kept->seq) return one.code;
        return {};
    }
};

} // namespace

TEST_SUITE("engine/book roster")
{
    TEST_CASE("without a plant key everything stands, as it always did")
    {
        Plant plant;
        plant.a.read("2219", 1);
        CHECK_FALSE(plant.b.book.roster().enrolled());
        const auto taken =
            plant.b.book.receive(plant.a.book.entries_of_machine(plant.a.book.device(), 1, 100));
        REQUIRE(taken);
        CHECK(taken->fresh == 2);
        CHECK(taken->set_aside.empty());
        Draft decision;
        decision.kind = kind::decision;
        CHECK_FALSE(plant.a.book.signed_by_person(decision, "")->body);
    }

    TEST_CASE("the PIN opens the supervisor's key, and only what every reader would count is signed")
    {
        Plant         plant;
        engine::Book& book = plant.b.book;
        plant.office.tell(book);
        Draft said = plant.sign_off(plant.boss);
        said.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"count", 1}, {"root", "x"}});
        const auto missing = book.signed_by_person(said, "2050");
        REQUIRE_FALSE(missing);
        CHECK(missing.error().fault == Fault::not_found);
        CHECK(missing.error().message.find("enrol person-key") != std::string::npos);

        const auto keep_key = [&](const MachineKey& key, const std::string& badge) {
            const auto locked = LockedKey::make(key, "person " + badge, "2050", Lock::quick);
            REQUIRE(locked);
            std::filesystem::create_directories(book.person_key_file(badge).parent_path());
            REQUIRE(locked->save(book.person_key_file(badge)));
        };
        keep_key(plant.boss, "502");
        CHECK(book.signed_by_person(said, "9999").error().fault == Fault::refused);
        const auto done = book.signed_by_person(said, "2050");
        REQUIRE(done);
        CHECK((*done->body)["pkey"] == plant.boss.device());
        REQUIRE(book.append(*done));
        CHECK(book.barred_count() == 0);

        keep_key(Office::key_of(91), "503"); // a key the plant has not listed
        said.actor       = "503";
        const auto stray = book.signed_by_person(said, "2050");
        REQUIRE_FALSE(stray);
        CHECK(stray.error().fault == Fault::refused);
        CHECK(stray.error().message.find("503") != std::string::npos);
    }

    TEST_CASE("a machine that is not on the list is R04, and comes in once it is")
    {
        Plant   plant;
        Machine c(plant.place, plant.clock, 3);
        plant.office.tell(plant.b.book);
        c.read("2219", 7);
        c.exchange(plant.folder, plant.clock);
        const auto first = plant.b.exchange(plant.folder, plant.clock);
        REQUIRE(first.findings.size() == 1);
        CHECK(first.findings.front().code == "R04");
        CHECK(plant.b.book.entries_of_job("2219").empty());
        plant.office.add(c.book.device(), "recorder");
        plant.office.tell(plant.b.book);
        const auto second = plant.b.exchange(plant.folder, plant.clock);
        CHECK(second.count(share::State::refused) == 0);
        CHECK(plant.b.book.entries_of_job("2219").size() == 1);
    }

    TEST_CASE("roles, and the persons' signatures, are judged by the reader")
    {
        Plant plant;
        plant.office.tell(plant.b.book);
        Draft unit;
        unit.kind = kind::unit;
        CHECK(plant.code_of(unit) == "R09"); // a recorder is no planner
        Draft bare{"502", kind::countersign, "2219", "", "", {}, {}};
        CHECK(plant.code_of(bare) == "R09"); // nobody signed
        CHECK(plant.code_of(plant.sign_off(plant.boss)) == "");
        CHECK(plant.code_of(plant.sign_off(Office::key_of(91))) == "R04"); // an unknown person's key
        CHECK(plant.code_of(plant.sign_off(plant.boss, "503")) == "R09");  // in another's name
        Draft changed = plant.sign_off(plant.boss);
        auto  body    = *changed.body;
        body["count"] = 2;
        changed.body  = std::make_shared<const nlohmann::json>(body);
        CHECK(plant.code_of(changed) == "R06");
        Draft moved = plant.sign_off(plant.boss);
        moved.job   = "2220";
        CHECK(plant.code_of(moved) == "R06");
        CHECK(plant.b.book.entries_of_kind(kind::countersign).size() == 1);
        CHECK(plant.b.book.barred_count() == 6);
    }

    TEST_CASE("after a revocation nothing counts but what came before, and an accepted entry")
    {
        Plant plant;
        plant.a.read("2219", 1);
        const auto last = plant.a.book.append({"417", kind::reading, "2219", "A", "seat", {}, {}});
        plant.office.say("revoke", {{"dev", plant.a.book.device()},
                                    {"last_seq", last->seq},
                                    {"last_id", last->id},
                                    {"reason", "lost"}});
        plant.office.tell(plant.b.book);
        const std::string late = plant.a.read("2219", 9);
        const auto        taken =
            plant.b.book.receive(plant.a.book.entries_of_machine(plant.a.book.device(), 1, 100));
        REQUIRE(taken);
        REQUIRE(taken->set_aside.size() == 1);
        CHECK(taken->set_aside.front().code == "R05");
        CHECK(plant.b.book.entries_of_job("2219").size() == 2);
        plant.office.say("accept", {{"ids", nlohmann::json::array({late})}, {"reason", "seen on paper"}});
        plant.office.tell(plant.b.book);
        CHECK(plant.b.book.entries_of_job("2219").size() == 3);
        CHECK(plant.b.book.barred_count() == 0);
    }

    TEST_CASE("a person's key that was ended counts up to what was known then")
    {
        Plant      plant;
        const auto kept = plant.a.book.append(plant.sign_off(plant.boss));
        plant.office.say(
            "person.end",
            {{"key", plant.boss.device()},
             {"reason", "left"},
             {"heads", nlohmann::json::array({{{"dev", plant.a.book.device()}, {"seq", kept->seq}}})}});
        plant.office.tell(plant.b.book);
        CHECK(plant.code_of(plant.sign_off(plant.boss)) == "R05");
        CHECK(plant.b.book.entries_of_kind(kind::countersign).size() == 1);
    }

    TEST_CASE("the list is never rolled back, forked, or said by another key")
    {
        Plant plant;
        plant.office.tell(plant.b.book);
        Office other = plant.office;
        other.add(Office::key_of(44).device(), "recorder");
        plant.office.add(Office::key_of(45).device(), "recorder");
        plant.office.tell(plant.b.book);
        const auto forked = plant.b.book.take_statements(other.lines);
        REQUIRE_FALSE(forked);
        CHECK(forked.error().fault == Fault::conflict);
        CHECK(plant.b.book.roster().seq() == 5);
        const Office stranger(201);
        CHECK(plant.b.book.take_statements(stranger.lines).error().fault == Fault::conflict);
        const auto shorter =
            plant.b.book.take_statements({plant.office.lines.begin(), plant.office.lines.begin() + 2});
        CHECK(shorter);
        CHECK(plant.b.book.roster().seq() == 5);
    }

    TEST_CASE("a rotated root is followed, and the old key says nothing more")
    {
        Plant            plant;
        const MachineKey next = Office::key_of(210);
        plant.office.say("root.rotate", {{"keys", nlohmann::json::array({next.device()})}, {"threshold", 1}});
        Office late = plant.office;
        late.add(Office::key_of(46).device(), "recorder");
        plant.office.tell(plant.b.book);
        CHECK(plant.b.book.take_statements(late.lines).error().fault == Fault::unknown_signer);
        plant.office.key = next;
        plant.office.add(Office::key_of(47).device(), "recorder");
        REQUIRE(plant.b.book.take_statements(plant.office.lines));
        CHECK(plant.b.book.roster().machines().size() == 3);
    }

    TEST_CASE("the list goes round through the folder, and is completed where it was rolled back")
    {
        Plant plant;
        plant.office.tell(plant.a.book);
        plant.a.exchange(plant.folder, plant.clock);
        REQUIRE(plant.folder.with("/roster/").size() == 4);
        REQUIRE(plant.b.book.trust_root(plant.office.key.device()));
        plant.b.exchange(plant.folder, plant.clock);
        CHECK(plant.b.book.roster().seq() == 4);
        const auto gone = plant.folder.with("/roster/").back();
        plant.folder.files.erase(gone);
        const auto report = plant.b.exchange(plant.folder, plant.clock);
        CHECK(std::any_of(report.findings.begin(), report.findings.end(),
                          [](const auto& f) { return f.code == "R12"; }));
        CHECK(plant.folder.files.count(gone) == 1);
    }

    TEST_CASE("two readers with the same entries and list come to the same state, whatever came first")
    {
        Plant   plant;
        Machine c(plant.place, plant.clock, 3);
        plant.office.add(c.book.device(), "recorder");
        Draft unit;
        unit.kind = kind::unit;
        REQUIRE(plant.a.book.append(unit));
        plant.a.read("2219", 1);
        const auto said = plant.a.book.entries_of_machine(plant.a.book.device(), 1, 100);
        const auto mine = c.book.entries_of_machine(c.book.device(), 1, 100);
        const auto hers = plant.b.book.entries_of_machine(plant.b.book.device(), 1, 100);
        plant.office.tell(plant.b.book); // list first, then entries
        REQUIRE(plant.b.book.take_in(said));
        REQUIRE(plant.b.book.take_in(mine));
        REQUIRE(c.book.take_in(said)); // entries first, then the list
        REQUIRE(c.book.take_in(hers));
        plant.office.tell(c.book);
        // Each has its own `trust` entry beyond what is shared.
        REQUIRE(plant.b.book.take_in(c.book.entries_of_machine(c.book.device(), 1, 100)));
        REQUIRE(c.book.take_in(plant.b.book.entries_of_machine(plant.b.book.device(), 1, 100)));
        CHECK(state_hash(plant.b.book) == state_hash(c.book));
        CHECK(c.book.barred_count() == 1);
    }

    TEST_CASE("list and judgement are there again after a start, and after the book was made anew")
    {
        Plant      plant;
        const auto file = plant.b.book.file();
        plant.office.tell(plant.b.book);
        Draft unit;
        unit.kind = kind::unit;
        CHECK(plant.code_of(unit) == "R09");
        {
            const Book gone = std::move(plant.b.book);
        }
        {
            auto again = Book::open(file, plant.clock);
            REQUIRE(again);
            CHECK(again->roster().seq() == 4);
            CHECK(again->barred_count() == 1);
        }
        for (const char* end : {"", "-wal", "-shm"})
            std::filesystem::remove(file.string() + end);
        auto anew = Book::open(file, plant.clock);
        REQUIRE(anew);
        CHECK(anew->roster().seq() == 4);
        REQUIRE(anew->take_in(plant.a.book.entries_of_machine(plant.a.book.device(), 1, 100)));
        CHECK(anew->barred_count() == 1);
        plant.b.book = *std::move(anew);
    }

    TEST_CASE("a locked key opens by its passphrase alone")
    {
        const TempFolder place;
        const MachineKey key    = Office::key_of(7);
        const auto       locked = LockedKey::make(key, "plant saltmarsh", "correct horse", Lock::quick);
        REQUIRE(locked);
        REQUIRE(locked->save(place / "plant.key"));
        CHECK_FALSE(locked->save(place / "plant.key"));
        const auto back = LockedKey::load(place / "plant.key");
        REQUIRE(back);
        CHECK(back->label() == "plant saltmarsh");
        CHECK(back->unlock("wrong horse").error().fault == Fault::refused);
        const auto opened = back->unlock("correct horse");
        REQUIRE(opened);
        CHECK(opened->device() == key.device());
    }
}
