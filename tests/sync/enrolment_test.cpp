// Codes, what a folder offers to those who enrol, and what the plant key says next.
#include "sync/enrolment.h"

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using support::FakeClock;
using support::TempFolder;

namespace {

struct Hall {
    TempFolder         place;
    FakeClock          clock;
    MemoryFolder       folder;
    Machine            office{place, clock, 1}, tablet{place, clock, 2};
    engine::MachineKey root = engine::MachineKey::generate();

    void begin()
    {
        REQUIRE(office.book.trust_root(root.device()));
        say(share::plant_begins(root.device()));
        say(share::machine_joins(office.book, share::own_code(office.book), "planner"));
    }
    void say(const engine::Result<share::Saying>& saying)
    {
        REQUIRE_MESSAGE(saying, (saying ? "" : saying.error().message));
        const auto said = share::say(office.book, root, *saying, 1);
        REQUIRE_MESSAGE(said, (said ? "" : said.error().message));
    }
    [[nodiscard]] share::FolderOffer look(const engine::Book& book)
    {
        auto offer = share::look_into(folder, book.plant(), share::known_folders(book));
        REQUIRE(offer);
        return *std::move(offer);
    }
};

} // namespace

TEST_SUITE("sync/enrolment")
{
    TEST_CASE("a code is read back as it was written, a name with colons too")
    {
        const std::string key = engine::MachineKey::generate().device();
        for (const auto& code : {share::EnrolCode{"saltmarsh", "T-07", key, false},
                                 share::EnrolCode{"saltmarsh", "hall 3: bay 1", key, false},
                                 share::EnrolCode{"saltmarsh", "205", key, true}}) {
            const auto read = share::enrol_code(share::text_of(code));
            REQUIRE(read);
            CHECK(read->plant == code.plant);
            CHECK(read->name == code.name);
            CHECK(read->key == code.key);
            CHECK(read->person == code.person);
        }
    }

    TEST_CASE("what is no code is named in a short sentence, however long it is")
    {
        const auto read = share::enrol_code(std::string(3000, 'x'));
        REQUIRE_FALSE(read);
        CHECK(read.error().message.size() < 200);
    }

    TEST_CASE("a folder tells who wrote there and is not on the list, by the name its own first entry gives")
    {
        Hall hall;
        hall.tablet.exchange(hall.folder, hall.clock);
        hall.begin();
        const auto offer = hall.look(hall.office.book);
        REQUIRE(offer.machines.size() == 1);
        CHECK(offer.machines[0].name == "T-02");
        CHECK(offer.machines[0].key == hall.tablet.book.device());
        CHECK(offer.unreadable == 0);
        hall.say(share::machine_joins(hall.office.book, offer.machines[0], "recorder"));
        CHECK(hall.look(hall.office.book).machines.empty());
    }

    TEST_CASE("a first entry that was altered gives no name to enrol, and is counted")
    {
        Hall hall;
        hall.tablet.exchange(hall.folder, hall.clock);
        hall.begin();
        for (auto& [path, bytes] : hall.folder.files)
            if (path.find("/dev/") != std::string::npos) bytes[bytes.size() / 2] ^= 1;
        const auto offer = hall.look(hall.office.book);
        CHECK(offer.machines.empty());
        CHECK(offer.unreadable == 1);
    }

    TEST_CASE("a machine of another plant in the folder is not offered")
    {
        Hall    hall;
        Machine stranger{hall.place, hall.clock, 3, "otherplace"};
        stranger.exchange(hall.folder, hall.clock);
        hall.begin();
        CHECK(hall.look(hall.office.book).machines.empty());
        const auto joins = share::machine_joins(hall.office.book, share::own_code(stranger.book), "recorder");
        REQUIRE_FALSE(joins);
        CHECK(joins.error().fault == engine::Fault::bad_input);
        CHECK(joins.error().message.find("otherplace") != std::string::npos);
    }

    TEST_CASE("a tablet trusts the list of the key it was told, beside another list in the same folder")
    {
        Hall hall;
        hall.begin();
        hall.office.exchange(hall.folder, hall.clock);
        Machine            rogue{hall.place, hall.clock, 4};
        engine::MachineKey false_key = engine::MachineKey::generate();
        REQUIRE(rogue.book.trust_root(false_key.device()));
        REQUIRE(share::say(rogue.book, false_key, share::plant_begins(false_key.device()), 1));
        rogue.exchange(hall.folder, hall.clock);
        const auto offer = hall.look(hall.tablet.book);
        CHECK(offer.plant_keys.size() == 2);
        const auto none = share::trust_offered(hall.tablet.book, offer, std::string(64, '1'));
        REQUIRE_FALSE(none);
        CHECK_FALSE(hall.tablet.book.roster().trusts());
        const auto taken = share::trust_offered(hall.tablet.book, offer, hall.root.device());
        REQUIRE(taken);
        CHECK(*taken == 2);
        CHECK(hall.tablet.book.roster().machines().count(hall.office.book.device()) == 1);
    }

    TEST_CASE(
        "what a machine signed before it was revoked is named by its last entry, and it may not come back")
    {
        Hall hall;
        hall.begin();
        hall.say(share::machine_joins(hall.office.book, share::own_code(hall.tablet.book), "recorder"));
        hall.tablet.read("2219", 1);
        hall.tablet.exchange(hall.folder, hall.clock);
        hall.office.exchange(hall.folder, hall.clock);
        const std::uint64_t last = share::last_entry_of(hall.office.book, hall.tablet.book.device());
        CHECK(last >= 2);
        hall.say(share::machine_leaves(hall.office.book, hall.tablet.book.device(), "lost"));
        const auto& revoked = hall.office.book.roster().machines().at(hall.tablet.book.device()).revoked;
        REQUIRE(revoked);
        CHECK(revoked->last_seq == last);
        CHECK(revoked->last_id == hall.office.book.id_at(hall.tablet.book.device(), last));
        const auto again =
            share::machine_joins(hall.office.book, share::own_code(hall.tablet.book), "recorder");
        REQUIRE_FALSE(again);
        CHECK(again.error().fault == engine::Fault::conflict);
    }

    TEST_CASE("a person's code enrols no machine, and a machine's no person")
    {
        Hall hall;
        hall.begin();
        share::EnrolCode code = share::own_code(hall.tablet.book);
        CHECK_FALSE(share::person_joins(hall.office.book, code, "supervisor", ""));
        code.person = true;
        CHECK_FALSE(share::machine_joins(hall.office.book, code, "recorder"));
        CHECK(share::person_joins(hall.office.book, code, "supervisor", ""));
        code.plant = "otherplace";
        CHECK_FALSE(share::person_joins(hall.office.book, code, "supervisor", ""));
    }

    TEST_CASE("a key that is ended cannot be ended again")
    {
        Hall hall;
        hall.begin();
        const std::string key = engine::MachineKey::generate().device();
        hall.say(
            share::person_joins(hall.office.book, {"saltmarsh", "205", key, true}, "supervisor", "Quill"));
        hall.say(share::person_leaves(hall.office.book, key, "left_plant"));
        const auto again = share::person_leaves(hall.office.book, key, "left_plant");
        REQUIRE_FALSE(again);
        CHECK(again.error().fault == engine::Fault::not_found);
    }
}
