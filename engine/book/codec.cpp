#include "engine/book/codec.h"

#include "engine/book/envelope.h"
#include "engine/book/one_form.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

constexpr std::size_t kSignatureDigits = 128;

/// Nesting of brackets outside strings. Looked at before parsing: a deep value can break the parser's own
/// destructor.
int depth_of(std::string_view text)
{
    int  depth     = 0;
    int  deepest   = 0;
    bool in_string = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (in_string) {
            if (c == '\\')
                ++i;
            else if (c == '"')
                in_string = false;
        } else if (c == '"') {
            in_string = true;
        } else if (c == '{' || c == '[') {
            if (++depth > deepest) deepest = depth;
        } else if (c == '}' || c == ']') {
            --depth;
        }
    }
    return deepest;
}

Failure breaks(const std::string& where, const std::string& what)
{
    return failure(Fault::bad_input, "The entry cannot be written: " + where + " " + what + ".");
}

/// Of the value of that key, for a sentence; put together only where one is needed.
std::string value_of(const std::string* key)
{
    return key == nullptr ? "it" : "the value of '" + *key + "'";
}

bool is_whole_number(const json& value)
{
    if (value.is_number_unsigned()) return value.get<std::uint64_t>() <= std::uint64_t{kLargestWhole};
    if (!value.is_number_integer()) return false;
    const auto n = value.get<std::int64_t>();
    return n >= -kLargestWhole && n <= kLargestWhole;
}

Status keep_profile(const json& value, const std::string* key, int depth);

Status keep_profile_inside(const json& value, const std::string* key, int depth)
{
    if (depth > kDeepest) return breaks(value_of(key), "is nested deeper than " + std::to_string(kDeepest));
    if (value.is_array()) {
        for (const json& item : value)
            if (Status kept = keep_profile(item, key, depth); !kept) return kept;
        return Unit{};
    }
    const auto& object = value.get_ref<const json::object_t&>();
    if (object.size() > kMostKeys)
        return breaks(value_of(key), "has more than " + std::to_string(kMostKeys) + " keys");
    for (const auto& [name, item] : object) {
        if (!is_field_key(name)) return breaks("the key '" + name + "'", "does not match [a-z0-9_]{1,24}");
        if (Status kept = keep_profile(item, &name, depth); !kept) return kept;
    }
    return Unit{};
}

/// Depth is that of the container the value stands in; `key` the one it stands under.
Status keep_profile(const json& value, const std::string* key, int depth)
{
    if (value.is_structured()) return keep_profile_inside(value, key, depth + 1);
    if (value.is_string() || value.is_boolean() || is_whole_number(value)) return Unit{};
    if (value.is_number()) return breaks(value_of(key), "is not a whole number below 2^53");
    return breaks(value_of(key), "is neither text, number, yes/no, list nor object");
}

std::string where_to_sign(std::string_view body)
{
    std::string message = "witnessmark1/entry\n";
    message += body;
    return message;
}

/// The JSON bytes of a line that has the outer shape of one.
Result<std::string_view> body_of(std::string_view line)
{
    if (line.size() < kSignatureDigits + 3 || line[kSignatureDigits] != ' ')
        return failure(Fault::corrupt,
                       "The line is cut short or damaged: no signature and entry to be found.");
    const std::string_view body = line.substr(kSignatureDigits + 1);
    if (body.size() > kLongestLine)
        return failure(Fault::bad_input, "The line is longer than the " + std::to_string(kLongestLine) +
                                             " bytes an entry may have.");
    if (body.back() != '}' || body.front() != '{')
        return failure(Fault::corrupt,
                       "The line is cut short or damaged: the entry has no beginning or no end.");
    return body;
}

Result<json> parsed(std::string_view body)
{
    json value = json::parse(body, nullptr, false);
    if (value.is_discarded() || !value.is_object())
        return failure(Fault::bad_input,
                       "The entry is not JSON: it is damaged or was not written by this program.");
    return value;
}

/// The entry of a line whose bytes are in their one form; the signature is not looked at.
Result<Entry> entry_of(std::string_view line, std::string_view body)
{
    auto entry = read_envelope(body);
    if (!entry) return entry;
    entry->id   = hex(sha256(body));
    entry->line = std::string(line);
    return entry;
}

} // namespace

Result<std::shared_ptr<const json>> parse_canonical(std::string_view text, std::size_t most)
{
    if (text.size() > most || depth_of(text) > kDeepest)
        return failure(Fault::bad_input, "The text is longer or nested deeper than it may be.");
    auto value = parsed(text);
    if (!value) return value.failure();
    const auto again = canonical(*value, most);
    if (!again || *again != text)
        return failure(Fault::bad_input, "The text is not in its one canonical form, so it is not taken.");
    return std::make_shared<const json>(std::move(*value));
}

Result<std::string> canonical(const json& value, std::size_t most)
{
    if (Status kept = keep_profile(value, nullptr, 0); !kept) return kept.failure();
    try {
        std::string text = value.dump(); // sorted keys, no spaces, RFC 8785 escapes for this profile
        if (text.size() > most)
            return failure(Fault::bad_input, "The entry is longer than the " + std::to_string(most) +
                                                 " bytes it may have; shorten its texts.");
        return text;
    } catch (const json::exception& why) {
        return failure(Fault::bad_input, "The entry cannot be written: a text in it is not UTF-8.",
                       why.what());
    }
}

Result<Entry> open_line(std::string_view line)
{
    const auto body = body_of(line);
    if (!body) return body.failure();
    const auto signature = signature_from_hex(line.substr(0, kSignatureDigits));
    if (!signature) return signature.failure();
    auto entry = entry_of(line, *body);
    if (!entry) return entry;
    if (!verify(where_to_sign(*body), *signature, entry->dev))
        return failure(Fault::bad_signature,
                       "The signature of entry " + std::to_string(entry->seq) +
                           " does not match: the entry was changed after it was signed.");
    return entry;
}

Result<Entry> read_trusted_line(std::string_view line)
{
    const auto body = body_of(line);
    if (!body) return body.failure();
    return entry_of(line, *body);
}

Status seal_entry(Entry& entry, const MachineKey& key, const std::string& plant)
{
    entry.plant     = plant;
    const auto text = canonical(write_envelope(entry));
    if (!text) return text.failure();
    if (const auto back = read_envelope(*text); !back) return back.failure();
    if (key.device() != entry.dev)
        return failure(Fault::unknown_signer,
                       "The entry names another machine than the one that would sign it.");
    entry.id   = hex(sha256(*text));
    entry.line = hex_of(key.sign(where_to_sign(*text))) + " " + *text;
    return Unit{};
}

} // namespace engine
