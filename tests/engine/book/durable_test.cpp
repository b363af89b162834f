// What is left when the machine dies, the disk fills, or a file is thrown away. Power loss below the level of
// files is not modelled here: a copy of the files between two statements stands for a kill.
#include "engine/book/book.h"
#include "engine/book/io.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/resource.h>

#include <csignal>
#include <fstream>
#include <iterator>

#include "tests/engine/book/drafts.h"
#include "tests/support/fake_clock.h"
#include "tests/support/real_disk.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

std::string text_of(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write(const fs::path& file, const std::string& text)
{
    std::ofstream(file, std::ios::binary) << text;
}

void copy_all(const fs::path& from, const fs::path& to)
{
    fs::copy(from, to, fs::copy_options::recursive | fs::copy_options::overwrite_existing);
}

/// The disk, until it is full.
class FullIo final : public support::RealDisk {
  public:
    bool full = false;

    [[nodiscard]] Status write_whole(const fs::path& file, std::span<const unsigned char> bytes) override
    {
        if (full) return failure(Fault::no_space, "The disk is full.");
        return RealDisk::write_whole(file, bytes);
    }
    [[nodiscard]] Status write_tail(const fs::path& file, OpenFile& held, std::uint64_t offset,
                                    std::string_view bytes, bool durable) override
    {
        if (full) return failure(Fault::no_space, "The disk is full.");
        return RealDisk::write_tail(file, held, offset, bytes, durable);
    }
};

/// No file of this process may grow beyond `bytes` while it lives: writes fail as on a full disk.
class SmallDisk {
  public:
    explicit SmallDisk(rlim_t bytes)
    {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        old_handler_ = std::signal(SIGXFSZ, SIG_IGN);
        const rlimit small{bytes, before_.rlim_max};
        ::setrlimit(RLIMIT_FSIZE, &small);
    }
    SmallDisk(const SmallDisk&)            = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    ~SmallDisk()
    {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, old_handler_);
    }

  private:
    rlimit before_{};
    void (*old_handler_)(int) = SIG_DFL;
};

} // namespace

