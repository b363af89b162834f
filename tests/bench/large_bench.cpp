// A book of years: start, and one serial number in it.
#include "engine/base/files.h"
#include "engine/evidence/trace_query.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"
#include "tests/bench/history.h"

namespace bench {
namespace {

namespace fs = std::filesystem;

constexpr int    kMachines = 8;
constexpr int    kStarts   = 3;
constexpr double kStart_s  = 1.0;
constexpr int    kLooks    = 200;

/// Out of the memory of the system, so that the disk is read as after a cold start.
void forget(const fs::path& file)
{
    for (const char* ending : {"", "-wal", "-shm"}) {
        const int fd = ::open((file.string() + ending).c_str(), O_RDONLY | O_CLOEXEC);
        if (fd < 0) continue;
        ::fsync(fd);
        ::posix_fadvise(fd, 0, 0, POSIX_FADV_DONTNEED);
        ::close(fd);
    }
}

struct Start {
    double opened_s = 0, listed_s = 0, usable_s = 0, memory_mb = 0;
};

Start one_start(const fs::path& file)
{
    Start      found;
    const auto clock = engine::system_clock();
    forget(file);
    auto start = Steady::now();
    {
        auto book = engine::Book::open(file, *clock, {}, false);
        if (!book) give_up(book.error().message);
        found.opened_s = ms_since(start) / 1000;
        if (book->catalogue().jobs.empty()) give_up("the large book lists no job");
        found.listed_s = ms_since(start) / 1000;
    }
    forget(file);
    start = Steady::now();
    Glass glass(file, true);
    glass.frame();
    if (glass.app().ledger().target("job.2219") == nullptr) give_up("the first frame shows no job");
    found.usable_s  = ms_since(start) / 1000;
    found.memory_mb = resident().now_mb;
    return found;
}

/// Lines of one job by serial, by sqlite alone: two tables, two look-ups.
class BareTrace {
  public:
    explicit BareTrace(const fs::path& book)
    {
        if (sqlite3_open_v2(book.c_str(), &db_, SQLITE_OPEN_READONLY, nullptr) != SQLITE_OK)
            give_up("sqlite cannot open the large book");
        sqlite3_exec(db_, "PRAGMA cache_size=-262144", nullptr, nullptr, nullptr);
        sqlite3_prepare_v2(db_, "SELECT line FROM entry WHERE job IN (SELECT job FROM named WHERE text = ?1)",
                           -1, &query_, nullptr);
        if (query_ == nullptr) give_up(sqlite3_errmsg(db_));
    }
    BareTrace(const BareTrace&)            = delete;
    BareTrace& operator=(const BareTrace&) = delete;
    ~BareTrace()
    {
        sqlite3_finalize(query_);
        sqlite3_close(db_);
    }
    std::size_t rows(const std::string& serial)
    {
        std::size_t found = 0;
        sqlite3_bind_text(query_, 1, serial.c_str(), -1, SQLITE_TRANSIENT);
        while (sqlite3_step(query_) == SQLITE_ROW)
            found += sqlite3_column_bytes(query_, 0) > 0 ? 1U : 0U;
        sqlite3_reset(query_);
        return found;
    }

