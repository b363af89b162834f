#include "engine/book/shown_order.h"

#include "engine/book/entry.h"

#include <algorithm>
#include <list>
#include <numeric>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace engine {
namespace {

constexpr std::size_t kIdDigits = 64;

std::string_view bytes_of(const Hash& id)
{
    return {reinterpret_cast<const char*>(id.data()), id.size()};
}

constexpr std::size_t kNobody = static_cast<std::size_t>(-1);

/// What must be shown before an entry, as far as it is in the list.
struct Before {
    std::size_t              own = kNobody; ///< the one before it of its own machine
    std::vector<std::size_t> answered;
};

std::vector<Before> befores(const std::vector<Shown>& entries, const std::vector<std::size_t>& sorted)
{
    std::vector<Before>                               before(entries.size());
    std::unordered_map<std::string_view, std::size_t> last_of_machine, by_id;
    for (const std::size_t i : sorted) {
        const auto [last, first] = last_of_machine.try_emplace(entries[i].dev, i);
        if (!first) before[i].own = std::exchange(last->second, i);
    }
    for (std::size_t i = 0; i < entries.size(); ++i) {
        if (entries[i].refs.empty()) continue;
        if (by_id.empty())
            for (std::size_t j = 0; j < entries.size(); ++j)
                by_id.emplace(bytes_of(entries[j].id), j);
        for (const Hash& ref : entries[i].refs)
            if (const auto at = by_id.find(bytes_of(ref)); at != by_id.end())
                before[i].answered.push_back(at->second);
    }
    return before;
}

} // namespace

std::vector<std::size_t> in_shown_order(const std::vector<Shown>& entries)
{
    std::vector<std::size_t> sorted(entries.size());
    std::iota(sorted.begin(), sorted.end(), std::size_t{0});
    const auto key = [&entries](std::size_t i) {
        const Shown& e = entries[i];
        return std::tie(e.hlc_ms, e.hlc_c, e.dev, e.seq, e.id);
    };
    std::sort(sorted.begin(), sorted.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    const std::vector<Before> before = befores(entries, sorted);
    std::vector<bool>         shown(entries.size(), false);
    std::list<std::size_t>    waiting;
    std::vector<std::size_t>  order;
    order.reserve(entries.size());
    const auto ready = [&](std::size_t i) {
        const auto is_shown         = [&](std::size_t b) { return shown[b]; };
        const auto& [own, answered] = before[i];
        return (own == kNobody || shown[own]) && std::all_of(answered.begin(), answered.end(), is_shown);
    };
    const auto show = [&](std::size_t i) {
        shown[i] = true;
        order.push_back(i);
    };
    for (const std::size_t i : sorted) {
        if (!ready(i)) {
            waiting.push_back(i);
            continue;
        }
        show(i);
        for (auto at = waiting.begin(); at != waiting.end();) {
            if (!ready(*at)) {
                ++at;
                continue;
            }
            show(*at);
            waiting.erase(at);
            at = waiting.begin(); // it may have set an earlier one free
        }
    }
    for (const std::size_t i : waiting) // only a forged circle could leave any; nothing is dropped
        show(i);
    return order;
}

std::vector<Entry> in_shown_order(std::vector<Entry> entries)
{
    std::vector<Shown> shown;
    shown.reserve(entries.size());
    for (const Entry& entry : entries) {
        Shown one{entry.hlc_ms, entry.hlc_c, entry.dev, entry.seq, {}, {}};
        if (const auto id = hash_from_hex(entry.id)) one.id = *id;
        for (const std::string& ref : entry.said.refs)
            if (const auto id = hash_from_hex(ref)) one.refs.push_back(*id);
        shown.push_back(std::move(one));
    }
    std::vector<Entry> ordered;
    ordered.reserve(entries.size());
    for (const std::size_t i : in_shown_order(shown))
        ordered.push_back(entries[i]);
    return ordered;
}

std::vector<Hash> refs_in(std::string_view line)
{
    // The keys of an entry are sorted, and what it says stands before "prev": the last one is the entry's
    // own. A quote inside a text is escaped, so the bytes cannot stand in one.
    static constexpr std::string_view kPrev = "\"prev\":\"", kRefs = "\",\"refs\":[";
    std::vector<Hash>                 found;
    const std::size_t                 prev = line.rfind(kPrev);
    if (prev == std::string_view::npos) return found;
    line.remove_prefix(std::min(line.size(), prev + kPrev.size() + kIdDigits));
    if (line.substr(0, kRefs.size()) != kRefs) return found;
    line.remove_prefix(kRefs.size());
    while (line.size() > kIdDigits + 1) { // `"id",` or `"id"]`
        const auto id = hash_from_hex(line.substr(1, kIdDigits));
        if (!id) break;
        found.push_back(*id);
        line.remove_prefix(kIdDigits + 2);
        if (line.empty() || line.front() != '"') break;
    }
    return found;
}

} // namespace engine
