// Another machine's lines and a photo's bytes, beside the bare library and the bare disk.
#include "engine/book/book.h"
#include "engine/book/codec.h"

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sodium.h>
#include <unistd.h>

#include <array>
#include <string>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/engine/book/jpeg.h"

namespace bench {
namespace {

constexpr int kRounds = 3;
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

/// Signatures a second of the library alone, on messages as long as the lines'.
double bare_verify_rate(std::size_t message_bytes)
{
    std::array<unsigned char, crypto_sign_PUBLICKEYBYTES> open{};
    std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret{};
    std::array<unsigned char, crypto_sign_BYTES>          signature{};
    const std::vector<unsigned char>                      message(message_bytes, 'x');
    crypto_sign_keypair(open.data(), secret.data());
    crypto_sign_detached(signature.data(), nullptr, message.data(), message.size(), secret.data());
    const auto start = Steady::now();
    int        wrong = 0;
    for (int i = 0; i < kLines; ++i)
        wrong +=
            crypto_sign_verify_detached(signature.data(), message.data(), message.size(), open.data()) != 0;
    if (wrong != 0) give_up("libsodium refuses its own signature");
    return kLines / ms_since(start) * 1000;
}

double take_in_rate(const std::filesystem::path& file, const std::vector<std::string>& lines)
{
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(file, *clock);
    if (!book) give_up(book.error().message);
    const auto                 start = Steady::now();
    std::vector<engine::Entry> batch;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        auto entry = engine::open_line(lines[i]);
        if (!entry) give_up(entry.error().message);
        batch.push_back(std::move(*entry));
        if (batch.size() < kBatch && i + 1 < lines.size()) continue;
        if (const auto taken = book->take_in(batch); !taken) give_up(taken.error().message);
        batch.clear();
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
    heading("another machine's entries, verified and taken in (median of 3 rounds of 4000, one thread)");
    const auto          lines = lines_of_another(folder / "other.book");
    std::vector<double> bare, ours;
    for (int round = 0; round < kRounds; ++round) {
        bare.push_back(bare_verify_rate(lines.back().size() - 2UL * crypto_sign_BYTES - 1));
        ours.push_back(take_in_rate(folder / ("taker" + std::to_string(round) + ".book"), lines));
    }
    tell("line length", static_cast<double>(lines.back().size()), "bytes");
    tell("limit: libsodium verify", median(bare), "1/s");
    tell("open_line and Book::take_in", median(ours), "1/s");
    return show({"taking in / bare verify", median(ours) / median(bare), "x", 0.70, false});
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
