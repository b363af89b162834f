#include "sync/check_shared.h"
#include "sync/disk_folder.h"

#include <sys/stat.h>

#include <filesystem>
#include <fstream>

#include "tests/sync/plant.h"

using namespace engine;
namespace fs = std::filesystem;
using share::DiskFolder;
using support::FakeClock;
using support::TempFolder;

namespace {

constexpr DiskFolder::Resolve kBothWays[] = {DiskFolder::Resolve::by_kernel, DiskFolder::Resolve::by_hand};

std::vector<unsigned char> bytes_of(const std::string& text)
{
    return {text.begin(), text.end()};
}

void write(const fs::path& file, const std::string& text)
{
    fs::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
}

constexpr const char* kWriter = "0123456789abcdef";

} // namespace

TEST_SUITE("sync/disk folder")
{
    TEST_CASE("what is written reads back, twice is once, and other bytes never replace it")
    {
        for (const auto way : kBothWays) {
            const TempFolder place;
            auto             folder = DiskFolder::open(place.path(), way);
            REQUIRE(folder);
            REQUIRE(folder->write_new("a/b/c.txt", bytes_of("one"), kWriter));
            CHECK(*folder->read("a/b/c.txt", 100) == bytes_of("one"));
            CHECK(folder->write_new("a/b/c.txt", bytes_of("one"), kWriter));
            CHECK(folder->write_new("a/b/c.txt", bytes_of("two"), kWriter).error().fault == Fault::conflict);
            CHECK(folder->write_new("a/b/c.txt", bytes_of("longer"), kWriter).error().fault ==
                  Fault::conflict);
            CHECK(*folder->read("a/b/c.txt", 100) == bytes_of("one"));
            CHECK(folder->list("a/b", 10)->size() == 1); // no temporary file left
            CHECK(folder->read("a/b/d.txt", 100).error().fault == Fault::not_found);
            CHECK(folder->read("a/b/c.txt", 2).error().fault == Fault::out_of_range);
        }
    }

    TEST_CASE("nothing outside the folder is reached, by links or by dots")
    {
        for (const auto way : kBothWays) {
            const TempFolder place;
            write(place / "secret.txt", "secret");
            write(place / "share/in.txt", "in");
            fs::create_symlink(place / "secret.txt", place / "share/link.txt");
            fs::create_symlink("in.txt", place / "share/inner.txt");
            fs::create_directory_symlink(place.path(), place / "share/up");
            auto folder = DiskFolder::open(place / "share", way);
            REQUIRE(folder);
            CHECK(folder->read("in.txt", 100));
            for (const char* path : {"link.txt", "inner.txt", "up/secret.txt", "../secret.txt", "in.txt/x",
                                     "./../secret.txt", "up/share/in.txt"}) {
                CAPTURE(path);
                const auto read = folder->read(path, 100);
                REQUIRE_FALSE(read);
                CHECK(read.error().fault == Fault::bad_input);
                CHECK_FALSE(folder->write_new(path, bytes_of("x"), kWriter));
            }
            CHECK_FALSE(folder->write_new("up/new.txt", bytes_of("x"), kWriter));
            CHECK_FALSE(fs::exists(place / "new.txt"));
        }
    }

    TEST_CASE("a pipe does not hold it, a giant is not read, a folder is no file")
    {
        for (const auto way : kBothWays) {
            const TempFolder place;
            REQUIRE(::mkfifo((place / "pipe").c_str(), 0600) == 0);
            write(place / "giant", "x");
            fs::resize_file(place / "giant", 5ULL * 1024 * 1024 * 1024);
            fs::create_directory(place / "folder");
            auto folder = DiskFolder::open(place.path(), way);
            REQUIRE(folder);
            CHECK(folder->read("pipe", 100).error().fault == Fault::bad_input);
            CHECK(folder->read("giant", 1 << 20).error().fault == Fault::out_of_range);
            CHECK(folder->read("folder", 100).error().fault == Fault::bad_input);
        }
    }

    TEST_CASE("only unfinished files of the own machine can be removed")
    {
        const TempFolder place;
        write(place / "s/.p-0123456789abcdef-0000000000000000", "x");
        write(place / "s/.p-fedcba9876543210-0000000000000000", "x");
        write(place / "s/a.jsonl", "x");
        auto folder = DiskFolder::open(place.path());
        REQUIRE(folder);
        CHECK(folder->remove_temporary("s/.p-0123456789abcdef-0000000000000000", kWriter));
        CHECK_FALSE(folder->remove_temporary("s/.p-fedcba9876543210-0000000000000000", kWriter));
        CHECK_FALSE(folder->remove_temporary("s/a.jsonl", kWriter));
        CHECK(folder->list("s", 10)->size() == 2);
    }

    TEST_CASE("a folder that is not there is one clear sentence, and the book stays as it is")
    {
        const TempFolder place;
        const auto       folder = DiskFolder::open(place / "stick");
        REQUIRE_FALSE(folder);
        CHECK(folder.error().fault == Fault::not_found);
        CHECK(folder.error().message ==
              "The shared folder stick cannot be reached; plug it in or connect it, then try again.");
    }

    TEST_CASE("a folder that vanishes while it is held open is one clear sentence too")
    {
        const TempFolder place;
        FakeClock        clock;
        Machine          a(place, clock, 1);
        fs::create_directory(place / "stick");
        auto folder = DiskFolder::open(place / "stick");
        REQUIRE(folder);
        fs::remove_all(place / "stick");
        const auto report = share::exchange(a.book, *folder, clock);
        REQUIRE_FALSE(report);
        CHECK(report.error().message.find("plug it in") != std::string::npos);
        CHECK(a.book.size() == 1);
        CHECK(a.book.published_seq() == 0);
    }

    TEST_CASE("strange things in the folder are counted, left alone and stop nobody")
    {
        const TempFolder place;
        FakeClock        clock;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        a.photo("2219", 1);
        auto folder = DiskFolder::open(place.path());
        REQUIRE(folder);
        a.exchange(*folder, clock);
        const fs::path root = place / "witnessmark1";
        const fs::path seg  = root / "dev" / a.devid() / "seg/000000";
        const auto     name = fs::directory_iterator(seg)->path().filename().string();
        std::string    loud = name;
        for (char& c : loud)
            if (c >= 'a' && c <= 'f') c = static_cast<char>(c - 'a' + 'A');
        loud[0] = loud == name ? '1' : loud[0];
        write(seg / loud, "x");
        write(seg / (name + ".conflict"), "x");
        write(seg / "CON", "x");
        write(root / "dev/0123456789ABCDEF/seg/000000/x", "x");
        write(root / "dev/x", "x");
        write(root / "blob/zz/x.jpg", "x");
        write(root / "Thumbs.db", "x");
        fs::create_symlink("/etc/passwd", seg / ("0000000009-0000000009-" + std::string(32, 'a') + ".jsonl"));
        REQUIRE(::mkfifo((seg / ("0000000010-0000000010-" + std::string(32, 'a') + ".jsonl")).c_str(),
                         0600) == 0);
        const std::string giant = "0000000001-0000000002-" + std::string(32, 'b') + ".jsonl";
        write(seg / giant, "x");
        fs::resize_file(seg / giant, 5ULL * 1024 * 1024 * 1024);
        const auto report = b.exchange(*folder, clock);
        CHECK(report.entries_in == 2);
        CHECK(report.photos_in == 1);
        CHECK(report.foreign == 9);
        REQUIRE(report.findings.size() == 1); // the giant has a name of ours
        CHECK(report.findings.front().code == "R02");
        CHECK(fs::exists(seg / giant));
        CHECK(fs::exists(seg / loud));
    }

    TEST_CASE("a shared folder is proved from its bytes alone, and the first break is named")
    {
        const TempFolder place;
        FakeClock        clock;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        const auto       photo  = a.photo("2219", 1);
        auto             folder = DiskFolder::open(place.path());
        REQUIRE(folder);
        CHECK(share::check_shared(*folder).error().fault == Fault::not_found);
        for (int round = 0; round < 2; ++round)
            for (Machine* machine : {&a, &b})
                machine->exchange(*folder, clock);
        auto report = share::check_shared(*folder);
        REQUIRE(report);
        CHECK(report->whole);
        CHECK(report->entries == a.book.size());
        CHECK(report->machines.size() == 2);
        CHECK(report->photos == 1);
        CHECK(report->photos_missing == 0);
        CHECK(report->heads == 4);

        const fs::path root = place / "witnessmark1";
        const auto     blob = root / "blob" / photo.substr(0, 2) / (photo + ".jpg");
        fs::rename(blob, place / "away.jpg");
        report = share::check_shared(*folder);
        CHECK(report->whole);
        CHECK(report->photos_missing == 1);
        write(blob, "no picture");
        report = share::check_shared(*folder);
        CHECK_FALSE(report->whole);
        CHECK(report->first_break ==
              "Photos: the photo " + photo.substr(0, 8) + " does not have the hash in its name.");
        fs::rename(place / "away.jpg", blob);

        // The newest segment of a machine taken away: its signed head still says what was there.
        const fs::path seg  = root / "dev" / a.devid() / "seg/000000";
        fs::path       last = fs::directory_iterator(seg)->path();
        for (const auto& item : fs::directory_iterator(seg))
            if (item.path() > last) last = item.path();
        fs::rename(last, place / "segment");
        report = share::check_shared(*folder);
        CHECK_FALSE(report->whole);
        CHECK(report->first_break == "T-01: missing: entry 3, which a signed head says were there.");
        fs::rename(place / "segment", last);
        CHECK(share::check_shared(*folder)->whole);
    }
}
