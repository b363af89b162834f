#pragma once
// The isolating switch with its padlock and tag: open hasp until a lock number is given, closed with the
// number on the lock afterwards.
#include "field/drawing/sketch.h"

namespace field::drawing {

struct LockPicture {
    std::string lock_number;         ///< empty: not locked yet
    std::string tag_says;            ///< line on the tag, for example the badge; may be empty
    bool        proved_dead = false; ///< tried to start, did not
    std::string word_off = "OFF", word_on = "ON";
};
[[nodiscard]] Sketch sketch(const LockPicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
