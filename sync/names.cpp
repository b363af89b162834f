#include "sync/names.h"

#include "engine/book/entry.h"

#include <algorithm>
#include <charconv>

namespace share {
namespace {

constexpr std::uint64_t kGroup       = 4096;
constexpr std::size_t   kNumberWidth = 10;
constexpr std::size_t   kGroupWidth  = 6;
constexpr std::size_t   kDevId       = 16;
constexpr std::size_t   kShortHash   = 32;
constexpr std::size_t   kLongHash    = 64;

bool is_hex(std::string_view text)
{
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

std::string padded(std::uint64_t number, std::size_t width)
{
    std::string text = std::to_string(number);
    return text.size() < width ? std::string(width - text.size(), '0') + text : text;
}

/// Takes `count` characters off the front; empty when there are not so many.
std::string_view take(std::string_view& text, std::size_t count)
{
    const std::string_view taken = text.size() < count ? std::string_view() : text.substr(0, count);
    text.remove_prefix(taken.size());
    return taken;
}

/// A number printed by `padded` up to the next '-'.
std::optional<std::uint64_t> take_number(std::string_view& text, std::size_t width)
{
    const std::string_view digits = take(text, std::min(text.find('-'), text.size()));
    std::uint64_t          number = 0;
    const auto [end, fault]       = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (fault != std::errc{} || end != digits.data() + digits.size()) return std::nullopt;
    if (padded(number, width) != digits) return std::nullopt;
    return number;
}

/// "" or "-2" .. "-9", then the ending.
std::optional<int> take_copy(std::string_view text, std::string_view ending)
{
    if (text == ending) return 1;
    if (text.size() != ending.size() + 2 || text.substr(2) != ending) return std::nullopt;
    if (text[0] != '-' || text[1] < '2' || text[1] > '9') return std::nullopt;
    return text[1] - '0';
}

std::string copy_mark(int copy)
{
    return copy < 2 ? std::string() : "-" + std::to_string(copy);
}

std::string below(const std::string& devid, const char* folder, std::uint64_t number)
{
    return std::string(kRoot) + "/dev/" + devid + "/" + folder + "/" + group_of(number) + "/";
}

} // namespace

std::string device_folder(const std::string& dev)
{
    const auto key = engine::hash_from_hex(dev);
    return key ? engine::hex(engine::sha256(*key)).substr(0, kDevId) : std::string();
}

bool is_device_folder(std::string_view name)
{
    return name.size() == kDevId && is_hex(name);
}

std::string temporary_prefix(const std::string& devid)
{
    return ".p-" + devid + "-";
}

std::string group_of(std::uint64_t number)
{
    return padded((number - 1) / kGroup, kGroupWidth);
}

bool is_group(std::string_view name)
{
    std::string_view rest = name;
    return take_number(rest, kGroupWidth).has_value() && rest.empty();
}

std::string path_of(const std::string& devid, const SegmentName& name)
{
    return below(devid, "seg", name.first) + padded(name.first, kNumberWidth) + "-" +
           padded(name.last, kNumberWidth) + "-" + name.hash32 + copy_mark(name.copy) + ".jsonl";
}

std::string path_of(const std::string& devid, const HeadName& name)
{
    return below(devid, "head", name.size) + padded(name.size, kNumberWidth) + "-" + name.hash32 + ".txt";
}

std::string path_of(const PhotoName& name)
{
    return std::string(kRoot) + "/blob/" + name.sha256.substr(0, 2) + "/" + name.sha256 +
           copy_mark(name.copy) + ".jpg";
}

std::string path_of(const RosterName& name)
{
    return std::string(kRoot) + "/roster/" + padded(name.seq, kNumberWidth) + "-" + name.hash32 + ".json";
}

std::optional<RosterName> roster_name(std::string_view file)
{
    RosterName name;
    const auto seq = take_number(file, kNumberWidth);
    if (!seq || *seq < 1 || take(file, 1) != "-") return std::nullopt;
    name.seq    = *seq;
    name.hash32 = take(file, kShortHash);
    if (file != ".json" || name.hash32.empty() || !is_hex(name.hash32)) return std::nullopt;
    return name;
}

std::vector<std::string> names_of(const std::string& devid, SegmentName name)
{
    std::vector<std::string> paths;
    for (name.copy = 1; name.copy <= kMostCopies; ++name.copy)
        paths.push_back(path_of(devid, name));
    return paths;
}

std::optional<SegmentName> segment_name(std::string_view file)
{
    SegmentName name;
    const auto  first = take_number(file, kNumberWidth);
    if (!first || take(file, 1) != "-") return std::nullopt;
    const auto last = take_number(file, kNumberWidth);
    if (!last || take(file, 1) != "-") return std::nullopt;
    name.first      = *first;
    name.last       = *last;
    name.hash32     = take(file, kShortHash);
    const auto copy = take_copy(file, ".jsonl");
    if (!copy || name.hash32.empty() || !is_hex(name.hash32)) return std::nullopt;
    if (name.first < 1 || name.last < name.first) return std::nullopt;
    name.copy = *copy;
    return name;
}

std::optional<HeadName> head_name(std::string_view file)
{
    HeadName   name;
    const auto size = take_number(file, kNumberWidth);
    if (!size || *size < 1 || take(file, 1) != "-") return std::nullopt;
    name.size   = *size;
    name.hash32 = take(file, kShortHash);
    if (file != ".txt" || name.hash32.empty() || !is_hex(name.hash32)) return std::nullopt;
    return name;
}

std::optional<PhotoName> photo_name(std::string_view file)
{
    PhotoName name;
    name.sha256     = take(file, kLongHash);
    const auto copy = take_copy(file, ".jpg");
    if (!copy || name.sha256.empty() || !is_hex(name.sha256)) return std::nullopt;
    name.copy = *copy;
    return name;
}

} // namespace share
