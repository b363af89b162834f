#pragma once
// Wrong PINs on this machine. What was tried is in the book, so a new start forgets nothing: a PIN cannot be
// found by trying.
#include "engine/book/book.h"

namespace engine {

/// Wrong ones in a row that cost nothing; from then on each one doubles the wait, up to the longest.
inline constexpr std::uint64_t kFreePinTries   = 5;
inline constexpr std::int64_t  kFirstPinWaitMs = 60'000;
inline constexpr std::int64_t  kMostPinWaitMs  = 3'600'000;

struct PinTries {
    std::uint64_t wrong   = 0; ///< in a row, since the badge last signed here
    std::int64_t  wait_ms = 0; ///< until the next one is looked at
};
[[nodiscard]] PinTries pin_tries(const Book& book, const std::string& badge, const Clock& clock);

/// Good when a PIN may be looked at now. Fault::refused with the time to wait.
[[nodiscard]] Status may_try_pin(const Book& book, const std::string& badge, const Clock& clock);

/// Puts a wrong PIN on record (`pin.refused`); the refusal, which says how long to wait once it costs time.
/// Where the book cannot take the entry, that is the failure.
[[nodiscard]] Failure after_wrong_pin(Book& book, const std::string& badge, const Clock& clock,
                                      const Error& refusal);

} // namespace engine
