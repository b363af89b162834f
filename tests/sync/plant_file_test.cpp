// A shared folder says which plant it is of, and a machine of another one leaves it alone.
#include "sync/check_shared.h"
#include "sync/plant_file.h"

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

constexpr const char* kHereId  = "00112233445566778899aabbccddeeff";
constexpr const char* kThereId = "ffeeddccbbaa99887766554433221100";

Machine machine_of(const TempFolder& place, const FakeClock& clock, const std::string& name, PlantMark mark,
                   const std::string& plant = "saltmarsh")
{
    BookOptions options;
    options.machine_name = name;
    options.plant        = plant;
    options.mark         = std::move(mark);
    auto book            = Book::open(place / (name + ".book"), clock, options);
    REQUIRE(book);
    return Machine(*std::move(book));
}

/// Nothing was taken, nothing was written; the sentence.
std::string refused_by(Machine& machine, MemoryFolder& folder, const FakeClock& clock)
{
    const auto files = folder.files;
    const auto size  = machine.book.size();
    const auto pass  = share::exchange(machine.book, folder, clock);
    REQUIRE_FALSE(pass);
    CHECK(pass.error().fault == Fault::bad_input);
    CHECK(folder.files == files);
    CHECK(machine.book.size() == size);
    return pass.error().message;
}

} // namespace

TEST_SUITE("sync/plant file")
{
    TEST_CASE("two plants of one name do not mix in one folder: nothing is taken, nothing is written")
    {
        const TempFolder place;
        const FakeClock  clock;
        MemoryFolder     folder;
        Machine          ours   = machine_of(place, clock, "T-01", {kHereId, false});
        Machine          theirs = machine_of(place, clock, "T-02", {kThereId, true});
        ours.read("2219", 499'870);
        ours.exchange(folder, clock);
        CHECK(folder.with("plant-").size() == 1);
        CHECK(refused_by(theirs, folder, clock).find("another plant") != std::string::npos);
        CHECK(refused_by(theirs, folder, clock).find("an invented demo plant") != std::string::npos);
        Machine named = machine_of(place, clock, "T-03", {}, "otherplace");
        CHECK(refused_by(named, folder, clock).find("otherplace") != std::string::npos);
    }

    TEST_CASE("a machine without an id takes the folder's and keeps to it")
    {
        const TempFolder place;
        const FakeClock  clock;
        MemoryFolder     folder, elsewhere;
        Machine          ours = machine_of(place, clock, "T-01", {kHereId, false});
        Machine          old  = machine_of(place, clock, "T-02", {});
        Machine          far  = machine_of(place, clock, "T-03", {kThereId, false});
        old.read("2219", 499'870);
        ours.exchange(folder, clock);
        far.exchange(elsewhere, clock);
        old.exchange(folder, clock);
        CHECK(old.book.plant_mark().id == kHereId);
        CHECK(old.count(kind::plant) == 1);
        old.exchange(folder, clock);
        CHECK(old.count(kind::plant) == 1);
        CHECK(refused_by(old, elsewhere, clock).find("another plant") != std::string::npos);
        CHECK(ours.exchange(folder, clock).findings.empty());
    }

    TEST_CASE("a record is not mixed with an invented plant of the same name")
    {
        const TempFolder place;
        const FakeClock  clock;
        MemoryFolder     folder;
        Machine          demo = machine_of(place, clock, "T-01", {kThereId, true});
        Machine          real = machine_of(place, clock, "T-02", {});
        demo.exchange(folder, clock);
        Draft person;
        person.kind = kind::person;
        REQUIRE(real.book.append(person));
        CHECK(refused_by(real, folder, clock).find("invented demo plant") != std::string::npos);
    }

    TEST_CASE("machines and folders without any id go on as before")
    {
        const TempFolder place;
        const FakeClock  clock;
        MemoryFolder     folder;
        Machine          a = machine_of(place, clock, "T-01", {});
        Machine          b = machine_of(place, clock, "T-02", {});
        a.read("2219", 499'870);
        a.exchange(folder, clock);
        CHECK(b.exchange(folder, clock).entries_in == 2);
        CHECK(folder.with("plant-").empty());
    }

    TEST_CASE("the check of a folder names a second plant in it")
    {
        const TempFolder place;
        const FakeClock  clock;
        MemoryFolder     folder;
        Machine          ours   = machine_of(place, clock, "T-01", {kHereId, false});
        Machine          theirs = machine_of(place, clock, "T-02", {kThereId, true});
        ours.exchange(folder, clock);
        const auto good = share::check_shared(folder);
        REQUIRE(good);
        CHECK(good->whole);
        CHECK(good->plant.mark.id == kHereId);
        CHECK_FALSE(good->plant.enrolled);
        MemoryFolder other;
        theirs.exchange(other, clock);
        for (const auto& [path, bytes] : other.files)
            folder.files.emplace(path, bytes);
        const auto mixed = share::check_shared(folder);
        REQUIRE(mixed);
        CHECK_FALSE(mixed->whole);
        CHECK(mixed->list.size() == 2); // two files that name a plant, and a first entry of the other
        for (const auto& one : mixed->list)
            CHECK(one.code == "R10");
    }

    TEST_CASE("only what names a plant in the one form is its file")
    {
        const share::FolderPlant plant{"Mill 3", {kHereId, true}};
        const std::string        text = share::text_of(plant);
        const auto               back = share::folder_plant_in(text);
        REQUIRE(back);
        CHECK(back->name == "Mill 3");
        CHECK(back->mark.id == kHereId);
        CHECK(back->mark.invented);
        for (std::size_t cut = 0; cut < text.size(); ++cut)
            if (const auto part = share::folder_plant_in(text.substr(0, cut))) {
                CHECK(cut == text.size() - std::string("invented demo plant\n").size());
                CHECK_FALSE(part->mark.invented);
            }
        CHECK_FALSE(share::folder_plant_in(text + "x"));
        CHECK(share::plant_file_id("plant-" + std::string(kHereId) + ".txt") == kHereId);
        CHECK_FALSE(share::plant_file_id("plant-" + std::string(kHereId) + "0.txt"));
        CHECK_FALSE(share::plant_file_id("plant-.txt"));
    }
}