TEST_SUITE("engine/book durable")
{
    TEST_CASE("a copy taken after any entry opens, verifies and holds all that was acknowledged")
    {
        const TempFolder folder;
        FakeClock        clock;
        fs::create_directory(folder / "live");
        auto book = Book::open(folder / "live/t.book", clock);
        REQUIRE(book);
        std::vector<std::string> acknowledged;
        for (int i = 0; i < 12; ++i) {
            clock.advance(1000);
            const auto kept = book->append(reading("2219", "A", "seat", i));
            REQUIRE(kept);
            acknowledged.push_back(kept->id);
            const fs::path copy = folder / ("copy" + std::to_string(i));
            copy_all(folder / "live", copy);
            const auto report = check_book(copy / "t.book");
            REQUIRE(report);
            CHECK(report->first_break == "");
            auto again = Book::open(copy / "t.book", clock);
            REQUIRE(again);
            const auto entries = again->entries_of_job("2219");
            REQUIRE(entries.size() == acknowledged.size());
            for (std::size_t k = 0; k < entries.size(); ++k)
                CHECK(entries[k].id == acknowledged[k]);
        }
    }

    TEST_CASE(
        "own lines stand as text with the sixteenth, when the screen rests, and when the book is closed")
    {
        const TempFolder folder;
        FakeClock        clock;
        const fs::path   text  = folder / "t.book.d/own/0000000001.jsonl";
        const auto       lines = [&text] {
            const std::string all = text_of(text);
            return std::count(all.begin(), all.end(), '\n');
        };
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            const auto at_first = lines();
            for (int i = 0; i < 15; ++i)
                REQUIRE(book->append(reading("2219", "A", "seat", i)));
            CHECK(lines() == at_first);
            REQUIRE(book->append(reading("2219", "A", "seat", 15)));
            CHECK(lines() == at_first + 16);
            REQUIRE(book->append(reading("2219", "A", "seat", 16)));
            book->write_own_lines();
            CHECK(lines() == at_first + 17);
            REQUIRE(book->append(reading("2219", "A", "seat", 17)));
        }
        CHECK(lines() == 19);
        CHECK(check_book(folder / "t.book")->whole);
    }

    TEST_CASE("own lines lost between commit and text are completed at the next start")
    {
        const TempFolder folder;
        FakeClock        clock;
        const fs::path   text = folder / "t.book.d/own/0000000001.jsonl";
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            for (int i = 0; i < 5; ++i)
                REQUIRE(book->append(reading("2219", "A", "seat", i)));
        }
        const std::string whole = text_of(text);
        REQUIRE(std::count(whole.begin(), whole.end(), '\n') == 6);
        for (const std::string& damaged :
             {whole.substr(0, whole.size() - 700), whole.substr(0, 10), std::string(),
              whole.substr(0, whole.size() - 300) + std::string(300, '\0'), whole + "half a line"}) {
            write(text, damaged);
            REQUIRE(Book::open(folder / "t.book", clock));
            CHECK(text_of(text) == whole);
        }
        fs::remove(text);
        REQUIRE(Book::open(folder / "t.book", clock));
        CHECK(text_of(text) == whole);
    }

    TEST_CASE("a book whose file is gone is made anew by a command too, not only by the app")
    {
        const TempFolder folder;
        FakeClock        clock;
        const fs::path   file = folder / "t.book";
        std::string      last;
        {
            auto book = Book::open(file, clock);
            REQUIRE(book);
            for (int i = 0; i < 3; ++i) {
                const auto kept = book->append(reading("2219", "A", "seat", i));
                REQUIRE(kept);
                last = kept->id;
            }
        }
        for (const char* part : {"", "-wal", "-shm"})
            fs::remove(file.string() + part);
        {
            auto book = Book::open(file, clock, {}, false);
            REQUIRE(book);
            CHECK(book->size() == 4);
            const auto next = book->append(reading("2219", "A", "seat", 3));
            REQUIRE(next);
            CHECK(next->seq == 5); // the chain goes on, it does not begin a second time
        }
        CHECK(check_book(file)->whole);
        CHECK(text_of(folder / "t.book.d/own/0000000001.jsonl").find(last) != std::string::npos);

        for (const char* part : {"", "-wal", "-shm", ".key"})
            fs::remove(file.string() + part);
        const auto no_key = Book::open(file, clock, {}, false);
        REQUIRE_FALSE(no_key);
        CHECK(no_key.error().fault == Fault::not_found);
        CHECK_FALSE(fs::exists(file));
    }

    TEST_CASE("own lines go on in a second file after 512, and every line is there")
    {
        const TempFolder folder;
        FakeClock        clock;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            std::vector<Draft> many;
            for (int i = 0; i < 600; ++i)
                many.push_back(reading("2219", "A", "seat", i));
            REQUIRE(book->append_all(many));
        }
        const std::string first  = text_of(folder / "t.book.d/own/0000000001.jsonl");
        const std::string second = text_of(folder / "t.book.d/own/0000000513.jsonl");
        CHECK(std::count(first.begin(), first.end(), '\n') == 512);
        CHECK(std::count(second.begin(), second.end(), '\n') == 89);
        CHECK(check_book(folder / "t.book")->whole);
    }

    TEST_CASE("a book that was thrown away is made anew from its own lines, and goes on with the same chain")
    {
        const TempFolder folder;
        FakeClock        clock;
        std::string      device;
        std::string      state;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            for (int i = 0; i < 5; ++i)
                REQUIRE(book->append(reading("2219", "A", "seat", i)));
            device = book->device();
            state  = state_hash(*book);
        }
        for (const char* end : {"", "-wal", "-shm"})
            fs::remove(folder / ("t.book" + std::string(end)));
        auto book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        CHECK(book->device() == device);
        CHECK(state_hash(*book) == state);
        CHECK(book->append(reading("2219", "A", "seat", 9))->seq == 7);
    }

    TEST_CASE("a machine does not begin a second chain over lines it cannot read")
    {
        const TempFolder folder;
        FakeClock        clock;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            for (int i = 0; i < 5; ++i)
                REQUIRE(book->append(reading("2219", "A", "seat", i)));
        }
        fs::remove(folder / "t.book");
        const fs::path text    = folder / "t.book.d/own/0000000001.jsonl";
        std::string    damaged = text_of(text);
        damaged[damaged.size() / 2] ^= 1;
        write(text, damaged);
        const auto book = Book::open(folder / "t.book", clock);
        REQUIRE_FALSE(book);
        CHECK(book.error().fault == Fault::corrupt);
    }

    TEST_CASE("a full disk keeps no entry, says so, and the book goes on when there is space")
    {
        const TempFolder folder;
        FakeClock        clock;
        auto             book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        std::size_t kept = book->size();
        {
            const SmallDisk small(256UL * 1024);
            for (int i = 0; i < 400; ++i) {
                const std::size_t   before  = book->size();
                const std::uint64_t version = book->version();
                const auto          done    = book->append(reading("2219", "A", "seat", i));
                if (done) {
                    ++kept;
                    continue;
                }
                CAPTURE(done.error().context);
                CHECK(done.error().fault == Fault::no_space);
                CHECK(done.error().message.find("disk is full") != std::string::npos);
                CHECK(book->size() == before);
                CHECK(book->version() == version);
                CHECK(book->entries_of_job("2219").size() == static_cast<std::size_t>(i));
                break;
            }
        }
        CHECK(kept < 401); // the disk did fill
        const auto next = book->append(reading("2219", "A", "seat", 999));
        REQUIRE(next);
        CHECK(next->seq == kept + 1);
        CHECK(check_book(folder / "t.book")->first_break == "");
    }

    TEST_CASE("an entry is kept though the text beside the book found no space, and the text catches up")
    {
        const TempFolder folder;
        FakeClock        clock;
        FullIo           io;
        BookOptions      options;
        options.io = &io;
        auto book  = Book::open(folder / "t.book", clock, options);
        REQUIRE(book);
        io.full = true;
        REQUIRE(book->append(reading("2219", "A", "seat", 1)));
        REQUIRE(book->append(reading("2219", "A", "seat", 2)));
        book->write_own_lines();
        const fs::path text  = folder / "t.book.d/own/0000000001.jsonl";
        const auto     lines = [&text] {
            const std::string all = text_of(text);
            return std::count(all.begin(), all.end(), '\n');
        };
        CHECK(lines() == 1);
        CHECK(check_book(folder / "t.book")->whole); // behind is not broken
        io.full = false;
        REQUIRE(book->append(reading("2219", "A", "seat", 3)));
        book->write_own_lines();
        CHECK(lines() == 4);
    }

    TEST_CASE("a file of another program is left as it is")
    {
        const TempFolder folder;
        const FakeClock  clock;
        write(folder / "notes.txt", "these are my notes, and not a book at all\n");
        const auto book = Book::open(folder / "notes.txt", clock);
        REQUIRE_FALSE(book);
        CHECK(book.error().fault == Fault::corrupt);
        CHECK(book.error().message.find("notes.txt is not a book") == 0);
        CHECK(text_of(folder / "notes.txt") == "these are my notes, and not a book at all\n");
        CHECK_FALSE(fs::exists(folder / "notes.txt.key"));
        CHECK(Book::open(folder / "none.book", clock, {}, false).error().fault == Fault::not_found);
        CHECK(check_book(folder / "notes.txt").error().fault == Fault::corrupt);
        CHECK(check_book(folder / "none.book").error().fault == Fault::not_found);
    }

    TEST_CASE("a book without its key, or with another's, is not gone on with")
    {
        const TempFolder folder;
        const FakeClock  clock;
        REQUIRE(Book::open(folder / "t.book", clock));
        REQUIRE(Book::open(folder / "other.book", clock));
        fs::rename(folder / "t.book.key", folder / "away");
        CHECK(Book::open(folder / "t.book", clock).error().fault == Fault::not_found);
        fs::copy_file(folder / "other.book.key", folder / "t.book.key");
        CHECK(Book::open(folder / "t.book", clock).error().fault == Fault::corrupt);
        write(folder / "t.book.key", text_of(folder / "away").substr(0, 40));
        CHECK(Book::open(folder / "t.book", clock).error().fault == Fault::corrupt);
        fs::remove(folder / "t.book.key");
        fs::rename(folder / "away", folder / "t.book.key");
        CHECK(Book::open(folder / "t.book", clock));
    }
}
