// A pack: what an auditor takes home.
#include "sync/disk_folder.h"
#include "sync/pack.h"

#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"
#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using support::FakeClock;
using support::TempFolder;

namespace {

/// Two tablets that worked on one job, and know each other's record.
struct Shift {
    TempFolder   place;
    FakeClock    clock;
    MemoryFolder shared;
    Machine      ours{place, clock, 1}, theirs{place, clock, 2};
    std::string  our_photo, their_photo;

    Shift()
    {
        for (int i = 0; i < 5; ++i) {
            ours.read("2219", 100 + i);
            ours.read("2220", 200 + i);
            theirs.read("2219", 300 + i);
        }
        our_photo   = ours.photo("2219", 1);
        their_photo = theirs.photo("2219", 2);
        theirs.read("2219", 400);
        for (int i = 0; i < 2; ++i) {
            ours.exchange(shared, clock);
            theirs.exchange(shared, clock);
        }
    }
    share::PackMade pack(share::Folder& folder, const std::vector<std::string>& jobs = {"2219"})
    {
        const auto made = share::make_pack(ours.book, {jobs, "SN-1"}, folder, clock);
        REQUIRE_MESSAGE(made, (made ? "" : made.error().message));
        return *made;
    }
};

share::PackReport checked(share::Folder& folder)
{
    const auto report = share::check_pack(folder);
    REQUIRE_MESSAGE(report, (report ? "" : report.error().message));
    return *report;
}

void replace(MemoryFolder::Bytes& bytes, const std::string& from, const std::string& to)
{
    std::string text(bytes.begin(), bytes.end());
    const auto  at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    bytes.assign(text.begin(), text.end());
}

} // namespace

