// A plant founded in a book, and what stands in the way of it; whose folder it is, when the folder is in
// doubt.
#include "engine/book/locked_key.h"
#include "engine/book/seal.h"
#include "sync/enrolment.h"
#include "sync/founding.h"
#include "sync/plant_file.h"

#include <fstream>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

constexpr const char* kFoundedId = "00112233445566778899aabbccddeeff";

struct Site {
    TempFolder place;
    FakeClock  clock;
    Book       book = opened("office", {kFoundedId, false});

    Book opened(const std::string& name, const PlantMark& mark) const
    {
        BookOptions options;
        options.machine_name = name;
        options.plant        = "Mill 3";
        options.mark         = mark;
        auto made            = Book::open(place / (name + ".book"), clock, options);
        REQUIRE(made);
        return *std::move(made);
    }
    [[nodiscard]] share::Founding wish() const
    {
        return {place / "plant.key", "reed mill long words", true, "900", "4711"};
    }
    Fault fault_of(const share::Founding& founding)
    {
        const auto done = share::found(book, founding, 1);
        REQUIRE_FALSE(done);
        return done.error().fault;
    }
    void put(MemoryFolder& folder, const std::string& path, const std::string& text) const
    {
        folder.files[path] = {text.begin(), text.end()};
    }
};

} // namespace

TEST_SUITE("sync/founding")
{
    TEST_CASE(
        "a founded plant has a key, a planner's machine, and a planner whose own signature brings in people")
    {
        Site       site;
        const auto key = share::found(site.book, site.wish(), 1);
        REQUIRE(key);
        const Roster& roster = site.book.roster();
        CHECK(roster.enrolled());
        CHECK(roster.root_key() == key->device());
        CHECK(roster.mark().id == kFoundedId);
        REQUIRE(roster.persons().size() == 1);
        CHECK(roster.persons().begin()->second.role == "planner");
        CHECK(roster.wants_planner(site.book.device(), 100));
        const auto entries = site.book.entries_of_kind(kind::person);
        REQUIRE(entries.size() == 1);
        CHECK(person_signature_fits(entries.front()));
        CHECK(site.book.barred_count() == 0);
        CHECK(pin_fits("4711", site.book.catalogue().person("900")->pin_check));
        const auto locked = LockedKey::load(site.place / "plant.key");
        REQUIRE(locked);
        CHECK(locked->unlock("reed mill long words")->device() == key->device());
        CHECK(site.fault_of(site.wish()) == Fault::conflict); // it is enrolled
    }

    TEST_CASE("a badge, PIN, passphrase or key file that cannot be founds nothing")
    {
        Site site;
        auto wish = site.wish();
        for (const char* badge : {"", "9 0", "900/..", "../900"}) {
            wish.badge = badge;
            CHECK(site.fault_of(wish) == Fault::bad_input);
        }
        wish = site.wish();
        for (const char* pin : {"", "123", "12a4", "1234567890123"}) {
            wish.pin = pin;
            CHECK(site.fault_of(wish) == Fault::bad_input);
        }
        wish            = site.wish();
        wish.passphrase = "";
        CHECK(site.fault_of(wish) == Fault::bad_input);
        wish = site.wish();
        std::ofstream(wish.key_file) << "another plant's";
        CHECK(site.fault_of(wish) == Fault::conflict);
        wish.key_file = site.place / "no/such/folder/plant.key";
        CHECK(site.fault_of(wish) == Fault::io);
        CHECK_FALSE(site.book.roster().trusts());
        CHECK(site.book.size() == 1);
    }

    TEST_CASE("a name that would break a code or a signed note is no name")
    {
        for (const char* name : {"", " Mill", "Mill ", "Mill:3", "Mill/3", "Mill\n3"}) {
            const Status bad = share::good_name("plant", name);
            REQUIRE_FALSE(bad);
            CHECK(bad.error().fault == Fault::bad_input);
        }
        CHECK_FALSE(share::good_name("plant", std::string(61, 'a')));
        CHECK(share::good_name("plant", "M\xC3\xBChle 3"));
    }

    TEST_CASE("a person's key is made once, and with that person's PIN")
    {
        Site       site;
        const auto key = share::found(site.book, site.wish(), 1);
        REQUIRE(key);
        const auto check = pin_check_of("2050");
        REQUIRE(check);
        const auto with = [&](const std::string& pin) {
            return share::enrol_person(site.book, *key, {"205", "supervisor", pin, *check}, 2);
        };
        CHECK(with("2051").error().fault == Fault::refused);
        CHECK(with("2050"));
        CHECK(with("2050").error().fault == Fault::conflict);
        CHECK(site.book.roster().persons().size() == 2);
    }

    TEST_CASE("a folder that names two plants, or one half, is used by nobody")
    {
        Site              site;
        MemoryFolder      folder;
        const std::string other(32, 'f');
        CHECK_FALSE(share::whose_folder(folder)->has_value());
        site.put(folder, share::plant_path(kFoundedId), share::text_of(share::plant_of(site.book)));
        REQUIRE(share::whose_folder(folder)->has_value());
        CHECK((*share::whose_folder(folder))->name == "Mill 3");
        CHECK(share::may_use(site.book, **share::whose_folder(folder)));
        const Status another = share::may_use(site.book, {"Mill 3", {other, false}});
        REQUIRE_FALSE(another);
        CHECK(another.error().fault == Fault::bad_input);

        site.put(folder, share::plant_path(other), "witnessmark1/Mill 3\nplant " + other + "\n");
        CHECK(share::whose_folder(folder).error().fault == Fault::bad_input);
        const auto pass = share::exchange(site.book, folder, site.clock);
        REQUIRE_FALSE(pass);
        CHECK(pass.error().message.find("two plants") != std::string::npos);

        folder.files.clear();
        site.put(folder, share::plant_path(other), "witnessmark1/Mill 3\nplant ffff");
        CHECK(share::whose_folder(folder).error().fault == Fault::bad_input);
        CHECK_FALSE(share::exchange(site.book, folder, site.clock));
        folder.pull_at = folder.operations + 1;
        CHECK(share::whose_folder(folder).error().fault == Fault::io);
    }

    TEST_CASE("a machine new to a folder of an earlier version takes the plant's name from the record in it")
    {
        Site         site;
        MemoryFolder folder;
        CHECK_FALSE(share::plant_to_join(folder)->has_value());
        Machine old(site.opened("T-01", {}));
        old.exchange(folder, site.clock);
        const auto plant = share::plant_to_join(folder);
        REQUIRE(plant);
        REQUIRE(plant->has_value());
        CHECK((*plant)->name == "Mill 3");
        CHECK((*plant)->mark.id.empty());
    }
}
