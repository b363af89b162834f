// A book that was copied must not sign with a key that signs elsewhere too.
#include "engine/book/host.h"

#include <doctest/doctest.h>

#include <filesystem>

#include "tests/engine/book/drafts.h"
#include "tests/support/fake_clock.h"
#include "tests/support/real_disk.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

/// A machine that starts its app on the book in one of its folders.
struct Tablet {
    TempFolder disk;
    FakeClock  clock;
    Host       host;

    explicit Tablet(char id) : host{std::string(64, id), disk / "state"} {}

    struct Start {
        Binding     binding;
        std::string key;
    };
    [[nodiscard]] Start start(const std::string& folder, Io& io = disk_io()) const
    {
        fs::create_directories(disk / folder);
        auto book = Book::open(disk / folder / "t.book", clock, BookOptions{});
        REQUIRE_MESSAGE(book, (book ? "" : book.error().message));
        const auto bound = bind_to_host(*book, host, io);
        REQUIRE_MESSAGE(bound, (bound ? "" : bound.error().message));
        REQUIRE(book->append(reading("2219", "A", "seat", 1)));
        return {*bound, book->device()};
    }
};

void put_copy(const fs::path& from, const fs::path& to)
{
    fs::remove_all(to);
    fs::copy(from, to, fs::copy_options::recursive);
}

/// Cut off before the n-th change.
class CutOff final : public support::RealDisk {
  public:
    int left = 0;

    [[nodiscard]] Status write_whole(const fs::path& file, std::span<const unsigned char> bytes) override
    {
        if (left-- <= 0) return failure(Fault::io, "The power is gone.");
        return RealDisk::write_whole(file, bytes);
    }
    [[nodiscard]] Status remove(const fs::path& file) override
    {
        if (left-- <= 0) return failure(Fault::io, "The power is gone.");
        return RealDisk::remove(file);
    }
};

} // namespace

TEST_SUITE("a book and its machine")
{
    TEST_CASE("a book started again on its own machine keeps its key")
    {
        Tablet     tablet('a');
        const auto first = tablet.start("data");
        CHECK(first.binding == Binding::begun);
        for (int i = 0; i < 3; ++i) {
            const auto next = tablet.start("data");
            CHECK(next.binding == Binding::same);
            CHECK(next.key == first.key);
        }
    }

    TEST_CASE("a data folder copied to another machine goes on there with a key of its own")
    {
        Tablet     tablet('a'), other('b');
        const auto first = tablet.start("data");
        put_copy(tablet.disk / "data", other.disk / "data");
        const auto copied = other.start("data");
        CHECK(copied.binding == Binding::replaced);
        CHECK(copied.key != first.key);
        CHECK(other.start("data").key == copied.key);
        CHECK(tablet.start("data").key == first.key);

        auto book = Book::open(other.disk / "data" / "t.book", other.clock, BookOptions{});
        REQUIRE(book);
        REQUIRE(book->entries_of_kind(kind::retire).size() == 1);
        CHECK(book->entries_of_kind(kind::retire)[0].body()["reason"] ==
              "The book was copied from another machine.");
    }

    TEST_CASE("of two copies on one machine, one keeps the key")
    {
        Tablet     tablet('a');
        const auto first = tablet.start("data");
        put_copy(tablet.disk / "data", tablet.disk / "copy");
        CHECK(tablet.start("data").key == first.key);
        const auto second = tablet.start("copy");
        CHECK(second.binding == Binding::replaced);
        CHECK(second.key != first.key);
        CHECK(tablet.start("data").key == first.key);
        CHECK(tablet.start("copy").key == second.key);
    }

    TEST_CASE("an older copy put back goes on with a new key")
    {
        Tablet     tablet('a');
        const auto first = tablet.start("data");
        put_copy(tablet.disk / "data", tablet.disk / "backup");
        CHECK(tablet.start("data").key == first.key);
        put_copy(tablet.disk / "backup", tablet.disk / "data");
        CHECK(tablet.start("data").binding == Binding::replaced);
    }

    TEST_CASE("a start cut off anywhere leaves a book that is known the next time")
    {
        for (int writes = 0; writes < 8; ++writes) {
            CAPTURE(writes);
            Tablet     tablet('a');
            const auto first = tablet.start("data");
            CutOff     io;
            io.left = writes;
            {
                auto book = Book::open(tablet.disk / "data" / "t.book", tablet.clock, BookOptions{});
                REQUIRE(book);
                const auto bound = bind_to_host(*book, tablet.host, io); // may fail: the power is gone
                if (writes >= 4) CHECK(bound.has_value());
            }
            const auto next = tablet.start("data");
            CHECK(next.binding != Binding::replaced);
            CHECK(next.key == first.key);
        }
    }

    TEST_CASE("notes that are gone, or cannot be written, prove nothing against a book")
    {
        Tablet     tablet('a');
        const auto first = tablet.start("data");
        fs::remove_all(tablet.host.notes);
        CHECK(tablet.start("data").key == first.key);
        fs::remove_all(tablet.host.notes);
        std::FILE* const in_the_way = std::fopen(tablet.host.notes.c_str(), "w");
        REQUIRE(in_the_way != nullptr);
        std::fclose(in_the_way);
        CHECK(tablet.start("data").key == first.key);
        CHECK(tablet.start("data").binding == Binding::same);
        tablet.host.machine = std::string(64, 'c'); // the machine's id alone still tells
        CHECK(tablet.start("data").binding == Binding::replaced);
    }

    TEST_CASE("this machine has an id, and says only its hash")
    {
        const Host host = this_host();
        if (fs::exists("/etc/machine-id") && fs::file_size("/etc/machine-id") > 0)
            CHECK(host.machine.size() == 64);
        CHECK(host.notes.filename() == "witnessmark");
    }
}
