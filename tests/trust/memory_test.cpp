// Row 5 of the plan: memory runs out at any allocation, once or for good. No exception leaves a header,
// nothing crashes, nothing acknowledged is lost, and with memory again the work goes on. Each case is a
// process of its own that tells over a pipe what it does and what was acknowledged.
#include "engine/procedure/workbench.h"
#include "sync/check_shared.h"
#include "sync/disk_folder.h"

#include <sys/wait.h>
#include <unistd.h>

#include <random>
#include <sstream>

#include "tests/sync/plant.h"
#include "tests/trust/scarce_memory.h"
#include "tests/trust/sizes.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs     = std::filesystem;
namespace memory = trust::memory;

namespace {

constexpr int kEscaped = 3; ///< exit code: an exception left a header
constexpr int kStuck   = 4; ///< with memory again it did not go on

/// Tells the parent without allocating.
class Wire {
  public:
    explicit Wire(int fd) : fd_(fd) {}
    void tell(const char* what, const char* name) const
    {
        put(what);
        put(name);
        put("\n");
    }

  private:
    void put(const char* text) const
    {
        const ssize_t sent = ::write(fd_, text, std::strlen(text));
        (void)sent;
    }
    int fd_;
};

/// Calls one function of a header with memory as scarce as it was ordered.
template <class Call> auto watched(const Wire& wire, const char* name, Call&& call)
{
    wire.tell("calls ", name);
    try {
        memory::go_on();
        auto what = call();
        memory::pause();
        return what;
    } catch (...) {
        memory::pause();
        wire.tell("escaped ", name);
        ::_exit(kEscaped);
    }
}

Draft word(int value)
{
    return {"417",
            kind::reading,
            "2219",
            "A",
            "seat",
            {},
            std::make_shared<const nlohmann::json>(nlohmann::json{{"ask", "seat"}, {"value", value}})};
}

BookOptions options_of_book()
{
    BookOptions options;
    options.machine_name = "T-01";
    options.seed.emplace();
    options.seed->fill(1);
    return options;
}

/// Everything a machine does in a day, each call allowed to fail.
class Day {
  public:
    Day(const fs::path& place, const Wire& wire) : place_(place), wire_(wire) {}

    /// What does not work is left for `again`.
    void live()
    {
        if (!open()) return;
        for (int n = 0; n < 3; ++n)
            say(word(n));
        const auto jpeg  = support::numbered_jpeg(1);
        const auto photo = watched(wire_, "PhotoStore::keep", [&] { return book_->photos().keep(jpeg); });
        if (photo) {
            Draft draft = word(9);
            draft.kind  = kind::photo;
            draft.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"sha256", photo->sha256}});
            say(draft);
        }
        exchange();
        (void)watched(wire_, "Book::entries_of_job", [&] { return book_->entries_of_job("2219"); });
        (void)watched(wire_, "Book::catalogue", [&] { return book_->catalogue().jobs.size(); });
        (void)watched(wire_, "Book::machines", [&] { return book_->machines(); });
        (void)watched(wire_, "check_book", [&] { return check_book(place_ / "t.book"); });
        say(word(7));
    }

    /// With memory again: all of it must work, in the same process.
    [[nodiscard]] bool again()
    {
        if (!book_ && !open()) return false;
        if (!say(word(50))) return false;
        if (!exchange()) return false;
        return say(word(51));
    }

  private:
    bool open()
    {
        auto opened = watched(wire_, "Book::open",
                              [&] { return Book::open(place_ / "t.book", clock_, options_of_book()); });
        if (!opened) return false;
        book_.emplace(*std::move(opened));
        return true;
    }
    bool say(const Draft& draft)
    {
        clock_.advance(1000);
        const auto kept = watched(wire_, "Book::append", [&] { return book_->append(draft); });
        if (kept) wire_.tell("kept ", kept->id.c_str());
        return kept.has_value();
    }
    bool exchange()
    {
        auto folder =
            watched(wire_, "DiskFolder::open", [&] { return share::DiskFolder::open(place_ / "shared"); });
        if (!folder) return false;
        const auto report =
            watched(wire_, "exchange", [&] { return share::exchange(*book_, *folder, clock_); });
        return report.has_value();
    }

    fs::path            place_;
    Wire                wire_;
    FakeClock           clock_;
    std::optional<Book> book_;
};

struct Tally {
    int cases = 0, felt = 0, crashed = 0, escaped = 0, stuck = 0, lost = 0, phantom = 0, not_whole = 0;
    std::string       worst; ///< call of the last bad case
    [[nodiscard]] int bad() const { return crashed + escaped + stuck + lost + phantom + not_whole; }
};

/// Another machine's record lies in the shared folder.
void prepare(const fs::path& place)
{
    fs::create_directories(place / "shared");
    const TempFolder elsewhere;
    const FakeClock  clock;
    Machine          other(elsewhere, clock, 2);
    for (int i = 0; i < 3; ++i)
        other.read("2219", 500 + i);
    (void)other.photo("2219", 77);
    auto folder = share::DiskFolder::open(place / "shared");
    REQUIRE(folder);
    (void)other.exchange(*folder, clock);
}

