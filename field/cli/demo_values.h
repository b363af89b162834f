#pragma once
// Invented readings for the demo book: what a careful fitter would read, with a little scatter.
#include "engine/procedure/workbench.h"

#include <random>

namespace field::cli {

/// One run of numbers a demo book is made from; the same seed makes the same book.
class DemoDice {
  public:
    explicit DemoDice(std::uint32_t seed) : engine_(seed) {}

    [[nodiscard]] double between(double low, double high); ///< even
    [[nodiscard]] int    whole(int low, int high);         ///< even, both ends may come
    [[nodiscard]] bool   chance(double share);

  private:
    std::mt19937 engine_;
};

/// What may go wrong at one position; planted on purpose.
struct DemoFault {
    enum class Kind {
        none,
        turn_over,      ///< the nut goes past the sheet's largest turn
        back_off,       ///< the nut is loosened once after turning
        seat_undecided, ///< the seat is so near its limit that nothing is proven
        run_in_peak     ///< the housing gets hotter than the sheet allows
    };
    Kind        kind = Kind::none;
    std::string pos;
};

struct DemoReading {
    engine::Entered             value;
    std::string                 tool;
    std::optional<std::int64_t> part_mc;
};

/// What a reading is for, as seen when it is taken: it refers to what the caller holds.
struct DemoQuestion {
    const engine::JobState& state;
    const DemoFault&        fault;
    const engine::StepRef&  at;
    const engine::Ask&      ask;
    const std::string&      slot;
};

/// A reading for one ask and slot of a job; Fault::not_found when the plant has no instrument for it.
[[nodiscard]] engine::Result<DemoReading> demo_reading(const DemoQuestion&      question,
                                                       const engine::Catalogue& plant, DemoDice& dice);

} // namespace field::cli
