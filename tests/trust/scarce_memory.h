#pragma once
// Memory that runs out: the n-th allocation fails, once or from then on. Counts operator new and what sqlite
// and libcrypto ask for, in this program only. Destructors of the JSON library allocate (nlohmann
// json 3.11.2, json_value::destroy) and cannot report it; theirs are left alone.
#include <cstddef>

namespace trust::memory {

/// From now on the n-th allocation fails, and with `for_ever` all after it; 0: none, they are counted.
void scarce(std::size_t at, bool for_ever);
/// Enough again; how many were asked for since `scarce`.
std::size_t enough();
/// Whether one failed since `scarce`.
[[nodiscard]] bool was_felt();
/// Calls the failing begins and ends with.
void pause();
void go_on();

/// Puts itself between sqlite and libcrypto and their memory: before either is used.
void watch_libraries();

} // namespace trust::memory