/// One life in a process of its own; what it told.
std::pair<std::string, int> told_by(const fs::path& place, std::size_t at, bool for_ever)
{
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        const Wire wire(pipe[1]);
        Day        day(place, wire);
        memory::scarce(at, for_ever);
        day.live();
        const bool  felt  = memory::was_felt();
        std::string count = std::to_string(memory::enough());
        wire.tell(felt ? "felt " : "unfelt ", count.c_str());
        ::_exit(day.again() ? 0 : kStuck);
    }
    ::close(pipe[1]);
    std::string            said;
    std::array<char, 4096> some{};
    for (ssize_t got = 0; (got = ::read(pipe[0], some.data(), some.size())) > 0;)
        said.append(some.data(), static_cast<std::size_t>(got));
    ::close(pipe[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    return {said, status};
}

/// What the next start finds of what was acknowledged.
void judge_book(const fs::path& place, const std::vector<std::string>& acked, Tally& tally)
{
    const FakeClock clock;
    const auto      book = Book::open(place / "t.book", clock, options_of_book());
    if (!book) {
        tally.lost += static_cast<int>(acked.size()) + 1;
        return;
    }
    for (const std::string& id : acked)
        if (!book->entry(id)) ++tally.lost;
    std::size_t own = 0;
    for (const char* kind : {kind::reading, kind::photo})
        for (const Entry& entry : book->entries_of_kind(kind))
            own += entry.dev == book->device() ? 1 : 0;
    if (own > acked.size() + 1) ++tally.phantom;
    const auto report = check_book(place / "t.book");
    if (!report || !report->whole) ++tally.not_whole;
    if (!book->forks().empty()) ++tally.phantom;
}

std::size_t one_case(const fs::path& prepared, std::size_t at, bool for_ever, Tally& tally)
{
    const TempFolder folder;
    fs::copy(prepared, folder.path(), fs::copy_options::recursive);
    const auto [said, status] = told_by(folder.path(), at, for_ever);
    std::vector<std::string> acked;
    std::size_t              count = 0;
    std::string              call;
    const Tally              before = tally;
    std::istringstream       lines(said);
    for (std::string word, what; lines >> word && std::getline(lines >> std::ws, what);) {
        if (word == "kept") acked.push_back(what);
        if (word == "calls") call = what;
        if (word == "felt" || word == "unfelt") count = std::stoul(what);
        if (word == "felt") ++tally.felt;
    }
    ++tally.cases;
    if (WIFSIGNALED(status) || (WIFEXITED(status) && WEXITSTATUS(status) != 0 &&
                                WEXITSTATUS(status) != kEscaped && WEXITSTATUS(status) != kStuck))
        ++tally.crashed;
    else if (WEXITSTATUS(status) == kEscaped)
        ++tally.escaped;
    else if (WEXITSTATUS(status) == kStuck)
        ++tally.stuck;
    judge_book(folder.path(), acked, tally);
    if (tally.bad() > before.bad())
        MESSAGE("allocation " << at << (for_ever ? " and all after it" : "") << ": in " << call << ", status "
                              << status << ", lost " << tally.lost - before.lost);
    return count;
}

} // namespace

TEST_SUITE("trust row 5: memory")
{
    TEST_CASE("whichever allocation fails, nothing crashes, nothing acknowledged is lost, and work goes on")
    {
        memory::watch_libraries();
        const TempFolder prepared;
        prepare(prepared.path());
        Tally             tally;
        const std::size_t all = one_case(prepared.path(), 0, false, tally);
        REQUIRE(all > 1000);
        CHECK(tally.bad() == 0);
        const int    wanted = trust::size_of_run(40, 1'000'000);
        const auto   step   = std::max<std::size_t>(1, 2 * all / static_cast<std::size_t>(wanted));
        std::mt19937 random(5);
        for (const bool for_ever : {false, true})
            for (std::size_t at = 1; at <= all; at += step)
                (void)one_case(prepared.path(), at + (step > 1 ? random() % step : 0), for_ever, tally);
        MESSAGE("row 5 (seed 5): " << all << " allocations, " << tally.cases << " cases, " << tally.felt
                                   << " felt it to the end: crashed " << tally.crashed << ", exceptions "
                                   << tally.escaped << ", stuck " << tally.stuck
                                   << ", lost/phantom = " << tally.lost << "/" << tally.phantom
                                   << ", books not whole " << tally.not_whole);
        CHECK(tally.felt > tally.cases / 2);
        CHECK(tally.crashed == 0);
        CHECK(tally.escaped == 0);
        CHECK(tally.stuck == 0);
        CHECK(tally.lost == 0);
        CHECK(tally.phantom == 0);
        CHECK(tally.not_whole == 0);
    }
}
