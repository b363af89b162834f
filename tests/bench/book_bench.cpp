// Book::append beside what it cannot be faster than: one durable sqlite row and one signature.
#include "engine/book/book.h"

#include <nlohmann/json.hpp>
#include <sodium.h>
#include <sqlite3.h>

#include <array>
#include <string>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"

namespace bench {
namespace {

constexpr int kRounds = 3;
constexpr int kRows   = 1500; ///< a round
// FORMAT.md: a reading with all rule 8 asks for is 600 to 900 bytes; the limit gets a middle one.
constexpr std::size_t kLineBytes = 750;
// sqlite + signature + canonical bytes and hash; set from the limit measured with a throwaway program.
constexpr double kAppendBar = 1.35;

/// As the book's own file: write-ahead log, a sync at every commit, two B-trees.
class RawTable {
  public:
    explicit RawTable(const std::filesystem::path& file)
    {
        sqlite3* opened = nullptr;
        if (sqlite3_open(file.c_str(), &opened) != SQLITE_OK) give_up("sqlite cannot make " + file.string());
        db_ = opened;
        run("PRAGMA journal_mode=WAL");
        run("PRAGMA synchronous=FULL");
        run("CREATE TABLE line(id TEXT PRIMARY KEY, body TEXT) WITHOUT ROWID");
        run("CREATE TABLE seq(n INTEGER PRIMARY KEY, id TEXT)");
        sqlite3_prepare_v2(db_, "INSERT INTO line VALUES(?,?)", -1, &line_, nullptr);
        sqlite3_prepare_v2(db_, "INSERT INTO seq VALUES(?,?)", -1, &seq_, nullptr);
    }
    RawTable(const RawTable&)            = delete;
    RawTable& operator=(const RawTable&) = delete;
    ~RawTable()
    {
        sqlite3_finalize(line_);
        sqlite3_finalize(seq_);
        sqlite3_close(db_);
    }

    void insert(const std::string& id, const std::string& body)
    {
        run("BEGIN IMMEDIATE");
        sqlite3_bind_text(line_, 1, id.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(line_, 2, body.c_str(), -1, SQLITE_TRANSIENT);
        step(line_);
        sqlite3_bind_int64(seq_, 1, ++count_);
        sqlite3_bind_text(seq_, 2, id.c_str(), -1, SQLITE_TRANSIENT);
        step(seq_);
        run("COMMIT");
    }

  private:
    void run(const char* sql)
    {
        if (sqlite3_exec(db_, sql, nullptr, nullptr, nullptr) != SQLITE_OK) give_up(sqlite3_errmsg(db_));
    }
    void step(sqlite3_stmt* statement)
    {
        if (sqlite3_step(statement) != SQLITE_DONE) give_up(sqlite3_errmsg(db_));
        sqlite3_reset(statement);
    }

    sqlite3*      db_    = nullptr;
    sqlite3_stmt* line_  = nullptr;
    sqlite3_stmt* seq_   = nullptr;
    std::int64_t  count_ = 0;
};

Spread raw_round(const std::filesystem::path& file)
{
    RawTable            table(file);
    std::string         body(kLineBytes, 'x');
    std::vector<double> times;
    for (int i = 0; i < kRows; ++i) {
        std::array<unsigned char, 32> id{};
        randombytes_buf(id.data(), id.size());
        std::string hex(65, '\0');
        sodium_bin2hex(hex.data(), hex.size(), id.data(), id.size());
        hex.pop_back();
        const auto start = Steady::now();
        table.insert(hex, body);
        times.push_back(ms_since(start));
    }
    return spread_of(std::move(times));
}

double sign_ms()
{
    std::array<unsigned char, crypto_sign_PUBLICKEYBYTES> open{};
    std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret{};
    crypto_sign_keypair(open.data(), secret.data());
    const std::string                            message(kLineBytes, 'x');
    std::array<unsigned char, crypto_sign_BYTES> signature{};
    std::vector<double>                          times;
    for (int i = 0; i < 2000; ++i) {
        const auto start = Steady::now();
        crypto_sign_detached(signature.data(), nullptr,
                             reinterpret_cast<const unsigned char*>(message.data()), message.size(),
                             secret.data());
        times.push_back(ms_since(start));
    }
    return median(std::move(times));
}

engine::Draft reading(int number)
{
    nlohmann::json body{{"ask", "diameter"},
                        {"slot", "I.across"},
                        {"text", "49.987"},
                        {"unit", "mm"},
                        {"value_nm", 49'987'000 + number},
                        {"tool", "MIC-04"},
                        {"verdict", "inside"},
                        {"u_nm", 2100},
                        {"low_nm", 49'961'000},
                        {"high_nm", 50'000'000},
                        {"limits_from", "sheet SLW-P50-12 revision 3"}};
    return {"112",
            engine::kind::reading,
            "2219",
            "A",
            "seat",
            {},
            std::make_shared<const nlohmann::json>(std::move(body))};
}

Spread append_round(const std::filesystem::path& file)
{
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(file, *clock);
    if (!book) give_up(book.error().message);
    std::vector<double> times;
    for (int i = 0; i < kRows; ++i) {
        const engine::Draft draft = reading(i);
        const auto          start = Steady::now();
        const auto          kept  = book->append(draft);
        times.push_back(ms_since(start));
        if (!kept) give_up(kept.error().message);
    }
    return spread_of(std::move(times));
}

} // namespace

bool append_beside_sqlite(const std::filesystem::path& folder)
{
    heading("one entry, durable (median of 3 rounds of 1500)");
    if (sodium_init() < 0) give_up("libsodium does not start");
    std::vector<Spread> raw, book;
    std::vector<double> signs;
    for (int round = 0; round < kRounds; ++round) { // in turn: both see the same neighbours on the disk
        const std::string number = std::to_string(round);
        raw.push_back(raw_round(folder / ("raw" + number + ".sqlite")));
        book.push_back(append_round(folder / ("append" + number + ".book")));
        signs.push_back(sign_ms());
    }
    const Spread limit = median_of(raw), ours = median_of(book);
    const double sign = median(signs);
    tell("limit: sqlite insert, WAL and FULL, p50", limit.p50_ms, "ms");
    tell("limit: sqlite insert, WAL and FULL, p99", limit.p99_ms, "ms");
    tell("limit: libsodium signature, p50", sign, "ms");
    tell("Book::append p50", ours.p50_ms, "ms");
    tell("Book::append p99", ours.p99_ms, "ms");
    tell("Book::append p99 / sqlite p99", ours.p99_ms / limit.p99_ms, "x");
    return show({"Book::append p50 / (sqlite p50 + signature)", ours.p50_ms / (limit.p50_ms + sign), "x",
                 kAppendBar});
}

} // namespace bench
