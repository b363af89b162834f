// The kept inputs of every parser, and as many altered ones as a run has time for. One seed, one run:
// WM_SEED=n begins elsewhere.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "tests/fuzz/inputs.h"
#include "tests/trust/sizes.h"

namespace {

namespace fs = std::filesystem;
using Bytes  = std::vector<std::uint8_t>;

std::vector<Bytes> kept_inputs(const char* parser)
{
    std::vector<fs::path> files;
    for (const auto& item : fs::directory_iterator(fs::path(WM_SOURCE_DIR) / "tests/fuzz/corpus" / parser))
        files.push_back(item.path());
    std::sort(files.begin(), files.end());
    std::vector<Bytes> inputs;
    for (const auto& file : files) {
        std::ifstream in(file, std::ios::binary);
        inputs.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
    }
    return inputs;
}

class Mutator {
  public:
    Mutator(const std::vector<Bytes>& kept, unsigned seed) : kept_(&kept), random_(seed) {}

    Bytes next()
    {
        Bytes bytes = (*kept_)[below(kept_->size())];
        for (std::size_t times = 1 + below(4); times > 0; --times)
            alter(bytes);
        return bytes;
    }

  private:
    std::size_t below(std::size_t limit) { return limit == 0 ? 0 : random_() % limit; }

    void alter(Bytes& bytes)
    {
        static const std::array<std::string, 14> kPieces{"0",
                                                         "-1",
                                                         "9007199254740993",
                                                         "18446744073709551616",
                                                         "1e400",
                                                         "null",
                                                         "\"",
                                                         "\\u0000",
                                                         "[[",
                                                         "}}",
                                                         "\n",
                                                         "\xff\xfe",
                                                         "..",
                                                         std::string(1, '\0')};
        const std::size_t                        at = below(bytes.size());
        switch (below(7)) {
        case 0:
            if (!bytes.empty()) bytes[at] = static_cast<std::uint8_t>(bytes[at] ^ (1U << below(8)));
            return;
        case 1:
            if (!bytes.empty()) bytes[at] = static_cast<std::uint8_t>(random_());
            return;
        case 2:
            return insert(bytes, at, kPieces[below(kPieces.size())]);
        case 3:
            bytes.erase(bytes.begin() + static_cast<std::ptrdiff_t>(at),
                        bytes.begin() + static_cast<std::ptrdiff_t>(at + below(bytes.size() - at)));
            return;
        case 4: {
            const std::string block(bytes.begin() + static_cast<std::ptrdiff_t>(at), bytes.end());
            return insert(bytes, below(bytes.size()), block.substr(0, 1 + below(40)));
        }
        case 5: {
            const Bytes& other = (*kept_)[below(kept_->size())];
            bytes.resize(at);
            bytes.insert(bytes.end(), other.begin() + static_cast<std::ptrdiff_t>(below(other.size())),
                         other.end());
            return;
        }
        default:
            bytes.resize(at);
        }
    }

    static void insert(Bytes& bytes, std::size_t at, const std::string& text)
    {
        bytes.insert(bytes.begin() + static_cast<std::ptrdiff_t>(at), text.begin(), text.end());
    }

    const std::vector<Bytes>* kept_;
    std::mt19937              random_;
};

std::string in_hex(const Bytes& bytes)
{
    std::string text;
    for (const std::uint8_t byte : bytes)
        for (const unsigned digit : {byte / 16U, byte % 16U})
            text += "0123456789abcdef"[digit];
    return text;
}

void try_one(const fuzz::Parser& parser, const Bytes& bytes, const std::string& which)
{
    try {
        parser.input(bytes.data(), bytes.size());
    } catch (const std::exception& broken) {
        FAIL_CHECK(std::string(parser.name) << ", " << which << ": " << std::string(broken.what())
                                            << "; input in hex: " << in_hex(bytes));
    }
}

unsigned seed_of_run()
{
    const char* const told = std::getenv("WM_SEED"); // NOLINT(concurrency-mt-unsafe): one thread
    return told == nullptr ? 12 : static_cast<unsigned>(std::strtoul(told, nullptr, 10));
}

} // namespace

TEST_SUITE("trust row 12: parsers under any bytes")
{
    TEST_CASE("kept inputs, whole and cut at any place, break no promise of their parser")
    {
        std::size_t tried = 0;
        for (const fuzz::Parser& parser : fuzz::kParsers) {
            const auto kept = kept_inputs(parser.name);
            CHECK_MESSAGE(!kept.empty(), std::string(parser.name));
            for (const Bytes& whole : kept)
                for (std::size_t size = whole.size() + 1; size-- > 0; size -= std::min(size, size / 200)) {
                    try_one(parser, Bytes(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(size)),
                            "cut at " + std::to_string(size));
                    ++tried;
                }
        }
        MESSAGE("row 12: " << tried << " kept and cut inputs");
    }

    TEST_CASE("altered inputs break no promise of their parser")
    {
        const unsigned seed = seed_of_run();
        for (const fuzz::Parser& parser : fuzz::kParsers) {
            const auto kept = kept_inputs(parser.name);
            REQUIRE(!kept.empty());
            Mutator   mutator(kept, seed);
            const int count = trust::size_of_run(parser.thousands, 100 * parser.thousands) * 1000;
            for (int i = 0; i < count; ++i)
                try_one(parser, mutator.next(),
                        "seed " + std::to_string(seed) + ", case " + std::to_string(i));
            MESSAGE("row 12: " << std::string(parser.name) << ", " << kept.size() << " kept, " << count
                               << " altered (seed " << seed << ")");
        }
    }
}
