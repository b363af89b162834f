#include "engine/book/envelope.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

constexpr std::int64_t kLargestSeq   = (std::int64_t{1} << 40) - 1;
constexpr int          kFurthestZone = 24 * 60;

/// Takes the known keys out of the object one by one; the first fault stays, and what is left at the end is
/// unknown.
class Taker {
  public:
    explicit Taker(json value) : value_(std::move(value)) {}

    std::int64_t whole(const char* key, std::int64_t low, std::int64_t high)
    {
        const json found = take(key);
        if (found.is_number_integer()) {
            const auto n = found.get<std::int64_t>();
            if (n >= low && n <= high) return n;
        }
        spoil(key);
        return 0;
    }

    std::string text(const char* key)
    {
        json found = take(key);
        if (found.is_string() && !found.get_ref<const std::string&>().empty())
            return std::move(found.get_ref<std::string&>());
        spoil(key);
        return {};
    }

    /// Absent is the one way to say "empty".
    std::string text_or_none(const char* key) { return value_.contains(key) ? text(key) : std::string(); }

    std::string id(const char* key)
    {
        std::string found = text(key);
        if (!hash_from_hex(found)) spoil(key);
        return found;
    }

    json take(const char* key)
    {
        const auto at = value_.find(key);
        if (at == value_.end()) return {};
        json found = std::move(*at);
        value_.erase(at);
        return found;
    }

    void spoil(const std::string& key)
    {
        if (fault_.empty()) fault_ = key;
    }

    [[nodiscard]] bool        has(const char* key) const { return value_.contains(key); }
    [[nodiscard]] std::string fault() const
    {
        if (!fault_.empty()) return "its field '" + fault_ + "' is missing or not as it must be";
        return value_.empty() ? "" : "it has a field '" + value_.begin().key() + "' nobody knows";
    }

  private:
    json        value_;
    std::string fault_;
};

constexpr std::int64_t kLargest = (std::int64_t{1} << 53) - 1;

void take_clocks(Taker& from, Entry& entry)
{
    entry.wall_ms = from.whole("wall_ms", -kLargest, kLargest);
    entry.mono_ms = from.whole("mono_ms", 0, kLargest);
    entry.tz_min  = static_cast<int>(from.whole("tz_min", -kFurthestZone, kFurthestZone));
    entry.boot    = from.text_or_none("boot");
    entry.tq      = from.text("tq");
    if (entry.tq != "unset" && entry.tq != "manual" && entry.tq != "ntp") from.spoil("tq");
    const json hlc = from.take("hlc");
    const bool two =
        hlc.is_array() && hlc.size() == 2 && hlc[0].is_number_integer() && hlc[1].is_number_integer();
    if (!two || hlc[1].get<std::int64_t>() < 0) return from.spoil("hlc");
    entry.hlc_ms = hlc[0].get<std::int64_t>();
    entry.hlc_c  = hlc[1].get<std::int64_t>();
}

void take_refs(Taker& from, Entry& entry)
{
    if (!from.has("refs")) return;
    const json refs = from.take("refs");
    if (!refs.is_array() || refs.empty()) return from.spoil("refs");
    for (const json& ref : refs) {
        if (!ref.is_string() || !hash_from_hex(ref.get<std::string>())) return from.spoil("refs");
        entry.said.refs.push_back(ref.get<std::string>());
    }
}

void take_said(Taker& from, Entry& entry)
{
    entry.said.actor = from.text_or_none("actor");
    entry.said.kind  = from.text("kind");
    entry.said.job   = from.text_or_none("job");
    entry.said.pos   = from.text_or_none("pos");
    entry.said.step  = from.text_or_none("step");
    take_refs(from, entry);
    json body = from.take("d");
    if (!body.is_object()) return from.spoil("d");
    entry.said.body = std::make_shared<const json>(std::move(body));
}

void put(json& into, const char* key, const std::string& text)
{
    if (!text.empty()) into[key] = text;
}

} // namespace

json write_envelope(const Entry& entry)
{
    json value{{"v", 1},
               {"plant", entry.plant},
               {"dev", entry.dev},
               {"seq", entry.seq},
               {"prev", entry.prev},
               {"hlc", json::array({entry.hlc_ms, entry.hlc_c})},
               {"wall_ms", entry.wall_ms},
               {"tz_min", entry.tz_min},
               {"mono_ms", entry.mono_ms},
               {"tq", entry.tq},
               {"kind", entry.said.kind},
               {"d", entry.said.body ? *entry.said.body : json::object()}};
    put(value, "actor", entry.said.actor);
    put(value, "boot", entry.boot);
    put(value, "job", entry.said.job);
    put(value, "pos", entry.said.pos);
    put(value, "step", entry.said.step);
    if (!entry.said.refs.empty()) value["refs"] = entry.said.refs;
    return value;
}

Result<Entry> read_envelope(json value)
{
    if (!value.is_object())
        return failure(Fault::bad_input, "The entry is not an object with fields, so it is not taken.");
    Taker      from(std::move(value));
    const auto version = from.whole("v", 1, kLargest);
    if (version > 1)
        return failure(Fault::unsupported, "The entry is of format " + std::to_string(version) +
                                               ", newer than this program knows; update this machine.");
    Entry entry;
    entry.plant = from.text("plant");
    entry.dev   = from.id("dev");
    entry.seq   = static_cast<std::uint64_t>(from.whole("seq", 1, kLargestSeq));
    entry.prev  = from.id("prev");
    take_clocks(from, entry);
    take_said(from, entry);
    if (const std::string fault = from.fault(); !fault.empty())
        return failure(Fault::bad_input, "The entry cannot be taken: " + fault + ".");
    return entry;
}

} // namespace engine