  private:
    sqlite3*      db_    = nullptr;
    sqlite3_stmt* query_ = nullptr;
};

} // namespace

const fs::path& Ground::large_book()
{
    if (!large_.empty()) return large_;
    heading("a book of " + std::to_string(entries) + " entries of " + std::to_string(kMachines) +
            " machines");
    const auto file  = demo_book(folder / "large.book", 2);
    const auto clock = engine::system_clock();
    History    history(file, kMachines, clock->now().wall_ms);
    auto       book = engine::Book::open(file, *clock, {}, false);
    if (!book) give_up(book.error().message);
    const auto start = Steady::now();
    const auto begun = book->size();
    while (book->size() < entries) {
        std::vector<engine::Entry> batch; // some jobs a transaction: sealed here, so not verified again
        for (int i = 0; i < 3 * kMachines; ++i) {
            auto job = history.next_job();
            std::move(job.begin(), job.end(), std::back_inserter(batch));
        }
        if (const auto taken = book->take_in(batch); !taken) give_up(taken.error().message);
    }
    tell("entries", static_cast<double>(book->size()), "");
    tell("jobs", history.jobs(), "");
    tell("sealed and taken in", static_cast<double>(book->size() - begun) / ms_since(start) * 1000, "1/s");
    tell("size of the file", static_cast<double>(fs::file_size(file)) / 1e6, "MB");
    jobs_         = history.jobs();
    return large_ = file;
}

bool cold_start(Ground& ground)
{
    const fs::path& file = ground.large_book();
    heading("start with it, its pages not in memory (median of 3)");
    return apart([&] {
        std::vector<double> opened, listed, usable;
        double              memory = 0;
        for (int i = 0; i < kStarts; ++i) {
            const Start found = one_start(file);
            opened.push_back(found.opened_s);
            listed.push_back(found.listed_s);
            usable.push_back(found.usable_s);
            memory = found.memory_mb;
        }
        tell("Book::open", median(opened), "s");
        tell("Book::open and catalogue", median(listed), "s");
        tell("resident after the first frame", memory, "MB");
        return show({"start to first usable frame, 1280x800 by the CPU", median(usable), "s", kStart_s});
    });
}

bool trace_beside_sqlite(Ground& ground)
{
    const fs::path& file = ground.large_book();
    heading("the life line of one serial number in it (200 looks, warm)");
    const auto clock     = engine::system_clock();
    auto       procedure = engine::load_procedure(engine::assets_folder() / "procedure");
    auto       book      = engine::Book::open(file, *clock, {}, false);
    if (!book || !procedure) give_up("the large book cannot be opened");
    const engine::Workbench bench(*book, *procedure, *clock);
    BareTrace               bare(file);
    std::vector<double>     raw, found, apart, whole;
    std::size_t             rows = 0;
    (void)book->catalogue();
    for (int i = 0; i < kLooks; ++i) {
        const std::string serial =
            History::serial_of(static_cast<int>(std::int64_t{i} * 7919 % std::max(ground.jobs(), 1)));
        (void)bare.rows(serial); // each has looked once, so that neither waits for the disk
        for (const std::string& job : book->jobs_naming(serial))
            (void)book->lines_of_job(job);
        auto start = Steady::now();
        rows       = bare.rows(serial);
        raw.push_back(ms_since(start));
        start = Steady::now();
        for (const std::string& job : book->jobs_naming(serial))
            if (book->lines_of_job(job).empty()) give_up("a job was not found");
        found.push_back(ms_since(start));
        start = Steady::now();
        for (const std::string& job : book->jobs_naming(serial))
            if (book->entries_of_job(job).empty()) give_up("a job was not found");
        apart.push_back(ms_since(start));
        start           = Steady::now();
        const auto life = engine::life_line(bench, {engine::TraceKey::By::serial, serial});
        whole.push_back(ms_since(start));
        if (!life || rows == 0) give_up("serial number " + serial + " was not found");
    }
    tell("rows of the job", static_cast<double>(rows), "");
    tell("limit: sqlite, serial to lines, p50", spread_of(raw).p50_ms, "ms");
    tell("limit: sqlite, serial to lines, p99", spread_of(raw).p99_ms, "ms");
    tell("Book: serial to lines in shown order, p50", spread_of(found).p50_ms, "ms");
    tell("Book: serial to lines in shown order, p99", spread_of(found).p99_ms, "ms");
    tell("the same, each hashed and its form judged, p50", spread_of(apart).p50_ms, "ms");
    tell("the same, each hashed and its form judged, p99", spread_of(apart).p99_ms, "ms");
    tell("life line with progress and every signature, p50", spread_of(whole).p50_ms, "ms");
    bool good = show(
        {"lines in shown order / sqlite, p99", spread_of(found).p99_ms / spread_of(raw).p99_ms, "x", 3.0});
    good &= show({"life line with progress and every signature, p99", spread_of(whole).p99_ms, "ms", 50.0});
    return good;
}

} // namespace bench
