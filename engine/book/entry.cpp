#include "engine/book/entry.h"

#include <tuple>

namespace engine {
namespace {

int digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    return -1;
}

} // namespace

std::string hex(const Hash& hash)
{
    static constexpr std::string_view kDigits = "0123456789abcdef";
    std::string                       text;
    text.reserve(hash.size() * 2);
    for (const unsigned char byte : hash) {
        text += kDigits[byte >> 4U];
        text += kDigits[byte & 15U];
    }
    return text;
}

Result<Hash> hash_from_hex(const std::string& text)
{
    Hash hash{};
    if (text.size() != hash.size() * 2)
        return failure(Fault::bad_input, "A hash has 64 hexadecimal digits; this text has " +
                                             std::to_string(text.size()) + " characters.");
    for (std::size_t i = 0; i < hash.size(); ++i) {
        const int high = digit(text[2 * i]);
        const int low  = digit(text[2 * i + 1]);
        if (high < 0 || low < 0)
            return failure(Fault::bad_input, "A hash has lower-case hexadecimal digits only.");
        hash[i] = static_cast<unsigned char>(high * 16 + low);
    }
    return hash;
}

bool shown_before(const Entry& a, const Entry& b)
{
    return std::tie(a.hlc_ms, a.hlc_c, a.dev, a.seq, a.id) < std::tie(b.hlc_ms, b.hlc_c, b.dev, b.seq, b.id);
}

} // namespace engine
