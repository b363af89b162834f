#include "engine/book/entry.h"

#include <array>
#include <tuple>

namespace engine {
namespace {

constexpr std::string_view kDigits = "0123456789abcdef";

/// What each byte is worth as a lower-case hex digit, 16 where it is none: lines are full of digits.
constexpr std::array<unsigned char, 256> kWorth = [] {
    std::array<unsigned char, 256> worth{};
    worth.fill(16);
    for (std::size_t i = 0; i < kDigits.size(); ++i)
        worth[static_cast<unsigned char>(kDigits[i])] = static_cast<unsigned char>(i);
    return worth;
}();

} // namespace

std::string hex_of_bytes(std::span<const unsigned char> bytes)
{
    std::string text(bytes.size() * 2, '0');
    char*       at = text.data();
    for (const unsigned char byte : bytes) {
        *at++ = kDigits[byte >> 4U];
        *at++ = kDigits[byte & 15U];
    }
    return text;
}

bool bytes_from_hex(std::string_view digits, std::span<unsigned char> bytes)
{
    if (digits.size() != bytes.size() * 2) return false;
    unsigned strange = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const unsigned high = kWorth[static_cast<unsigned char>(digits[2 * i])];
        const unsigned low  = kWorth[static_cast<unsigned char>(digits[2 * i + 1])];
        strange |= high | low;
        bytes[i] = static_cast<unsigned char>((high << 4U) | (low & 15U));
    }
    return strange < 16;
}

std::string hex(const Hash& hash)
{
    return hex_of_bytes(hash);
}

Result<Hash> hash_from_hex(std::string_view text)
{
    Hash hash{};
    if (text.size() != hash.size() * 2)
        return failure(Fault::bad_input, "A hash has 64 hexadecimal digits; this text has " +
                                             std::to_string(text.size()) + " characters.");
    if (!bytes_from_hex(text, hash))
        return failure(Fault::bad_input, "A hash has lower-case hexadecimal digits only.");
    return hash;
}

bool shown_before(const Entry& a, const Entry& b)
{
    return std::tie(a.hlc_ms, a.hlc_c, a.dev, a.seq, a.id) < std::tie(b.hlc_ms, b.hlc_c, b.dev, b.seq, b.id);
}

} // namespace engine
