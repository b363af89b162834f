#include "engine/running/frequencies.h"

#include "engine/base/ranges.h"

#include <cmath>
#include <numbers>

namespace engine {

Result<DefectFrequencies> defect_frequencies(const RollingSet& set)
{
    if (const auto bad = out_of({3, 200, "", 0}, set.elements, "number of rolling elements")) return *bad;
    if (const auto bad = out_of({0.5, 500, "mm", 1}, set.element.value, "diameter of an element"))
        return *bad;
    if (const auto bad = out_of({set.element.value / 0.95, 5000, "mm", 2}, set.pitch.value,
                                "diameter of the pitch circle"))
        return *bad;
    if (const auto bad = out_of({0, 80, "degrees", 0}, set.contact.value, "contact angle")) return *bad;
    if (const auto bad = out_of({0.1, 200'000, "r/min", 1}, set.speed.value, "speed")) return *bad;
    // Neighbours on the circle are D sin(180/N) apart; half a per mille for rounded sizes.
    const double room = set.pitch.value * std::sin(std::numbers::pi / set.elements);
    if (set.element.value > 1.0005 * room)
        return failure(Fault::out_of_range, std::to_string(set.elements) + " elements of " +
                                                fixed(set.element.value, 2) +
                                                " mm do not find room on a circle of " +
                                                fixed(set.pitch.value, 2) + " mm; count one row only.");
    const double      turns = set.speed.value / 60;
    const double      r     = set.element / set.pitch * std::cos(set.contact.value * std::numbers::pi / 180);
    DefectFrequencies found;
    found.ftf  = Hertz{turns / 2 * (1 - r)};
    found.bpfo = set.elements * found.ftf;
    found.bpfi = Hertz{turns / 2 * set.elements * (1 + r)};
    found.bsf  = Hertz{turns / 2 * (set.pitch / set.element) * (1 - r * r)};
    return found;
}

} // namespace engine
