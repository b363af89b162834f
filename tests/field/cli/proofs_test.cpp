// The pack an auditor takes along, and a check that is stopped and gone on with: by their command lines.
#include <doctest/doctest.h>

#include <csignal>
#include <fstream>
#include <iterator>

#include "tests/field/cli/said.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;
using support::Said;

/// The invented plant with one finished job in its book.
struct Plant {
    support::TempFolder folder;
    std::string         book = (folder.path() / "t.book").string();
    std::string         pack = (folder.path() / "pack").string();
    Plant() { REQUIRE(support::run({"demo", "--shifts", "1", "--book", book}).code == 0); }
};

bool holds(const std::string& text, const std::string& words)
{
    return text.find(words) != std::string::npos;
}

/// Standard error of somebody who presses Ctrl-C as soon as the program tells how far it is.
class Impatient : public std::stringbuf {
  protected:
    std::streamsize xsputn(const char* text, std::streamsize size) override
    {
        const bool tells_progress =
            std::string_view(text, static_cast<std::size_t>(size)).find(" of ") != std::string_view::npos;
        if (tells_progress && !std::exchange(pressed_, true)) (void)std::raise(SIGINT);
        return std::stringbuf::xsputn(text, size);
    }

  private:
    bool pressed_ = false;
};

Said stopped(std::vector<std::string> words)
{
    words.insert(words.begin(), "witnessmark");
    std::vector<char*> argv;
    for (std::string& word : words)
        argv.push_back(word.data());
    std::ostringstream      out;
    const support::Redirect to_out(std::cout, out);
    Impatient               errors;
    std::streambuf* const   before = std::cerr.rdbuf(&errors);
    const int               code   = field::cli::run(static_cast<int>(argv.size()), argv.data());
    std::cerr.rdbuf(before);
    return {code, out.str(), errors.str()};
}

} // namespace

TEST_SUITE("field/proofs")
{
    TEST_CASE("a pack is made by one command and proved by another, away from the book")
    {
        const Plant plant;
        const Said  made = support::run({"pack", "--job", "1801", "--book", plant.book, "--out", plant.pack});
        CHECK_MESSAGE(made.code == 0, made.err);
        CHECK(holds(made.out, "witnessmark check --pack"));
        fs::remove(plant.book);
        const Said proved = support::run({"check", "--pack", plant.pack});
        CHECK(proved.code == 0);
        CHECK(holds(proved.out, "pack pack: whole ("));
        CHECK(holds(support::run({"check", "--pack", plant.pack, "--json"}).out, "\"whole\": true"));
    }

    TEST_CASE("a pack, and the proof of one, say which plant it is of, and when nobody is enrolled there")
    {
        const support::TempFolder folder;
        const std::string         book = (folder.path() / "t.book").string();
        const std::string         pack = (folder.path() / "pack").string();
        REQUIRE(support::run({"demo", "--not-enrolled", "--shifts", "1", "--book", book}).code == 0);
        const Said made   = support::run({"pack", "--job", "1801", "--book", book, "--out", pack});
        const Said proved = support::run({"check", "--pack", pack});
        for (const std::string& out : {made.out, proved.out}) {
            CHECK(holds(out, "Plant saltmarsh (invented demo plant)"));
            CHECK(holds(out, "This plant is not enrolled"));
        }
        CHECK(holds(support::run({"check", "--pack", pack, "--json"}).out, "\"plant_enrolled\": false"));
        const Plant enrolled;
        const Said  its =
            support::run({"pack", "--job", "1801", "--book", enrolled.book, "--out", enrolled.pack});
        CHECK(holds(its.out, "Plant saltmarsh"));
        CHECK_FALSE(holds(its.out, "not enrolled"));
        CHECK_FALSE(holds(support::run({"check", "--pack", enrolled.pack}).out, "not enrolled"));
    }

    TEST_CASE("a pack with one byte changed is answered with 1, and the first break is named")
    {
        const Plant plant;
        REQUIRE(support::run({"pack", "--job", "1801", "--book", plant.book, "--out", plant.pack}).code == 0);
        fs::path lines;
        for (const auto& file : fs::recursive_directory_iterator(plant.pack))
            if (file.is_regular_file() && file.path().extension() == ".jsonl") lines = file.path();
        REQUIRE_FALSE(lines.empty());
        std::ifstream in(lines, std::ios::binary);
        std::string   text{std::istreambuf_iterator<char>(in), {}};
        text[text.size() / 2] ^= 1;
        std::ofstream(lines, std::ios::binary) << text;
        const Said proved = support::run({"check", "--pack", plant.pack});
        CHECK(proved.code == 1);
        CHECK(holds(proved.out, "NOT whole"));
        CHECK(holds(proved.out, "first break: "));
    }

    TEST_CASE("what cannot be packed or is no pack is 2 with one sentence, and no pack is made")
    {
        const Plant plant;
        const Said  none =
            support::run({"pack", "--serial", "NONE", "--book", plant.book, "--out", plant.pack});
        CHECK(none.code == 2);
        CHECK(holds(none.err, "Nothing in this book bears the serial number NONE."));
        CHECK_FALSE(fs::exists(plant.pack));
        CHECK(support::run({"pack", "--book", plant.book, "--out", plant.pack}).code == 2);
        fs::create_directory(plant.pack);
        const Said empty = support::run({"check", "--pack", plant.pack});
        CHECK(empty.code == 2);
        CHECK(empty.err.starts_with("witnessmark: "));
        CHECK(empty.out.empty());
    }

    TEST_CASE("Ctrl-C ends a check in order, and --resume goes on with it")
    {
        const Plant       plant;
        const std::string state = (plant.folder.path() / "state").string();
        const Said        cut   = stopped({"check", "--book", plant.book, "--progress", "--state", state});
        CHECK(cut.code == 2);
        CHECK(cut.out.empty());
        CHECK(holds(cut.err, "The check was stopped at "));
        CHECK(holds(cut.err, "--resume"));
        CHECK(fs::exists(state));
        const Said rest = support::run({"check", "--book", plant.book, "--resume", "--state", state});
        CHECK_MESSAGE(rest.code == 0, rest.err);
        CHECK(holds(rest.out, "whole ("));
    }

    TEST_CASE("Ctrl-C ends the check of a pack and of a shared folder in order too")
    {
        const Plant plant;
        const auto  share = plant.folder.path() / "share";
        fs::create_directory(share);
        REQUIRE(support::run({"exchange", "--book", plant.book, "--shared", share.string()}).code == 0);
        REQUIRE(support::run({"pack", "--job", "1801", "--book", plant.book, "--out", plant.pack}).code == 0);
        const std::string state = (plant.folder.path() / "state").string();
        for (const std::vector<std::string>& what :
             {std::vector<std::string>{"check", "--pack", plant.pack, "--progress"},
              std::vector<std::string>{"check", "--shared", share.string(), "--progress", "--state",
                                       state}}) {
            const Said cut = stopped(what);
            CAPTURE(what[1]);
            CHECK(cut.code == 2);
            CHECK(holds(cut.err, "The check was stopped at "));
            CHECK(holds(cut.err, "nothing was changed"));
        }
    }
}
