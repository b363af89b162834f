// Another machine's lines and a photo's bytes, beside the bare library and the bare disk.
#include "engine/book/book.h"
#include "engine/book/codec.h"

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sodium.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <future>
#include <span>
#include <string>
#include <string_view>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/engine/book/jpeg.h"

namespace bench {
namespace {

constexpr int kRounds = 9;
constexpr int kLines  = 4000;
constexpr int kBatch  = 512; ///< lines of a segment
constexpr int kPhotos = 30;

std::vector<std::string> lines_of_another(const std::filesystem::path& file)
{
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(file, *clock);
    if (!book) give_up(book.error().message);
    std::vector<engine::Draft> drafts;
    for (int i = 0; i < kLines; ++i)
        drafts.push_back(
            {"112",
             engine::kind::code,
             "2219",
             "A",
             "slide_on",
             {},
             std::make_shared<const nlohmann::json>(nlohmann::json{{"ask", "serial"},
                                                                   {"text", std::to_string(60000 + i)},
                                                                   {"via", "typed"},
                                                                   {"note", std::string(200, 'n')}})});
    if (const auto kept = book->append_all(drafts); !kept) give_up(kept.error().message);
    std::vector<std::string> lines;
    for (const auto& entry : book->entries_of_machine(book->device(), 1, kLines + 1))
        lines.push_back(entry.line);
    return lines;
}

double take_in_rate(const std::filesystem::path& file, const std::vector<std::string>& lines,
                    unsigned threads)
{
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(file, *clock);
    if (!book) give_up(book.error().message);
    const std::vector<std::string_view> all(lines.begin(), lines.end());
    const auto                          start = Steady::now();
    for (std::size_t i = 0; i < lines.size(); i += kBatch) {
        std::vector<engine::Entry> batch;
        for (auto& entry : engine::open_lines(
                 std::span(all).subspan(i, std::min<std::size_t>(kBatch, all.size() - i)), threads)) {
            if (!entry) give_up(entry.error().message);
            batch.push_back(std::move(*entry));
        }
        if (const auto taken = book->take_in(batch); !taken) give_up(taken.error().message);
    }
    return static_cast<double>(lines.size()) / ms_since(start) * 1000;
}

void put(const std::filesystem::path& file, std::span<const unsigned char> bytes)
{
    const int fd = ::open(file.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (fd < 0 || ::write(fd, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()) ||
        ::fsync(fd) != 0)
        give_up("a plain copy cannot be written to " + file.string());
    ::close(fd);
}

} // namespace

bool take_in_beside_sodium(const std::filesystem::path& folder)
{
    heading("another machine's entries, verified and taken in (median of 9 rounds of 4000)");
    const auto          lines = lines_of_another(folder / "other.book");
    std::vector<double> bare, both, one, two, to_bare, to_one;
    for (int round = 0; round < kRounds; ++round) { // in turn: all of a round see the same neighbours
        const std::string number  = std::to_string(round);
        const std::size_t message = lines.back().size() - 2UL * crypto_sign_BYTES - 1;
        bare.push_back(bare_verify_rate(message));
        auto beside = std::async(std::launch::async, bare_verify_rate, message);
        both.push_back(bare_verify_rate(message) + beside.get());
        one.push_back(take_in_rate(folder / ("one" + number + ".book"), lines, 1));
        two.push_back(take_in_rate(folder / ("two" + number + ".book"), lines, 2));
        to_bare.push_back(one.back() / bare.back());
        to_one.push_back(two.back() / one.back());
    }
    tell("line length", static_cast<double>(lines.back().size()), "bytes");
    tell("limit: libsodium verify, one thread", median(bare), "1/s");
    // What the machine itself gives a second thread: two of its cores may be halves of one.
    tell("limit: libsodium verify, two threads / one", median(both) / median(bare), "x");
    tell("open_lines and Book::take_in, one thread", median(one), "1/s");
    tell("open_lines by two threads and Book::take_in", median(two), "1/s");
    bool good = show({"taking in / bare verify", median(to_bare), "x", 0.70, false});
    good &= show({"two threads / one", median(to_one), "x", 1.5, false});
    return good;
}

bool photo_beside_copy(const std::filesystem::path& folder)
{
    heading("a photo kept: whole-picture check, hash, synced, renamed (30 photos, 1280x720)");
    std::vector<std::vector<unsigned char>> photos;
    for (int i = 0; i < kPhotos; ++i)
        photos.push_back(picture(1280, 720, static_cast<unsigned char>(i)));
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(folder / "photo.book", *clock);
    if (!book) give_up(book.error().message);
    std::vector<double> plain, checked, kept;
    for (int i = 0; i < kPhotos; ++i) {
        const auto& photo = photos[static_cast<std::size_t>(i)];
        auto        start = Steady::now();
        put(folder / ("plain" + std::to_string(i) + ".jpg"), photo);
        plain.push_back(ms_since(start));
        start = Steady::now();
        if (!engine::inspect_jpeg(photo)) give_up("a good photo is refused");
        checked.push_back(ms_since(start));
        start = Steady::now();
        if (const auto done = book->photos().keep(photo); !done) give_up(done.error().message);
        kept.push_back(ms_since(start));
    }
    const double copy = median(plain), decode = median(checked), keep = median(kept);
    tell("photo", static_cast<double>(photos.front().size()) / 1000, "kB");
    tell("limit: write and fsync", copy, "ms");
    tell("limit: decode the whole picture (is it one?)", decode, "ms");
    tell("PhotoStore::keep / write and fsync", keep / copy, "x");
    tell("PhotoStore::keep / (write and fsync + decode)", keep / (copy + decode), "x");
    return show({"PhotoStore::keep p50", keep, "ms", 50.0});
}

} // namespace bench
