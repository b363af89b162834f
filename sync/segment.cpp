#include "sync/segment.h"

#include "engine/book/codec.h"
#include "engine/book/ledger.h"

#include <nlohmann/json.hpp>

#include <string_view>
#include <tuple>
#include <vector>

namespace share {
namespace {

using engine::Entry;
using engine::Fault;

std::string_view as_text(std::span<const unsigned char> bytes)
{
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

void refuse(OpenedSegment& segment, const char* code, std::string sentence)
{
    segment.state    = State::refused;
    segment.code     = code;
    segment.sentence = std::move(sentence);
    segment.entries.clear();
}

const char* code_of(Fault fault)
{
    if (fault == Fault::bad_signature || fault == Fault::unknown_signer) return "R06";
    return fault == Fault::unsupported ? "R03" : "R02";
}

/// Empty when the entry may stand behind `before` (null: it is the first of the file).
std::string chain_trouble(const Entry& entry, const Entry* before)
{
    if (before == nullptr) return {};
    const bool follows = entry.prev == before->id &&
                         std::tie(entry.hlc_ms, entry.hlc_c) > std::tie(before->hlc_ms, before->hlc_c);
    return follows ? std::string()
                   : "entry " + std::to_string(entry.seq) + " does not follow the one before it";
}

/// Whole lines from the front of `text`, some at a time: a file of nothing but empty lines must not fill
/// memory.
std::vector<std::string_view> take_lines(std::string_view& text)
{
    constexpr std::size_t         kAtOnce = 256;
    std::vector<std::string_view> lines;
    for (std::size_t end = text.find('\n'); end != std::string_view::npos && lines.size() < kAtOnce;
         end             = text.find('\n')) {
        lines.push_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    return lines;
}

std::vector<engine::Result<Entry>> read_again(const std::vector<std::string_view>& lines)
{
    std::vector<engine::Result<Entry>> entries;
    entries.reserve(lines.size());
    for (const std::string_view line : lines)
        entries.push_back(engine::read_trusted_line(line));
    return entries;
}

std::string next_entry(const OpenedSegment& segment, const SegmentName& name)
{
    return "entry " + std::to_string(name.first + segment.entries.size());
}

/// What one line must be beside well signed. False: the segment was refused.
bool accept(OpenedSegment& segment, const Entry& entry, const SegmentName& name, const std::string& devid,
            const std::string& plant)
{
    const std::string where = "entry " + std::to_string(entry.seq);
    if (device_folder(entry.dev) != devid) {
        refuse(segment, "R13", where + " was signed by another machine than the folder it lies in");
        return false;
    }
    if (entry.seq != name.first + segment.entries.size() || entry.seq > name.last) {
        refuse(segment, "R13",
               "the name says " + entries_text(name.first, name.last) + ", but " + where +
                   " is inside out of turn");
        return false;
    }
    const std::string& expected =
        !plant.empty() || segment.entries.empty() ? plant : segment.entries.front().plant;
    if (!expected.empty() && entry.plant != expected) {
        refuse(segment, "R10", where + " belongs to another plant (" + entry.plant + ")");
        return false;
    }
    const std::string broken =
        chain_trouble(entry, segment.entries.empty() ? nullptr : &segment.entries.back());
    if (!broken.empty()) refuse(segment, "R07", broken);
    return broken.empty();
}

} // namespace

std::vector<std::string> photos_of(const Entry& entry)
{
    return engine::photos_named(entry);
}

std::string entries_text(std::uint64_t first, std::uint64_t last)
{
    return first == last ? "entry " + std::to_string(first)
                         : "entries " + std::to_string(first) + " to " + std::to_string(last);
}

Segment cut_segment(const std::vector<Entry>& entries)
{
    Segment     segment;
    std::size_t count = 0;
    for (const Entry& entry : entries) {
        const bool full = count == kMostEntries || segment.bytes.size() + entry.line.size() + 1 > kMostBytes;
        if (count > 0 && full) break;
        segment.bytes.insert(segment.bytes.end(), entry.line.begin(), entry.line.end());
        segment.bytes.push_back('\n');
        ++count;
    }
    segment.name.first  = entries.front().seq;
    segment.name.last   = entries[count - 1].seq;
    segment.name.hash32 = engine::hex(engine::sha256(segment.bytes)).substr(0, 32);
    return segment;
}

OpenedSegment open_segment(std::span<const unsigned char> bytes, const SegmentName& name,
                           const std::string& devid, const std::string& plant,
                           const std::set<std::string>* proved)
{
    OpenedSegment segment;
    segment.sha256    = engine::hex(engine::sha256(bytes));
    segment.hash_fits = segment.sha256.compare(0, name.hash32.size(), name.hash32) == 0;
    if (!segment.hash_fits) {
        segment.state    = State::unfinished;
        segment.code     = "R01";
        segment.sentence = entries_text(name.first, name.last) + " are in a file that is not complete yet";
        return segment;
    }
    const bool known = proved != nullptr && proved->count(segment.sha256) > 0;
    for (std::string_view text = as_text(bytes); !text.empty();) {
        const std::vector<std::string_view> lines = take_lines(text);
        if (lines.empty()) {
            refuse(segment, "R02", "the line of " + next_entry(segment, name) + " is cut short");
            return segment;
        }
        for (auto& entry : known ? read_again(lines) : engine::open_lines(lines)) {
            if (!entry) {
                refuse(segment, code_of(entry.error().fault),
                       next_entry(segment, name) + ": " + entry.error().message);
                return segment;
            }
            if (!accept(segment, *entry, name, devid, plant)) return segment;
            segment.entries.push_back(std::move(*entry));
        }
    }
    if (segment.entries.size() != name.last - name.first + 1)
        refuse(segment, "R13",
               "the name says " + entries_text(name.first, name.last) + ", but fewer are inside");
    return segment;
}

} // namespace share
