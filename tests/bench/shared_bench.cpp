// The shared folder beside rsync and sha256sum.
#include "sync/check_shared.h"
#include "sync/disk_folder.h"
#include "sync/exchange.h"
#include "sync/head.h"

#include <openssl/evp.h>

#include <algorithm>
#include <fstream>
#include <map>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"
#include "tests/bench/history.h"
#include "tests/engine/book/jpeg.h"

namespace bench {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLines    = 40; ///< of a segment: 30 KB
constexpr int         kMachines = 10;
constexpr int         kRounds   = 3;

void put_file(const fs::path& file, std::span<const unsigned char> bytes)
{
    fs::create_directories(file.parent_path());
    std::ofstream out(file, std::ios::binary);
    out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    if (!out.flush()) give_up("cannot write " + file.string());
}

std::vector<std::string> put_photos(const fs::path& share, std::size_t count)
{
    std::vector<std::string> names;
    for (std::size_t i = 0; i < count; ++i) { // 200 to 400 KB of noise
        auto jpeg = picture(560 + static_cast<int>(i % 5) * 40, 560, static_cast<unsigned char>(i));
        // The noise repeats after 256 shades: a comment segment makes each its own.
        const std::string          number = std::to_string(100'000 + i);
        std::vector<unsigned char> note{0xff, 0xfe, 0x00, static_cast<unsigned char>(number.size() + 2)};
        note.insert(note.end(), number.begin(), number.end());
        jpeg.insert(jpeg.begin() + 2, note.begin(), note.end());
        names.push_back(engine::hex(engine::sha256(jpeg)));
        put_file(share / share::path_of(share::PhotoName{names.back()}), jpeg);
    }
    return names;
}

/// Lines of one machine that wait for a full segment.
using Waiting = std::map<std::string, std::vector<engine::Entry>>;

/// The segments of the finished lines, `left` at most.
void put_segments(const fs::path& share, Waiting& waiting, std::size_t& left)
{
    for (auto& [dev, entries] : waiting)
        while (entries.size() >= kLines && left > 0) {
            const std::vector<engine::Entry> now(entries.begin(), entries.begin() + kLines);
            const auto                       segment = share::cut_segment(now);
            put_file(share / share::path_of(share::device_folder(dev), segment.name), segment.bytes);
            entries.erase(entries.begin(), entries.begin() + kLines);
            --left;
        }
}

double bytes_below(const fs::path& folder, std::size_t& files)
{
    double bytes = 0;
    files        = 0;
    for (const auto& item : fs::recursive_directory_iterator(folder))
        if (item.is_regular_file()) {
            ++files;
            bytes += static_cast<double>(item.file_size());
        }
    return bytes;
}

std::string quoted(const fs::path& path)
{
    return "'" + path.string() + "'";
}

bool no_rsync(const std::string& row)
{
    if (has_program("rsync")) return false;
    std::printf("\n  !!! rsync IS NOT INSTALLED: \"%s\" IS NOT MEASURED (apt-get install rsync)\n",
                row.c_str());
    return true;
}

/// Every file of the folder through the very pieces of an exchange.
double publish_s(const fs::path& from, const fs::path& to, const engine::PhotoStore& photos)
{
    fs::create_directories(to);
    auto in  = share::DiskFolder::open(from);
    auto out = share::DiskFolder::open(to);
    if (!in || !out) give_up("the folders of the bench cannot be opened");
    const auto listing = share::list_folder(*in, "");
    if (!listing) give_up(listing.error().message);
    const auto start = Steady::now();
    const auto send  = [&](share::Work work) {
        work.devid      = "0123456789abcdef";
        const auto done = share::perform(work, *out);
        if (done.trouble || done.segment.state != share::State::ok) give_up("a file was not sent");
    };
    for (const auto& [sha256, copies] : listing->photos) {
        share::Work work;
        work.task   = share::Work::Task::send_photo;
        work.photo  = sha256;
        work.photos = photos;
        work.paths  = {share::path_of(copies.front())};
        send(std::move(work));
    }
    std::vector<std::string> paths;
    for (const auto& [devid, files] : listing->machines) {
        for (const auto& name : files.segments)
            paths.push_back(share::path_of(devid, name));
        for (const auto& name : files.heads)
            paths.push_back(share::path_of(devid, name));
    }
    if (listing->readme) paths.push_back(std::string(share::kRoot) + "/README.txt");
    for (const std::string& path : paths) {
        share::Work work;
        work.task  = share::Work::Task::send;
        work.paths = {path};
        auto bytes = in->read(path, share::kLargestSegment);
        if (!bytes) give_up(bytes.error().message);
        work.bytes = std::move(*bytes);
        send(std::move(work));
    }
    return ms_since(start) / 1000;
}

void exchange_or_give_up(engine::Book& book, const fs::path& share, const engine::Clock& clock)
{
    auto folder = share::DiskFolder::open(share);
    if (!folder) give_up(folder.error().message);
    const auto report = share::exchange(book, *folder, clock);
    if (!report) give_up(report.error().message);
}

double evp_rate(const std::vector<unsigned char>& bytes, int times)
{
    EVP_MD*                       method = EVP_MD_fetch(nullptr, "SHA256", nullptr);
    std::array<unsigned char, 32> hash{};
    const auto                    start = Steady::now();
    for (int i = 0; i < times; ++i)
        EVP_Digest(bytes.data(), bytes.size(), hash.data(), nullptr, method, nullptr);
    const double seconds = ms_since(start) / 1000;
    EVP_MD_free(method);
    return static_cast<double>(bytes.size()) * times / seconds / 1e6;
}

double our_hash_rate(const std::vector<unsigned char>& bytes, int times)
{
    const auto    start = Steady::now();
    unsigned char sum   = 0;
    for (int i = 0; i < times; ++i)
        sum = static_cast<unsigned char>(sum + engine::sha256(bytes)[0]);
    const double rate = static_cast<double>(bytes.size()) * times / (ms_since(start) / 1000) / 1e6;
    return sum == 1 ? rate + 0 : rate;
}

} // namespace

const fs::path& Ground::shared_folder()
{
    if (!shared_.empty()) return shared_;
    const fs::path share = folder / "shared";
    heading("a shared folder");
    const auto clock = engine::system_clock();
    History    history(demo_book(folder / "pattern.book", 2), kMachines, clock->now().wall_ms);
    history.use_photos(put_photos(share, photos));
    Waiting     waiting;
    std::size_t left = segments;
    while (left > 0) {
        auto  job        = history.next_job();
        auto& of_machine = waiting[job.front().dev];
        std::move(job.begin(), job.end(), std::back_inserter(of_machine));
        put_segments(share, waiting, left);
    }
    std::size_t  files = 0;
    const double bytes = bytes_below(share, files);
    tell("files", static_cast<double>(files), "");
    tell("bytes", bytes / 1e6, "MB");
    return shared_ = share;
}

const fs::path& Ground::reader_book()
{
    if (!reader_.empty()) return reader_;
    const fs::path file  = folder / "reader.book";
    const auto     clock = engine::system_clock();
    auto           book  = engine::Book::open(file, *clock, {.machine_name = "R-1"});
    if (!book) give_up(book.error().message);
    exchange_or_give_up(*book, shared_folder(), *clock);
    return reader_ = file;
}

bool publish_beside_rsync(Ground& ground)
{
    const fs::path& share = ground.shared_folder();
    const auto      jpeg  = picture(640, 560);
    double          evp = 0, ours = 0;
    for (int round = 0; round < kRounds; ++round) {
        evp  = std::max(evp, evp_rate(jpeg, 1000));
        ours = std::max(ours, our_hash_rate(jpeg, 1000));
    }
    heading("photo hashing (" + std::to_string(jpeg.size() / 1000) + " kB, best of 3)");
    tell("limit: EVP SHA-256", evp, "MB/s");
    bool good = show({"engine::sha256 / EVP", ours / evp, "x", 0.8, false});
    if (no_rsync("first publish beside rsync --fsync")) return good;
    heading("the folder written for the first time, synced and read back (median of 3)");
    const auto          clock = engine::system_clock();
    auto                book  = engine::Book::open(ground.reader_book(), *clock, {}, false);
    std::vector<double> rsync, published;
    if (!book) give_up(book.error().message);
    for (int round = 0; round < kRounds; ++round) {
        const fs::path a = ground.folder / "by_rsync", b = ground.folder / "by_us";
        rsync.push_back(seconds_of("rsync -a --fsync " + quoted(share / "") + " " + quoted(a / "")));
        published.push_back(publish_s(share, b, book->photos()));
        std::size_t there = 0, here = 0;
        (void)bytes_below(b, there);
        (void)bytes_below(share, here);
        if (there != here) give_up("not every file was published");
        fs::remove_all(a);
        fs::remove_all(b);
    }
    tell("limit: rsync -a --fsync", median(rsync), "s");
    tell("photos and segments sent, piece by piece", median(published), "s");
    good &= show({"publish / rsync -a --fsync", median(published) / median(rsync), "x", 1.5});
    return good;
}

bool nothing_to_do_beside_rsync(Ground& ground)
{
    if (no_rsync("an exchange with nothing to do")) return true;
    const fs::path& share = ground.shared_folder();
    const auto      clock = engine::system_clock();
    auto            book  = engine::Book::open(ground.reader_book(), *clock, {}, false);
    if (!book) give_up(book.error().message);
    exchange_or_give_up(*book, share, *clock); // sends what it witnessed
    heading("an exchange with nothing to do (median of 5)");
    const fs::path copy = ground.folder / "copy";
    (void)seconds_of("rsync -a " + quoted(share / "") + " " + quoted(copy / ""));
    std::vector<double> rsync, ours;
    for (int round = 0; round < 5; ++round) {
        rsync.push_back(seconds_of("rsync -a " + quoted(share / "") + " " + quoted(copy / "")));
        const auto start = Steady::now();
        exchange_or_give_up(*book, share, *clock);
        ours.push_back(ms_since(start) / 1000);
    }
    fs::remove_all(copy);
    tell("limit: rsync -a", median(rsync) * 1000, "ms");
    tell("exchange", median(ours) * 1000, "ms");
    return show({"exchange / rsync -a", median(ours) / median(rsync), "x", 3.0});
}

bool check_beside_sha256sum(Ground& ground)
{
    const fs::path& share = ground.shared_folder();
    heading("the folder proved (median of 3)");
    std::vector<double> sums, ours;
    double              verified = 0;
    for (int round = 0; round < kRounds; ++round) {
        sums.push_back(
            seconds_of("find " + quoted(share) + " -type f -print0 | xargs -0 sha256sum > /dev/null"));
        auto       folder = share::DiskFolder::open(share);
        const auto start  = Steady::now();
        const auto report = share::check_shared(*folder);
        ours.push_back(ms_since(start) / 1000);
        if (!report || !report->whole) give_up("the folder of the bench is not whole");
        verified = static_cast<double>(report->signatures);
    }
    const double signatures_s = verified / bare_verify_rate(750);
    tell("limit: sha256sum of every file", median(sums), "s");
    tell("limit: libsodium verify of every entry, one thread", signatures_s, "s");
    tell("check --shared", median(ours), "s");
    return show({"check / the larger limit", median(ours) / std::max(median(sums), signatures_s), "x", 1.3});
}

bool intake_memory(Ground& ground)
{
    const fs::path& share = ground.shared_folder();
    heading("memory while the whole folder is read into a new book");
    return apart([&] {
        const auto clock = engine::system_clock();
        auto       book  = engine::Book::open(ground.folder / "intake.book", *clock, {.machine_name = "R-2"});
        if (!book) give_up(book.error().message);
        const double idle  = resident().now_mb;
        const auto   start = Steady::now();
        exchange_or_give_up(*book, share, *clock);
        const double seconds = ms_since(start) / 1000;
        tell("entries read", static_cast<double>(book->size()), "");
        tell("entries a second, photos included", static_cast<double>(book->size()) / seconds, "1/s");
        return show({"highest resident over idle", resident().most_mb - idle, "MB", 64.0});
    });
}

} // namespace bench
