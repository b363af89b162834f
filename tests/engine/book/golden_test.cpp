// Books written by this version must read the same for ever. tests/golden/book1.jsonl was written once, with
// a fixed key and a fixed clock; the copies beside it were altered by hand. None of them is ever made anew.
#include "engine/book/book.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <fstream>

#include "tests/engine/book/golden_book.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

std::vector<std::string> lines_of(const std::string& name)
{
    std::ifstream in(std::string(WM_SOURCE_DIR) + "/tests/golden/" + name, std::ios::binary);
    REQUIRE(in);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

/// As a reader of a folder does it: open every line, take the chain in. The fault, or none.
std::optional<Error> taking(const std::string& name)
{
    const TempFolder folder;
    const FakeClock  clock;
    auto             reader = Book::open(folder / "reader.book", clock);
    REQUIRE(reader);
    std::vector<Entry> entries;
    for (const std::string& line : lines_of(name)) {
        auto entry = open_line(line);
        if (!entry) return entry.error();
        entries.push_back(std::move(*entry));
    }
    const auto taken = reader->take_in(entries);
    if (!taken) return taken.error();
    return std::nullopt;
}

} // namespace

TEST_SUITE("engine/book golden")
{
    TEST_CASE("the first book reads as it was written")
    {
        CHECK_FALSE(taking("book1.jsonl").has_value());
        const auto lines = lines_of("book1.jsonl");
        REQUIRE(lines.size() == 10);
        const auto last = open_line(lines.back());
        REQUIRE(last);
        CHECK(last->id == hex(sha256(std::string_view(lines.back()).substr(129))));
        CHECK(last->seq == 10);
        CHECK(last->said.kind == kind::countersign);
        CHECK(last->said.actor == "502");
        CHECK(open_line(lines[7])->body().at("text") == "49.970 \xc2\xb5 \"\\\n");
    }

    TEST_CASE("the same words, key and clock still make the same bytes")
    {
        const TempFolder folder;
        FakeClock        clock;
        const Book       book    = golden_book(folder / "t.book", clock);
        const auto       entries = book.entries_of_machine(book.device(), 1, 100);
        const auto       lines   = lines_of("book1.jsonl");
        REQUIRE(entries.size() == lines.size());
        for (std::size_t i = 0; i < lines.size(); ++i)
            CHECK(entries[i].line == lines[i]);
    }

    TEST_CASE("the altered copies are refused, each for its own reason")
    {
        CHECK(taking("book1-value-changed.jsonl")->fault == Fault::bad_signature);
        CHECK(taking("book1-entry-missing.jsonl")->fault == Fault::corrupt);
        CHECK(taking("book1-entries-swapped.jsonl")->fault == Fault::corrupt);
        CHECK(taking("book1-cut-short.jsonl")->fault == Fault::corrupt);
        CHECK(taking("book1-space-added.jsonl")->fault == Fault::bad_input);
    }
}
