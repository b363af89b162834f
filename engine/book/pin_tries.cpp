#include "engine/book/pin_tries.h"

#include "engine/book/body.h"
#include "engine/book/roster.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>

namespace engine {
namespace {

constexpr std::int64_t kMsPerMinute = 60'000;

/// The newest wrong PIN of a badge on this machine, under whatever key it signed then.
std::optional<Entry> last_wrong_pin(const Book& book, const std::string& badge)
{
    std::set<std::string> own{book.device()};
    for (const auto& retired : book.retired())
        own.insert(retired.dev);
    std::optional<Entry> last;
    for (Entry& entry : book.entries_of_kind(kind::pin_refused))
        if (own.contains(entry.dev) && text_in(entry.body(), "badge") == badge) last = std::move(entry);
    return last;
}

/// Nothing of these is written without the right PIN.
bool shows_right_pin(const Entry& entry, const std::string& badge)
{
    return entry.said.actor == badge &&
           (is_signed_by_person(entry.said.kind) || entry.body().contains("psig"));
}

bool signed_since(const Book& book, const Entry& wrong, const std::string& badge)
{
    constexpr std::size_t kAtATime = 256;
    std::uint64_t         from     = wrong.dev == book.device() ? wrong.seq + 1 : 1;
    for (;;) {
        const auto entries = book.entries_of_machine(book.device(), from, kAtATime);
        if (std::ranges::any_of(entries, [&](const Entry& one) { return shows_right_pin(one, badge); }))
            return true;
        if (entries.size() < kAtATime) return false;
        from = entries.back().seq + 1;
    }
}

std::int64_t wait_after(std::uint64_t wrong)
{
    if (wrong < kFreePinTries) return 0;
    std::int64_t wait = kFirstPinWaitMs;
    for (std::uint64_t more = wrong - kFreePinTries; more > 0 && wait < kMostPinWaitMs; --more)
        wait *= 2;
    return std::min(wait, kMostPinWaitMs);
}

/// Setting the clock does not shorten the wait within one start of the machine.
std::int64_t gone_since(const Entry& entry, const Clock& clock)
{
    const Instant      now  = clock.now();
    const std::int64_t gone = entry.boot == clock.boot_id() && now.mono_ms >= entry.mono_ms
                                  ? now.mono_ms - entry.mono_ms
                                  : now.wall_ms - entry.wall_ms;
    return std::max<std::int64_t>(gone, 0);
}

std::string minutes_of(std::int64_t wait_ms)
{
    return std::to_string((wait_ms + kMsPerMinute - 1) / kMsPerMinute) + " min";
}

} // namespace

PinTries pin_tries(const Book& book, const std::string& badge, const Clock& clock)
{
    const auto last = last_wrong_pin(book, badge);
    if (!last || signed_since(book, *last, badge)) return {};
    const auto count = last->body().find("count");
    PinTries   tries;
    if (count != last->body().end() && count->is_number_unsigned()) tries.wrong = count->get<std::uint64_t>();
    tries.wait_ms = std::max<std::int64_t>(wait_after(tries.wrong) - gone_since(*last, clock), 0);
    return tries;
}

Status may_try_pin(const Book& book, const std::string& badge, const Clock& clock)
{
    const PinTries tries = pin_tries(book, badge, clock);
    if (tries.wait_ms == 0) return Unit{};
    return failure(Fault::refused, "The PIN of badge " + badge + " was wrong " + std::to_string(tries.wrong) +
                                       " times in a row on this machine; the next one is looked at in " +
                                       minutes_of(tries.wait_ms) + ".");
}

Failure after_wrong_pin(Book& book, const std::string& badge, const Clock& clock, const Error& refusal)
{
    const std::uint64_t wrong = pin_tries(book, badge, clock).wrong + 1;
    Draft               draft;
    draft.kind = kind::pin_refused;
    draft.body = std::make_shared<const nlohmann::json>(nlohmann::json{{"badge", badge}, {"count", wrong}});
    if (const auto kept = book.append(draft); !kept) return kept.failure();
    Error told = refusal;
    if (wrong >= kFreePinTries) {
        if (told.message.ends_with('.')) told.message.pop_back();
        told.message += "; it was wrong " + std::to_string(wrong) +
                        " times in a row, and the next one is looked at in " + minutes_of(wait_after(wrong)) +
                        ".";
    }
    return Failure{std::move(told)};
}

} // namespace engine
