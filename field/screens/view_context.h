#pragma once
// What every screen's view is worked out from, besides the job: words, the hour, the units people like to
// read.
#include "engine/base/clock.h"
#include "engine/catalogue/catalogue.h"
#include "engine/procedure/workbench.h"
#include "field/look/words.h"

#include <optional>

namespace field::screens {

enum class Units { mm, inch };

struct ViewContext {
    const look::Words*       words     = nullptr;
    const engine::Catalogue* catalogue = nullptr;
    engine::Instant          now;
    Units                    units   = Units::mm;
    int                      to_send = 0;       ///< own entries not yet in the folder
    std::string              badge;             ///< who holds the tablet
    std::string              today;             ///< ISO date of `now`
    engine::Space            space;             ///< room on this tablet's disk
    bool                     no_memory = false; ///< the reserve of memory is in use
};

/// Nothing new may be begun: disk or memory would not carry it to its end.
[[nodiscard]] bool no_room(const ViewContext& context);
/// What the fitter reads when this tablet's disk or memory runs low: "Little room left: 340 MB. ..." Empty
/// while there is enough.
[[nodiscard]] std::string little_room(const ViewContext& context);

/// The line at the top of every screen.
struct Heading {
    std::string title;  ///< "Lime dryer fan 4 · A · fixed"
    std::string status; ///< "3 to send"
    std::string clock;  ///< "10:42"
};
[[nodiscard]] Heading heading_of(const ViewContext& context, std::string title);
/// "Lime dryer fan 4 · A · fixed", or the job alone when there is no position.
[[nodiscard]] std::string place_title(const ViewContext& context, const engine::Plan& plan,
                                      const std::string& pos);

/// A length, angle, ... as it is read: "49.970 mm", "300°", "1-15/16 in". `decimals` below 0: as many as the
/// unit is read with.
[[nodiscard]] std::string quantity_text(std::int64_t si, engine::UnitOf unit, int decimals = -1);
/// The number alone.
[[nodiscard]] std::string number_text(std::int64_t si, engine::UnitOf unit, int decimals = -1);
[[nodiscard]] int         usual_decimals(engine::UnitOf unit);

/// The step to go on with: where the last thing was done while something is open there, else the first open
/// one of the plan.
[[nodiscard]] std::optional<engine::StepRef> step_to_go_on(const engine::Progress& progress);

/// Words of a step with the numbers of its unit put in: "Turn the nut {turn}" -> "Turn the nut 300° to 330°".
[[nodiscard]] std::string step_words(const ViewContext& context, const engine::Plan& plan,
                                     const engine::StepRef& at, const std::string& which);

} // namespace field::screens
