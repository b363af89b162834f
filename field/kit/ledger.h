#pragma once
// What is wrong with a frame that a gloved hand and a reader at 0.7 m would notice. Every screen test ends
// with it.
#include "field/look/ledger.h"
#include "field/look/type.h"
#include "field/look/words.h"

#include <string>
#include <vector>

namespace field::kit {

struct Demands {
    float target_mm{20.0F};      ///< both sides of every target (UI.md: at the machine)
    float apart_mm{2.9F};        ///< between two targets
    float smallest_cap_mm{3.3F}; ///< see demands_at_machine()
};
/// Demands at the machine: 20 mm, 3.3 mm letters, 2.6 mm on a hand-held glass. The desk may go to 10 mm, 2.3
/// mm.
[[nodiscard]] Demands demands_at_machine(const look::ScreenSize& screen);
[[nodiscard]] Demands demands_at_desk();

/// One sentence a fault: small, crowded or off-screen targets, twice the same id; text cut off by its clip,
/// its box or the glass, or shortened to fit; two texts on each other, or words on a panel that is not
/// theirs; letters too small or in no font. Empty when all is well.
[[nodiscard]] std::vector<std::string> complaints(const look::FrameLedger& ledger, const Demands& demands);

} // namespace field::kit
