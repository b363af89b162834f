#include "sync/head.h"

#include "engine/book/entry.h"

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

/// 128 hex to 64 bytes, by the 32-byte reader the engine has.
bool read_signature(const std::string& text, engine::Signature& signature)
{
    if (text.size() != 128) return false;
    const auto low  = engine::hash_from_hex(text.substr(0, 64));
    const auto high = engine::hash_from_hex(text.substr(64));
    if (!low || !high) return false;
    std::copy(low->begin(), low->end(), signature.begin());
    std::copy(high->begin(), high->end(), signature.begin() + 32);
    return true;
}

std::string print_signature(const engine::Signature& signature)
{
    engine::Hash low{};
    engine::Hash high{};
    std::copy_n(signature.begin(), 32, low.begin());
    std::copy_n(signature.begin() + 32, 32, high.begin());
    return engine::hex(low) + engine::hex(high);
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

} // namespace

HeadFile make_head(const Head& head, const engine::MachineKey& key)
{
    const std::string text = signed_part(head);
    const std::string file =
        text + "signature " + print_signature(key.sign(std::string(kContext) + text)) + "\n";
    HeadFile made;
    made.bytes.assign(file.begin(), file.end());
    made.name = {head.size, engine::hex(engine::sha256(made.bytes)).substr(0, 32)};
    return made;
}

engine::Result<Head> open_head(std::span<const unsigned char> bytes, const HeadName& name,
                               const std::string& devid)
{
    if (engine::hex(engine::sha256(bytes)).substr(0, 32) != name.hash32)
        return failure(Fault::corrupt, "The head file does not have the hash in its name.");
    std::string_view  text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    const std::string origin = take_line(text, std::string(kRoot) + "/");
    const std::string size   = take_line(text, "");
    Head              head;
    head.id                     = take_line(text, "head ");
    head.dev                    = take_line(text, "key ");
    const std::string signature = take_line(text, "signature ");
    const std::size_t cut       = origin.rfind('/');
    engine::Signature sign{};
    const auto [end, fault] = std::from_chars(size.data(), size.data() + size.size(), head.size);
    const bool number       = fault == std::errc{} && end == size.data() + size.size();
    if (!text.empty() || cut == std::string::npos || !number || !read_signature(signature, sign))
        return failure(Fault::corrupt, "The head file is not in a form this version knows.");
    head.plant = origin.substr(0, cut);
    if (origin.substr(cut + 1) != devid || device_folder(head.dev) != devid || head.size != name.size)
        return failure(Fault::bad_input, "The head file lies in the wrong place.");
    if (!engine::verify(std::string(kContext) + signed_part(head), sign, head.dev))
        return failure(Fault::bad_signature, "The signature of the head file does not match.");
    return head;
}

} // namespace share
