#pragma once
// Memory put by for bad times. When the machine has no more, it is given back, so that what is under way
// comes to an orderly end (taking a JSON value apart needs memory too) and the person is told before the next
// thing fails.
#include <cstddef>

namespace engine {

inline constexpr std::size_t kMemoryReserve =
    4UL * 1024UL * 1024UL; ///< bytes; an entry at work needs some 50 KiB

/// Puts the reserve by and has it given back when an allocation fails; once a program, before other threads
/// start.
void keep_memory_reserve(std::size_t bytes = kMemoryReserve);

/// The reserve had to be used and cannot be put by again: begin nothing new.
[[nodiscard]] bool memory_is_short();

} // namespace engine
