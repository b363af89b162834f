#pragma once
// What a plant is called that nobody has named: a book made for a try, or before its machine met its folder.

namespace field::app {

inline constexpr const char* kUnnamedPlant = "unnamed";

} // namespace field::app
