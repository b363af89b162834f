// What somebody waits for once: the first pass over a folder of years, and a pack for the auditor.
#include "engine/book/codec.h"
#include "sync/disk_folder.h"
#include "sync/exchange.h"
#include "sync/pack.h"

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <iterator>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/engine/book/jpeg.h"

namespace bench {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kEntries = 17'562, kPhotos = 2220; ///< a plant after some years
constexpr std::size_t kAtOnce     = 128;                 ///< entries of one transaction of an exchange
constexpr double      kPackBar_s  = 2.0;
constexpr int         kJobEntries = 40;

using Bytes = std::vector<unsigned char>;

Bytes bytes_in(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// Noise, each its own by a comment segment.
Bytes photo_of(std::size_t number)
{
    static const Bytes               noise = picture(320, 200);
    const std::string                text  = std::to_string(100'000 + number);
    Bytes                            photo = noise;
    const std::vector<unsigned char> head{0xff, 0xfe, 0x00, static_cast<unsigned char>(text.size() + 2)};
    photo.insert(photo.begin() + 2, text.begin(), text.end());
    photo.insert(photo.begin() + 2, head.begin(), head.end());
    return photo;
}

/// Written, synced, renamed and the folder synced, as a file must be that shall be there after a power cut.
void copy_surely(const fs::path& folder, int directory, const std::string& name, const Bytes& bytes)
{
    const fs::path part = folder / ("." + name);
    const int      fd   = ::open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (fd < 0 || ::write(fd, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()) ||
        ::fsync(fd) != 0 || ::close(fd) != 0 || ::rename(part.c_str(), (folder / name).c_str()) != 0 ||
        ::fsync(directory) != 0)
        give_up("a plain copy cannot be written to " + folder.string());
}

/// The lines as rows of a bare table, as many a transaction as an exchange takes, none of them synced: an
/// exchange does not either, for what is lost comes again.
void put_rows(const fs::path& file, const std::vector<std::string>& lines)
{
    sqlite3*      db   = nullptr;
    sqlite3_stmt* into = nullptr;
    if (sqlite3_open(file.c_str(), &db) != SQLITE_OK) give_up("sqlite cannot make a file");
    sqlite3_exec(db,
                 "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;"
                 "CREATE TABLE entry(id TEXT PRIMARY KEY, line TEXT)",
                 nullptr, nullptr, nullptr);
    sqlite3_prepare_v2(db, "INSERT INTO entry VALUES(?1, ?2)", -1, &into, nullptr);
    if (into == nullptr) give_up(sqlite3_errmsg(db));
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (i % kAtOnce == 0) sqlite3_exec(db, i == 0 ? "BEGIN" : "COMMIT; BEGIN", nullptr, nullptr, nullptr);
        const std::string id = engine::hex(engine::sha256(lines[i]));
        sqlite3_bind_text(into, 1, id.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(into, 2, lines[i].c_str(), -1, SQLITE_TRANSIENT);
        if (sqlite3_step(into) != SQLITE_DONE) give_up(sqlite3_errmsg(db));
        sqlite3_reset(into);
    }
    sqlite3_exec(db, "COMMIT", nullptr, nullptr, nullptr);
    sqlite3_finalize(into);
    sqlite3_close(db);
}

/// What a first pass cannot do without, each by itself, seconds.
struct Limits {
    double               read_s = 0, hash_s = 0, verify_s = 0, rows_s = 0, decode_s = 0, copy_s = 0;
    [[nodiscard]] double sum_s() const { return read_s + hash_s + verify_s + rows_s + decode_s + copy_s; }
};

double seconds_since(Steady::time_point start)
{
    return ms_since(start) / 1000;
}

void photo_limits(const std::vector<Bytes>& photos, const fs::path& folder, Limits& limits)
{
    auto start = Steady::now();
    for (const Bytes& photo : photos)
        if (!engine::inspect_jpeg(photo)) give_up("a good photo is refused");
    limits.decode_s = seconds_since(start);
    fs::create_directories(folder);
    const int directory = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    start               = Steady::now();
    for (std::size_t i = 0; i < photos.size(); ++i)
        copy_surely(folder, directory, std::to_string(i), photos[i]);
    limits.copy_s = seconds_since(start);
    ::close(directory);
    fs::remove_all(folder);
}

Limits limits_of(const fs::path& share, const fs::path& folder)
{
    Limits                   limits;
    std::vector<std::string> lines;
    std::vector<Bytes>       files, photos, segments;
    auto                     start = Steady::now();
    for (const auto& item : fs::recursive_directory_iterator(share)) {
        if (!item.is_regular_file()) continue;
        const bool photo = item.path().extension() == ".jpg", segment = item.path().extension() == ".jsonl";
        (photo ? photos : segment ? segments : files).push_back(bytes_in(item.path()));
    }
    limits.read_s     = seconds_since(start);
    start             = Steady::now();
    unsigned char sum = 0;
    for (const auto* group : {&photos, &segments, &files})
        for (const Bytes& file : *group)
            sum = static_cast<unsigned char>(sum + engine::sha256(file)[0]);
    limits.hash_s = seconds_since(start) + (sum == 1 ? 1e-9 : 0); // it is used, so it is worked out
    for (const Bytes& file : segments)
        for (auto at = file.begin(); at != file.end();) {
            const auto end = std::find(at, file.end(), '\n');
            lines.emplace_back(at, end);
            at = end == file.end() ? end : end + 1;
        }
    if (lines.empty() || photos.empty()) give_up("the folder of the first pass is empty");
    limits.verify_s = static_cast<double>(lines.size()) / bare_verify_rate(lines.back().size() - 129);
    start           = Steady::now();
    put_rows(folder / "rows.db", lines);
    limits.rows_s = seconds_since(start);
    photo_limits(photos, folder / "plain", limits);
    return limits;
}

std::string job_name(std::size_t number)
{
    return std::to_string(10'000 + number);
}

/// A machine that has worked alone for years: an eighth of its entries name a photo.
engine::Book machine_of_years(const fs::path& file, const engine::Clock& clock)
{
    auto book = engine::Book::open(file, clock, {.machine_name = "S-1"});
    if (!book) give_up(book.error().message);
    std::vector<engine::Draft> drafts;
    for (std::size_t i = 0, photos = 0; i < kEntries; ++i) {
        nlohmann::json body{{"ask", "serial"}, {"text", std::to_string(60'000 + i)}, {"via", "typed"}};
        const bool     photo = i * kPhotos / kEntries >= photos && photos < kPhotos;
        if (photo) {
            const auto kept = book->photos().keep(photo_of(photos++));
            if (!kept) give_up(kept.error().message);
            body = {{"ask", "seat"}, {"sha256", kept->sha256}, {"source", "camera"}};
        }
        drafts.push_back({"417",
                          photo ? engine::kind::photo : engine::kind::code,
                          job_name(i / kJobEntries),
                          "A",
                          "slide_on",
                          {},
                          std::make_shared<const nlohmann::json>(std::move(body))});
        if (drafts.size() < 500 && i + 1 < kEntries) continue;
        if (const auto done = book->append_all(drafts); !done) give_up(done.error().message);
        drafts.clear();
    }
    return std::move(*book);
}

struct Pass {
    share::Report report;
    double        seconds = 0, cpu_s = 0;
};
Pass one_pass(engine::Book& book, const fs::path& share, const engine::Clock& clock)
{
    auto folder = share::DiskFolder::open(share);
    if (!folder) give_up(folder.error().message);
    const auto   start  = Steady::now();
    const double cpu    = cpu_seconds();
    const auto   report = share::exchange(book, *folder, clock);
    if (!report || !report->finished) give_up("a first pass did not come to its end");
    return {*report, seconds_since(start), cpu_seconds() - cpu};
}

/// A book of so many entries of its own, in jobs of forty.
engine::Book book_of(const fs::path& file, std::size_t entries, const engine::Clock& clock)
{
    auto book = engine::Book::open(file, clock);
    if (!book) give_up(book.error().message);
    for (std::size_t i = 0; i * kJobEntries < entries; ++i) {
        std::vector<engine::Draft> drafts;
        for (int k = 0; k < kJobEntries; ++k)
            drafts.push_back(
                {"417",
                 engine::kind::code,
                 job_name(i),
                 "A",
                 "slide_on",
                 {},
                 std::make_shared<const nlohmann::json>(nlohmann::json{
                     {"ask", "serial"}, {"text", std::to_string(60'000 + k)}, {"via", "typed"}})});
        if (const auto kept = book->append_all(drafts); !kept) give_up(kept.error().message);
    }
    return std::move(*book);
}

double seconds_to_pack(engine::Book& book, const fs::path& out, const engine::Clock& clock,
                       std::size_t& packed)
{
    share::PackWish wish;
    for (std::size_t i = 0; (i + 1) * kJobEntries < book.size(); i += 5)
        wish.jobs.push_back(job_name(i));
    fs::create_directories(out);
    auto folder = share::DiskFolder::open(out);
    if (!folder) give_up(folder.error().message);
    const auto start = Steady::now();
    const auto made  = share::make_pack(book, wish, *folder, clock);
    if (!made || made->proofs != made->entries) give_up("the pack of the bench was not made");
    packed = made->entries;
    return seconds_since(start);
}

/// How the time grows with the size: the slope through the logarithms of both, least squares.
double exponent_of(const std::vector<double>& sizes, const std::vector<double>& times)
{
    double mean_x = 0, mean_y = 0, xy = 0, xx = 0;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        mean_x += std::log(sizes[i]) / static_cast<double>(sizes.size());
        mean_y += std::log(times[i]) / static_cast<double>(sizes.size());
    }
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        const double x = std::log(sizes[i]) - mean_x;
        xy += x * (std::log(times[i]) - mean_y);
        xx += x * x;
    }
    return xy / xx;
}

} // namespace

bool first_pass_beside_limits(const fs::path& folder)
{
    heading("first passes: a machine of 17 562 entries and 2 220 photos, and a new book that reads it");
    fs::create_directories(folder / "share");
    const auto   clock  = engine::system_clock();
    auto         source = machine_of_years(folder / "source.book", *clock);
    const Pass   sent   = one_pass(source, folder / "share", *clock);
    const Limits limits = limits_of(folder / "share", folder);
    auto         book   = engine::Book::open(folder / "new.book", *clock, {.machine_name = "R-3"});
    if (!book) give_up(book.error().message);
    const Pass read = one_pass(*book, folder / "share", *clock);
    if (read.report.entries_in < kEntries || read.report.photos_in != kPhotos)
        give_up("the first pass did not bring everything");
    tell("bytes of the folder", static_cast<double>(read.report.bytes_in) / 1e6, "MB");
    tell("limit: every file read", limits.read_s, "s");
    tell("limit: SHA-256 of every file", limits.hash_s, "s");
    tell("limit: libsodium verify of every entry, one thread", limits.verify_s, "s");
    tell("limit: the lines as rows of sqlite, 128 a transaction", limits.rows_s, "s");
    tell("limit: every photo decoded (is it one?)", limits.decode_s, "s");
    tell("limit: every photo copied and synced, with its folder", limits.copy_s, "s");
    tell("sum of the limits", limits.sum_s(), "s");
    tell("first pass that sends", sent.seconds, "s");
    tell("first pass that reads", read.seconds, "s");
    tell("of that, processor time", read.cpu_s, "s");
    fs::remove_all(folder);
    return show({"first pass that reads / sum of the limits", read.seconds / limits.sum_s(), "x", 1.5});
}

bool pack_growth(const fs::path& folder)
{
    heading("a fifth of the record packed, each entry proved (median of 3)");
    constexpr std::array<std::size_t, 4> kSizes{2'000, 8'000, 17'562, 35'000};
    const auto                           clock = engine::system_clock();
    std::vector<double>                  sizes, times;
    bool                                 good = true;
    for (const std::size_t size : kSizes) {
        const std::string   name   = "pack" + std::to_string(size);
        auto                book   = book_of(folder / (name + ".book"), size, *clock);
        std::size_t         packed = 0;
        std::vector<double> rounds;
        for (int round = 0; round < 3; ++round)
            rounds.push_back(
                seconds_to_pack(book, folder / (name + "-" + std::to_string(round)), *clock, packed));
        sizes.push_back(static_cast<double>(book.size()));
        times.push_back(median(rounds));
        const std::string what =
            "pack of " + std::to_string(packed) + " entries from " + std::to_string(book.size());
        if (size == 17'562)
            good &= show({what, times.back(), "s", kPackBar_s});
        else
            tell(what, times.back(), "s");
    }
    good &= show({"growth: time goes with the size to the power", exponent_of(sizes, times), "", 1.3});
    return good;
}

} // namespace bench
