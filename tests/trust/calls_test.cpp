// Row 4 of the plan: the program as it is installed, with a library before the C library that lets the n-th
// call on a file of the data folder or of the shared folder fail. Whatever fails: nothing is called saved
// that is not, one sentence says what is wrong, and without the fault the work goes on with nothing lost.
#include "sync/check_shared.h"
#include "sync/disk_folder.h"
#include "sync/names.h"

#include <cerrno>
#include <fstream>
#include <random>

#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"
#include "tests/trust/desk.h"
#include "tests/trust/sizes.h"

using support::Ran;
using trust::Desk;
namespace fs = std::filesystem;

namespace {

constexpr int  kCallItems = 4;
constexpr long kForEver   = 1'000'000;
constexpr long kBurst = 50; ///< an interrupted call is to be tried again: interrupted for ever it would hang

struct Fault {
    const char* name;
    int         with; ///< errno; 0 half of the bytes
    const char* calls;
};
constexpr std::array kFaults{
    Fault{"EIO", EIO, "all"},         Fault{"ENOSPC", ENOSPC, "all"}, Fault{"EINTR", EINTR, "all"},
    Fault{"EACCES", EACCES, "all"},   Fault{"ESTALE", ESTALE, "all"}, Fault{"EXDEV", EXDEV, "all"},
    Fault{"short write", 0, "write"}, Fault{"short read", 0, "read"}, Fault{"EIO of a sync", EIO, "sync"}};

struct Case {
    bool         fill  = false; ///< else exchange
    const Fault* fault = nullptr;
    long         at = 0, how_many = 1;
};

struct CallTally {
    int         cases = 0, failed = 0, crashed = 0, mute = 0, false_saved = 0, not_cured = 0;
    trust::Loss loss;
};

/// Books and folders every case begins with.
class Bench {
  public:
    Bench() : desk_(place_ / "desk", kCallItems)
    {
        // Another machine has been at the folder: there is something to fetch.
        const std::string other = (place_ / "other.book").string(), share = (place_ / "share").string();
        fs::create_directories(share);
        ran("exchange --book '" + desk_.fresh_book(place_ / "first").string() + "' --shared '" + share + "'");
        ran("plant join --machine T-09 --book '" + other + "' --shared '" + share + "'");
        ran("fill '" + desk_.after() + "' --book '" + other + "'");
        ran("exchange --book '" + other + "' --shared '" + share + "'");
        const fs::path book = desk_.fresh_book(place_ / "filled");
        acked_ =
            trust::acks_in(ran("fill '" + desk_.file() + "' --book '" + book.string() + "' --report").out);
        REQUIRE(acked_.size() == desk_.attempts().size());
        const support::FakeClock clock;
        engine::BookOptions      options;
        options.read_only = true;
        const auto read   = engine::Book::open(other, clock, options);
        REQUIRE(read);
        other_      = read->device();
        other_last_ = read->machines().front().last_seq;
    }

    /// How many calls of that sort the command makes.
    [[nodiscard]] long calls_of(bool fill, const char* calls) const
    {
        CallTally tally;
        Fault     none{"none", EIO, calls};
        return carried_out({fill, &none, 0, 0}, tally);
    }

    /// Runs the case and judges it; the number of calls made.
    long carried_out(const Case& one, CallTally& tally) const
    {
        const fs::path at = place_ / "case";
        fs::remove_all(at);
        fs::create_directories(at);
        if (one.fill)
            (void)desk_.fresh_book(at / "data");
        else
            fs::copy(place_ / "filled", at / "data", fs::copy_options::recursive);
        fs::copy(place_ / "share", at / "shared", fs::copy_options::recursive);
        const std::string book    = "--book '" + (at / "data/t.book").string() + "'";
        const std::string command = one.fill
                                        ? "fill '" + desk_.file() + "' " + book + " --report"
                                        : "exchange " + book + " --shared '" + (at / "shared").string() + "'";
        const Ran         ran     = faulty(one, at, command);
        long              calls = 0, failed = 0;
        std::ifstream(at / "tally") >> calls >> failed;
        ++tally.cases;
        if (failed > 0 || ran.code != 0) ++tally.failed;
        const CallTally before = tally;
        judge_words(one, ran, tally);
        judge_saved(one, at, ran, tally);
        judge_cured(one, at, ran, tally);
        if (one.at == 0) CHECK(ran.code == 0);
        told(before, tally, one, ran);
        return calls;
    }

  private:
    Ran ran(const std::string& arguments) const
    {
        const Ran done = support::run(arguments, place_.path());
        REQUIRE_MESSAGE(done.code == 0, arguments << ": " << done.says);
        return done;
    }

    static Ran faulty(const Case& one, const fs::path& at, const std::string& command)
    {
        const std::string under = (at / "data").string() + ":" + (at / "shared").string();
        return support::run_shell("timeout 60 env LD_PRELOAD='" WM_FAILING_CALLS
                                  "' ASAN_OPTIONS=verify_asan_link_order=0 WM_FAIL_UNDER='" +
                                      under + "' WM_FAIL_AT=" + std::to_string(one.at) +
                                      " WM_FAIL_FOR=" + std::to_string(one.how_many) +
                                      " WM_FAIL_WITH=" + std::to_string(one.fault->with) +
                                      " WM_FAIL_CALLS=" + one.fault->calls + " WM_FAIL_TALLY='" +
                                      (at / "tally").string() + "' " + WM_PROGRAM + " " + command,
                                  at);
    }

