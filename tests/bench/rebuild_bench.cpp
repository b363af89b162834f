// The index of a book made anew from the lines beside it.
#include "engine/book/book.h"

#include <sqlite3.h>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"
#include "tests/bench/history.h"

namespace bench {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kEntries = 20'000;
constexpr int         kRounds  = 3;

/// The same rows and the same indices by sqlite alone, in one transaction; seconds.
double bare_insert_s(const fs::path& book, const fs::path& into)
{
    sqlite3* db = nullptr;
    if (sqlite3_open(into.c_str(), &db) != SQLITE_OK) give_up("sqlite cannot make " + into.string());
    const auto run = [db](const std::string& sql) {
        if (sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
            give_up(sqlite3_errmsg(db));
    };
    run("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA cache_size=-16384;");
    run("ATTACH '" + book.string() + "' AS old");
    // The book's own tables and indices, as it made them.
    std::vector<std::string> makes, fills;
    sqlite3_stmt*            schema = nullptr;
    sqlite3_prepare_v2(db, "SELECT type, name, sql FROM old.sqlite_master WHERE sql IS NOT NULL", -1, &schema,
                       nullptr);
    while (sqlite3_step(schema) == SQLITE_ROW) {
        const auto text = [schema](int column) {
            return std::string(reinterpret_cast<const char*>(sqlite3_column_text(schema, column)));
        };
        makes.push_back(text(2));
        if (text(0) == "table")
            fills.push_back("INSERT INTO main." + text(1) + " SELECT * FROM old." + text(1));
    }
    sqlite3_finalize(schema);
    if (fills.empty()) give_up("the book's tables are not there");
    for (const std::string& make : makes)
        run(make);
    const auto start = Steady::now();
    run("BEGIN");
    for (const std::string& fill : fills)
        run(fill);
    run("COMMIT");
    const double seconds = ms_since(start) / 1000;
    sqlite3_close(db);
    return seconds;
}

/// All lines of the book opened as a rebuild opens them, and nothing else; seconds.
double verify_s(const fs::path& file, const engine::Clock& clock)
{
    auto book = engine::Book::open(file, clock, {.read_only = true}, false);
    if (!book) give_up(book.error().message);
    const auto                    entries = book->entries_of_machine(book->device(), 1, 10 * kEntries);
    std::vector<std::string_view> lines;
    for (const engine::Entry& entry : entries)
        lines.emplace_back(entry.line);
    const auto start  = Steady::now();
    const auto opened = engine::open_lines(lines);
    const auto took   = ms_since(start) / 1000;
    if (opened.size() != entries.size() || !opened.back()) give_up("lines of the book do not open");
    return took;
}

} // namespace

bool rebuild_beside_sqlite(Ground& ground)
{
    heading("the index made anew from 20 000 own lines (median of 3)");
    const auto     clock = engine::system_clock();
    const fs::path file  = ground.folder / "rebuilt.book";
    {
        History history(demo_book(ground.folder / "lines.book", 2), 1, clock->now().wall_ms);
        auto    book = engine::Book::open(file, *clock, {.machine_name = "T-08"});
        if (!book) give_up(book.error().message);
        while (book->size() < kEntries) {
            std::vector<engine::Draft> drafts;
            for (const engine::Entry& entry : history.next_job())
                if (entry.said.kind != engine::kind::genesis) drafts.push_back(entry.said);
            if (const auto kept = book->append_all(drafts); !kept) give_up(kept.error().message);
        }
    }
    std::vector<double> bare, verified, ours;
    for (int round = 0; round < kRounds; ++round) {
        bare.push_back(bare_insert_s(file, ground.folder / ("bare" + std::to_string(round) + ".sqlite")));
        verified.push_back(verify_s(file, *clock));
        for (const char* ending : {"", "-wal", "-shm"})
            fs::remove(file.string() + ending);
        const auto start = Steady::now();
        const auto book  = engine::Book::open(file, *clock, {.machine_name = "T-08"}, true);
        ours.push_back(ms_since(start) / 1000);
        if (!book || book->size() < kEntries) give_up("the book was not made anew");
    }
    tell("limit: sqlite, the same tables and indices in one transaction", kEntries / median(bare), "1/s");
    tell("rebuilt, lines verified", kEntries / median(ours), "1/s");
    tell("the same lines only verified: canonical, hash, signature", kEntries / median(verified), "1/s");
    return show({"rebuild without verifying / bulk insert",
                 median(bare) / std::max(median(ours) - median(verified), 1e-9), "x", 0.5, false});
}

} // namespace bench