TEST_SUITE("pack")
{
    TEST_CASE("a pack holds the job of both machines, proved up to their roots, and nothing of another job")
    {
        Shift        shift;
        MemoryFolder folder;
        const auto   made   = shift.pack(folder);
        const auto   report = checked(folder);
        CHECK(report.whole);
        CHECK(report.first_break == "");
        CHECK(made.entries == report.entries);
        CHECK(report.signatures == report.entries);
        CHECK(report.proofs == report.entries);
        CHECK(report.photos == 2);
        CHECK(report.photos_missing == 0);
        CHECK(report.jobs == std::vector<std::string>{"2219"});
        CHECK(report.serial == "SN-1");
        CHECK(report.maker == shift.ours.book.device());
        const auto&       bytes = folder.files.at("lines.jsonl");
        const std::string lines(bytes.begin(), bytes.end());
        CHECK(lines.find("\"job\":\"2220\"") == std::string::npos);
        CHECK(lines.find(shift.theirs.book.device()) != std::string::npos);
    }

    TEST_CASE("any byte changed in any file of a pack is noticed")
    {
        Shift        shift;
        MemoryFolder folder;
        shift.pack(folder);
        int changed = 0;
        for (auto& [name, bytes] : folder.files) {
            if (name == "README.txt") continue; // says how, proves nothing
            for (std::size_t at = 0; at < bytes.size(); at += 1 + bytes.size() / 40) {
                bytes[at] ^= 1U;
                const std::string where  = name + " at " + std::to_string(at);
                const auto        report = share::check_pack(folder);
                CHECK_MESSAGE((!report || !report->whole), where);
                bytes[at] ^= 1U;
                ++changed;
            }
        }
        CHECK(changed > 200);
        CHECK(checked(folder).whole);
    }

    TEST_CASE("a pack with a file less, or cut short, says which")
    {
        Shift        shift;
        MemoryFolder whole;
        shift.pack(whole);
        for (const auto& [name, bytes] : whole.files) {
            if (name == "README.txt" || name == "roster.jsonl") continue; // an unenrolled plant's is empty
            const std::string file = name;
            CAPTURE(file);
            MemoryFolder less = whole;
            less.files.erase(name);
            const auto without = share::check_pack(less);
            CHECK((!without || !without->whole));
            MemoryFolder shorter = whole;
            shorter.files[name].resize(bytes.size() / 2);
            const auto cut = share::check_pack(shorter);
            CHECK((!cut || !cut->whole));
        }
        MemoryFolder empty;
        const auto   nothing = share::check_pack(empty);
        REQUIRE_FALSE(nothing);
        CHECK(nothing.error().fault == engine::Fault::not_found);
    }

    TEST_CASE("a list of contents signed anew by another key does not pass for the maker's")
    {
        Shift        shift;
        MemoryFolder folder;
        shift.pack(folder);
        const std::string other = shift.theirs.book.device();
        replace(folder.files["contents.txt"], "\"dev\":\"" + shift.ours.book.device(), "\"dev\":\"" + other);
        CHECK_FALSE(checked(folder).whole);
    }

    TEST_CASE("a list of contents well signed and not in our form is refused in a sentence")
    {
        const auto        key    = engine::MachineKey::generate();
        const std::string prefix = R"({"dev":")" + key.device() + R"(","v":)";
        for (const std::string& json : {prefix + "1}", prefix + "2}", prefix + R"("1"})", prefix + "[]}"}) {
            CAPTURE(json);
            const std::string line =
                engine::hex_of(key.sign("witnessmark1/pack\n" + json)) + " " + json + "\n";
            MemoryFolder folder;
            folder.files["contents.txt"].assign(line.begin(), line.end());
            const auto report = checked(folder);
            CHECK_FALSE(report.whole);
            CHECK(report.first_break.find(json.find(":2}") != std::string::npos ? "newer" : "form") !=
                  std::string::npos);
        }
    }

    TEST_CASE("a photo that is not at hand is named as missing, and the pack is whole without it")
    {
        Shift shift;
        REQUIRE(std::filesystem::remove(shift.ours.book.photos().path_of(shift.their_photo)));
        MemoryFolder folder;
        CHECK(shift.pack(folder).photos_missing == 1);
        const auto report = checked(folder);
        CHECK(report.whole);
        CHECK(report.photos == 1);
        CHECK(report.photos_missing == 1);
    }

    TEST_CASE("what came after the last witness has a signature and no proof")
    {
        Shift shift;
        shift.theirs.read("2219", 500);
        REQUIRE(shift.ours.book.take_in(
            shift.theirs.book.entries_of_machine(shift.theirs.book.device(), 1, 1000)));
        MemoryFolder folder;
        const auto   made = shift.pack(folder);
        CHECK(made.proofs < made.entries);
        const auto report = checked(folder);
        CHECK(report.whole);
        CHECK(report.proofs == made.proofs);
    }

    TEST_CASE("persons stay out of a pack: their entries hold the check of a PIN")
    {
        Shift               shift;
        const engine::Draft person{
            "417",
            engine::kind::person,
            "",
            "",
            "",
            {},
            std::make_shared<const nlohmann::json>(
                nlohmann::json{{"badge", "112"}, {"name", "A"}, {"role", "fitter"}, {"pin", "secret"}})};
        REQUIRE(shift.ours.book.append(person));
        MemoryFolder folder;
        shift.pack(folder);
        const auto& bytes = folder.files.at("lines.jsonl");
        CHECK(std::string(bytes.begin(), bytes.end()).find("secret") == std::string::npos);
    }

    TEST_CASE("a pack goes into a new folder, and of a job that is known")
    {
        Shift            shift;
        const TempFolder out;
        auto             folder = share::DiskFolder::open(out.path());
        REQUIRE(folder);
        const auto unknown = share::make_pack(shift.ours.book, {{"9999"}, ""}, *folder, shift.clock);
        REQUIRE_FALSE(unknown);
        CHECK(unknown.error().fault == engine::Fault::not_found);
        shift.pack(*folder);
        CHECK(checked(*folder).whole);
        const auto again = share::make_pack(shift.ours.book, {{"2219"}, ""}, *folder, shift.clock);
        REQUIRE_FALSE(again);
        CHECK(again.error().fault == engine::Fault::conflict);
    }

    TEST_CASE("a pack that was stopped has no list of contents")
    {
        Shift        shift;
        MemoryFolder folder;
        const auto   stopped = share::make_pack(shift.ours.book, {{"2219"}, ""}, folder, shift.clock,
                                                [](std::size_t done, std::size_t) { return done < 1; });
        REQUIRE_FALSE(stopped);
        CHECK(stopped.error().fault == engine::Fault::refused);
        CHECK(folder.files.count("contents.txt") == 0);
    }
}
