#include "sync/head.h"

#include "engine/book/codec.h"
#include "engine/book/entry.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

namespace share {
namespace {

using engine::failure;
using engine::Fault;

constexpr std::string_view kContext = "witnessmark1/head\n";

std::string signed_part(const Head& head)
{
    return std::string(kRoot) + "/" + head.plant + "/" + device_folder(head.dev) + "\n" +
           std::to_string(head.size) + "\nhead " + head.id + "\nkey " + head.dev + "\n";
}

/// A head in the folder may hold any bytes; one that is no text is no head, whatever its signature.
bool is_utf8(std::string_view text)
{
    const std::size_t longest = 2 + 6 * text.size(); // every byte escaped
    return engine::canonical(nlohmann::json(text), longest).has_value();
}

/// The line after `label`, taken off the front of `text`.
std::string take_line(std::string_view& text, std::string_view label)
{
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos || text.substr(0, label.size()) != label) return {};
    std::string line(text.substr(label.size(), end - label.size()));
    text.remove_prefix(end + 1);
    return line;
}

/// C2SP signed note: text, empty line, "— <name> <base64 of key hash and signature>".
std::string note_text(const Head& head)
{
    return std::string(kRoot) + "/" + head.plant + "/" + device_folder(head.dev) + "\n" +
           std::to_string(head.size) + "\n" +
           engine::base64_of({reinterpret_cast<const char*>(head.root->data()), head.root->size()}) +
           "\nhead " + head.id + "\nkey " + head.dev + "\n";
}

/// First four bytes of SHA-256 over the name, LF, 0x01 (Ed25519) and the key.
std::string key_hash(const std::string& name, const std::string& dev)
{
    std::string text = name + "\n\x01";
    if (const auto key = engine::hash_from_hex(dev)) text.append(key->begin(), key->end());
    const engine::Hash hash = engine::sha256(text);
    return {hash.begin(), hash.begin() + 4};
}

std::string key_name(const Head& head)
{
    return std::string(kRoot) + "/" + head.plant + "/" + device_folder(head.dev);
}

/// The head in a checkpoint's text; `signature` as in the file. Nothing when it is no checkpoint.
std::optional<Head> read_note(std::string_view text, std::string& origin, engine::Signature& signature)
{
    Head head;
    origin                 = take_line(text, std::string(kRoot) + "/");
    const std::string size = take_line(text, "");
    const auto        root = engine::bytes_from_base64(take_line(text, ""));
    head.id                = take_line(text, "head ");
    head.dev               = take_line(text, "key ");
    const bool blank       = !text.empty() && text.front() == '\n';
    if (blank) text.remove_prefix(1);
    const std::string label  = "\xe2\x80\x94 " + std::string(kRoot) + "/" + origin + " ";
    const auto        sealed = engine::bytes_from_base64(take_line(text, label));
    const auto [end, fault]  = std::from_chars(size.data(), size.data() + size.size(), head.size);
    const bool number =
        fault == std::errc{} && end == size.data() + size.size() && std::to_string(head.size) == size;
    if (!blank || !text.empty() || !number || !root || root->size() != 32 || !sealed || sealed->size() != 68)
        return std::nullopt;
    if (sealed->substr(0, 4) != key_hash(std::string(kRoot) + "/" + origin, head.dev)) return std::nullopt;
    head.root.emplace();
    std::copy(root->begin(), root->end(), head.root->begin());
    std::copy(sealed->begin() + 4, sealed->end(), signature.begin());
    return head;
}

std::optional<Head> read_first_form(std::string_view text, std::string& origin, engine::Signature& signature)
{
    Head head;
    origin                  = take_line(text, std::string(kRoot) + "/");
    const std::string size  = take_line(text, "");
    head.id                 = take_line(text, "head ");
    head.dev                = take_line(text, "key ");
    const auto sealed       = engine::signature_from_hex(take_line(text, "signature "));
    const auto [end, fault] = std::from_chars(size.data(), size.data() + size.size(), head.size);
    const bool number       = fault == std::errc{} && end == size.data() + size.size();
    if (!text.empty() || !number || !sealed) return std::nullopt;
    signature = *sealed;
    return head;
}

HeadFile file_of(const Head& head, const std::string& text)
{
    HeadFile made;
    made.bytes.assign(text.begin(), text.end());
    made.name = {head.size, engine::hex(engine::sha256(made.bytes)).substr(0, 32)};
    return made;
}

/// What both forms must say of their place.
engine::Status in_place(Head& head, const std::string& origin, const HeadName& name, const std::string& devid)
{
    const std::size_t cut = origin.rfind('/');
    if (cut == std::string::npos)
        return failure(Fault::corrupt, "The head file is not in a form this version knows.");
    head.plant = origin.substr(0, cut);
    if (origin.substr(cut + 1) != devid || device_folder(head.dev) != devid || head.size != name.size)
        return failure(Fault::bad_input, "The head file lies in the wrong place.");
    return engine::Unit{};
}

} // namespace

HeadFile make_head(const Head& head, const engine::MachineKey& key)
{
    if (!head.root) {
        const std::string text = signed_part(head);
        return file_of(head,
                       text + "signature " + engine::hex_of(key.sign(std::string(kContext) + text)) + "\n");
    }
    const std::string       text      = note_text(head);
    const engine::Signature signature = key.sign(text);
    const std::string       sealed =
        key_hash(key_name(head), head.dev) + std::string(signature.begin(), signature.end());
    return file_of(head, text + "\n\xe2\x80\x94 " + key_name(head) + " " + engine::base64_of(sealed) + "\n");
}

engine::Result<Head> open_head(std::span<const unsigned char> bytes, const HeadName& name,
                               const std::string& devid)
{
    if (engine::hex(engine::sha256(bytes)).substr(0, 32) != name.hash32)
        return failure(Fault::corrupt, "The head file does not have the hash in its name.");
    const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    const engine::Failure  unknown =
        failure(Fault::corrupt, "The head file is not in a form this version knows.");
    if (!is_utf8(text)) return unknown;
    std::string         origin;
    engine::Signature   signature{};
    std::optional<Head> head    = read_note(text, origin, signature);
    const bool          is_note = head.has_value();
    if (!is_note) head = read_first_form(text, origin, signature);
    if (!head) return unknown;
    if (engine::Status placed = in_place(*head, origin, name, devid); !placed) return placed.failure();
    const std::string message = is_note ? note_text(*head) : std::string(kContext) + signed_part(*head);
    if (!engine::verify(message, signature, head->dev))
        return failure(Fault::bad_signature, "The signature of the head file does not match.");
    return *head;
}

} // namespace share
