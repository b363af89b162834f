#include "engine/book/one_form.h"

#include "engine/book/codec.h"

#include <array>
#include <charconv>
#include <cstring>
#include <new>

namespace engine {
namespace {

using simdjson::dom::element_type;

bool is_plain(char c)
{
    return static_cast<unsigned char>(c) >= 0x20 && c != '"' && c != '\\';
}

/// How a character that cannot stand for itself is written.
std::string_view escape_of(char c, std::array<char, 6>& room)
{
    switch (c) {
    case '"':
        return "\\\"";
    case '\\':
        return "\\\\";
    case '\b':
        return "\\b";
    case '\f':
        return "\\f";
    case '\n':
        return "\\n";
    case '\r':
        return "\\r";
    case '\t':
        return "\\t";
    default:
        break;
    }
    constexpr std::string_view kHexDigits = "0123456789abcdef";
    const auto                 code       = static_cast<unsigned char>(c);
    room = {'\\', 'u', '0', '0', kHexDigits[code >> 4U], kHexDigits[code & 15U]};
    return {room.data(), room.size()};
}

} // namespace

bool is_field_key(std::string_view key)
{
    constexpr std::size_t kLongestKey = 24;
    if (key.empty() || key.size() > kLongestKey) return false;
    for (const char c : key)
        if ((c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_') return false;
    return true;
}

bool OneForm::eat(std::string_view bytes)
{
    if (text_.size() - at_ < bytes.size() || std::memcmp(text_.data() + at_, bytes.data(), bytes.size()) != 0)
        return false;
    at_ += bytes.size();
    return true;
}

bool OneForm::key(std::string_view key, std::string_view before)
{
    if (!is_field_key(key) || (!before.empty() && (before >= key || !eat(",")))) return false;
    return eat("\"") && eat(key) && eat("\":");
}

bool OneForm::string(std::string_view string)
{
    if (!eat("\"")) return false;
    std::array<char, 6> room{};
    while (!string.empty()) {
        std::size_t plain = 0;
        while (plain < string.size() && is_plain(string[plain]))
            ++plain;
        if (!eat(string.substr(0, plain))) return false;
        string.remove_prefix(plain);
        if (string.empty()) break;
        if (!eat(escape_of(string.front(), room))) return false;
        string.remove_prefix(1);
    }
    return eat("\"");
}

bool OneForm::whole(std::int64_t number)
{
    if (number < -kLargestWhole || number > kLargestWhole) return false;
    std::array<char, 24> digits{};
    const auto           printed = std::to_chars(digits.data(), digits.data() + digits.size(), number);
    return eat({digits.data(), static_cast<std::size_t>(printed.ptr - digits.data())});
}

bool OneForm::object(simdjson::dom::object object, int depth)
{
    if (depth > kDeepest || !eat("{")) return false;
    std::string_view before;
    std::size_t      keys = 0;
    for (const auto field : object) {
        if (++keys > kMostKeys || !key(field.key, before) || !value(field.value, depth)) return false;
        before = field.key;
    }
    return eat("}");
}

bool OneForm::array(simdjson::dom::array array, int depth)
{
    if (depth > kDeepest || !eat("[")) return false;
    bool first = true;
    for (const auto item : array) {
        if ((!first && !eat(",")) || !value(item, depth)) return false;
        first = false;
    }
    return eat("]");
}

bool OneForm::value(simdjson::dom::element value, int depth)
{
    switch (value.type()) {
    case element_type::OBJECT:
        return object(simdjson::dom::object(value), depth + 1);
    case element_type::ARRAY:
        return array(simdjson::dom::array(value), depth + 1);
    case element_type::STRING:
        return string(std::string_view(value));
    case element_type::BOOL:
        return eat(bool(value) ? "true" : "false");
    case element_type::INT64:
        return whole(std::int64_t(value));
    case element_type::UINT64: // above what an int64 holds: far above what may be
    case element_type::DOUBLE:
    case element_type::NULL_VALUE:
        return false;
    }
    return false;
}

bool take_apart(std::string_view text, simdjson::dom::element& into)
{
    thread_local simdjson::dom::parser parser;
    const auto                         fault = parser.parse(text.data(), text.size()).get(into);
    if (fault == simdjson::MEMALLOC) throw std::bad_alloc();
    return fault == simdjson::SUCCESS;
}

} // namespace engine
