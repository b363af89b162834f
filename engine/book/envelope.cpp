#include "engine/book/envelope.h"

#include "engine/book/codec.h"
#include "engine/book/one_form.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;
using simdjson::dom::element;

constexpr std::int64_t kLargestSeq   = (std::int64_t{1} << 40) - 1;
constexpr int          kFurthestZone = 24 * 60;

/// The keys an envelope may have, in their order.
constexpr std::array<std::string_view, 18> kKeys{"actor", "boot",    "d",     "dev",    "hlc",  "job",
                                                 "kind",  "mono_ms", "plant", "pos",    "prev", "refs",
                                                 "seq",   "step",    "tq",    "tz_min", "v",    "wall_ms"};
constexpr std::size_t                      kNone = kKeys.size();

/// Of a key that is one of them: asked with literals only, so the compiler counts.
consteval std::size_t place_of(std::string_view key)
{
    std::size_t at = 0;
    while (kKeys.at(at) != key)
        ++at;
    return at;
}

/// A key by its place.
struct Key {
    std::size_t at;
    // NOLINTNEXTLINE(google-explicit-constructor): a key is asked for by its name
    consteval Key(const char* name) : at(place_of(name)) {}
    [[nodiscard]] std::string_view name() const { return kKeys[at]; }
};

/// The fields of one text. The first fault stays.
class Fields {
  public:
    /// Walks the text once. False: it is not in its one form.
    [[nodiscard]] bool read(const simdjson::dom::object& object, std::string_view text)
    {
        OneForm          form(text);
        std::string_view before;
        std::size_t      next = 0; // both lists are sorted
        if (!form.eat("{")) return false;
        for (const auto field : object) {
            if (!form.key(field.key, before)) return false;
            const std::size_t begin = form.at();
            if (!form.value(field.value, 1)) return false;
            before = field.key;
            while (next < kKeys.size() && kKeys[next] < field.key)
                ++next;
            if (next == kKeys.size() || kKeys[next] != field.key) {
                if (unknown_.empty()) unknown_ = field.key;
                continue;
            }
            found_[next] = field.value;
            if (kKeys[next] == "d") body_ = text.substr(begin, form.at() - begin);
        }
        return form.eat("}") && form.ended();
    }

    [[nodiscard]] std::int64_t whole(Key key, std::int64_t low, std::int64_t high)
    {
        const auto& found  = found_[key.at];
        const auto  number = found ? whole_of(*found) : std::nullopt;
        if (number && *number >= low && *number <= high) return *number;
        spoil(key);
        return 0;
    }

    [[nodiscard]] std::string text(Key key)
    {
        const auto& found = found_[key.at];
        if (found && found->is_string() && found->get_string_length().value_unsafe() > 0)
            return std::string(std::string_view(*found));
        spoil(key);
        return {};
    }

    /// Absent is the one way to say "empty".
    [[nodiscard]] std::string text_or_none(Key key) { return found_[key.at] ? text(key) : std::string(); }

    [[nodiscard]] std::string id(Key key)
    {
        std::string found = text(key);
        if (!hash_from_hex(found)) spoil(key);
        return found;
    }

    [[nodiscard]] const std::optional<element>& at(Key key) const { return found_[key.at]; }
    [[nodiscard]] std::string_view              body() const { return body_; }

    void spoil(Key key)
    {
        if (fault_.empty()) fault_ = key.name();
    }

    [[nodiscard]] std::string fault() const
    {
        if (!fault_.empty()) return "its field '" + fault_ + "' is missing or not as it must be";
        return unknown_.empty() ? "" : "it has a field '" + unknown_ + "' nobody knows";
    }

    [[nodiscard]] static std::optional<std::int64_t> whole_of(const element& value)
    {
        std::int64_t number = 0;
        if (!value.is_int64() || value.get(number) != simdjson::SUCCESS) return std::nullopt;
        return number;
    }

  private:
    std::array<std::optional<element>, kNone> found_;
    std::string_view                          body_;
    std::string                               unknown_, fault_;
};

void take_clocks(Fields& from, Entry& entry)
{
    entry.wall_ms = from.whole("wall_ms", -kLargestWhole, kLargestWhole);
    entry.mono_ms = from.whole("mono_ms", 0, kLargestWhole);
    entry.tz_min  = static_cast<int>(from.whole("tz_min", -kFurthestZone, kFurthestZone));
    entry.boot    = from.text_or_none("boot");
    entry.tq      = from.text("tq");
    if (entry.tq != "unset" && entry.tq != "manual" && entry.tq != "ntp") from.spoil("tq");
    simdjson::dom::array hlc;
    const auto&          found = from.at("hlc");
    if (!found || found->get(hlc) != simdjson::SUCCESS || hlc.size() != 2) return from.spoil("hlc");
    const auto ms    = Fields::whole_of(hlc.at(0).value_unsafe()),
               count = Fields::whole_of(hlc.at(1).value_unsafe());
    if (!ms || !count || *count < 0) return from.spoil("hlc");
    entry.hlc_ms = *ms;
    entry.hlc_c  = *count;
}

void take_refs(Fields& from, Entry& entry)
{
    const auto& found = from.at("refs");
    if (!found) return;
    simdjson::dom::array refs;
    if (found->get(refs) != simdjson::SUCCESS || refs.size() == 0) return from.spoil("refs");
    for (const auto ref : refs) {
        std::string_view id;
        if (ref.get(id) != simdjson::SUCCESS || !hash_from_hex(id)) return from.spoil("refs");
        entry.said.refs.emplace_back(id);
    }
}

void take_said(Fields& from, Entry& entry)
{
    entry.said.actor = from.text_or_none("actor");
    entry.said.kind  = from.text("kind");
    entry.said.job   = from.text_or_none("job");
    entry.said.pos   = from.text_or_none("pos");
    entry.said.step  = from.text_or_none("step");
    take_refs(from, entry);
    if (!from.at("d") || !from.at("d")->is_object()) return from.spoil("d");
    entry.said.body = Body::of_text(from.body());
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

Result<Entry> read_envelope(std::string_view text)
{
    element               whole;
    simdjson::dom::object object;
    if (!take_apart(text, whole) || whole.get(object) != simdjson::SUCCESS)
        return failure(Fault::bad_input,
                       "The entry is not JSON: it is damaged or was not written by this program.");
    Fields from;
    if (!from.read(object, text))
        return failure(Fault::bad_input, "The entry is not in its one canonical form, so it is not taken.");
    const auto version = from.whole("v", 1, kLargestWhole);
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