    /// Good, or one sentence on standard error and nothing else; an exchange may have set something aside.
    static void judge_words(const Case& one, const Ran& ran, CallTally& tally)
    {
        const std::string errors = ran.says.substr(ran.out.size());
        if (ran.code != 0 && ran.code != 1 && ran.code != 2) ++tally.crashed;
        const bool        findings = !one.fill && ran.code == 1 && errors.empty() && !ran.out.empty();
        const std::size_t end      = errors.find('\n');
        const bool sentence = errors.starts_with("witnessmark: ") && end == errors.size() - 1 && end > 0 &&
                              errors[end - 1] == '.';
        if (ran.code == 0 ? !errors.empty() : !findings && !sentence) ++tally.mute;
    }

    void judge_saved(const Case& one, const fs::path& at, const Ran& ran, CallTally& tally) const
    {
        if (one.fill) {
            if (ran.code == 0 && trust::acks_in(ran.out).size() != desk_.attempts().size())
                ++tally.false_saved;
            return;
        }
        // "In the folder" is only what a fresh reader can read there.
        const support::FakeClock clock;
        engine::BookOptions      options;
        options.read_only = true;
        const auto book   = engine::Book::open(at / "data/t.book", clock, options);
        REQUIRE_MESSAGE(book, (book ? "" : book.error().message));
        const std::uint64_t there = readable(at, share::device_folder(book->device()));
        if (book->published_seq() > there) ++tally.false_saved;
        if (ran.code == 0 && there < own_last(*book)) ++tally.false_saved;
    }

    static std::uint64_t own_last(const engine::Book& book)
    {
        for (const auto& machine : book.machines())
            if (machine.self) return machine.last_seq;
        return 0;
    }

    /// Last entry of a machine a fresh reader finds whole, with all its photos.
    static std::uint64_t readable(const fs::path& at, const std::string& devid)
    {
        auto folder = share::DiskFolder::open(at / "shared");
        REQUIRE(folder);
        const auto report = share::check_shared(*folder);
        if (!report || report->photos_missing > 0) return 0;
        for (const auto& machine : report->machines)
            if (machine.devid == devid) return machine.last_seq;
        return 0;
    }

    void judge_cured(const Case& one, const fs::path& at, const Ran& ran, CallTally& tally) const
    {
        const fs::path book = at / "data/t.book";
        tally.loss += next_start(desk_, book, one.fill ? trust::acks_in(ran.out) : acked_);
        const Ran cured = support::run(
            "exchange --book '" + book.string() + "' --shared '" + (at / "shared").string() + "'", at);
        const support::FakeClock clock;
        engine::BookOptions      options;
        options.read_only = true;
        const auto opened = engine::Book::open(book, clock, options);
        const bool whole  = opened && cured.code == 0 &&
                           readable(at, share::device_folder(opened->device())) == own_last(*opened) &&
                           opened->entries_of_machine(other_, 1, 10000).size() == other_last_ &&
                           engine::check_book(book)->whole;
        if (whole) return;
        ++tally.not_cured;
        MESSAGE("after the cure: " << cured.code << " " << cured.says);
    }

    static void told(const CallTally& before, const CallTally& now, const Case& one, const Ran& ran)
    {
        const auto bad = [](const CallTally& tally) {
            return tally.crashed + tally.mute + tally.false_saved + tally.not_cured + tally.loss.lost +
                   tally.loss.phantom + tally.loss.altered + tally.loss.not_whole + tally.loss.changed;
        };
        if (bad(before) == bad(now)) return;
        MESSAGE(std::string(one.fill ? "fill" : "exchange")
                << ": " << std::string(one.fault->name) << " at " << one.at << " for " << one.how_many
                << ", exit code " << ran.code << ": " << ran.says);
    }

    support::TempFolder     place_;
    Desk                    desk_;
    std::vector<trust::Ack> acked_;
    std::string             other_;
    std::uint64_t           other_last_ = 0;
};

std::vector<Case> all_cases(const Bench& bench)
{
    std::vector<Case> cases;
    for (const bool fill : {true, false})
        for (const Fault& fault : kFaults) {
            const long last = bench.calls_of(fill, fault.calls);
            for (long at = 1; at <= last; ++at) {
                cases.push_back({fill, &fault, at, 1});
                cases.push_back({fill, &fault, at, fault.with == EINTR ? kBurst : kForEver});
            }
        }
    return cases;
}

} // namespace

TEST_SUITE("trust row 4: calls that fail")
{
    TEST_CASE(
        "whichever call on a file fails, nothing is called saved that is not, and afterwards all goes on")
    {
        const Bench bench;
        auto        cases = all_cases(bench);
        const auto  all   = cases.size();
        std::shuffle(cases.begin(), cases.end(), std::mt19937(4));
        cases.resize(std::min(all, static_cast<std::size_t>(trust::size_of_run(20, 1'000'000))));
        CallTally tally;
        for (const Case& one : cases)
            (void)bench.carried_out(one, tally);
        MESSAGE("row 4 (seed 4): " << tally.cases << " of " << all << " cases, " << tally.failed
                                   << " felt the fault: crashed " << tally.crashed << ", no clear sentence "
                                   << tally.mute << ", false saved " << tally.false_saved << ", not cured "
                                   << tally.not_cured << ", " << tally.loss.text());
        CHECK(tally.failed > tally.cases / 2);
        CHECK(tally.crashed == 0);
        CHECK(tally.mute == 0);
        CHECK(tally.false_saved == 0);
        CHECK(tally.not_cured == 0);
        tally.loss.check();
    }
}
