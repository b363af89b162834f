#include "field/screens/pictures.h"

#include "engine/mounting/bolting.h"

namespace field::screens {

drawing::BearingData bearing_of(const engine::UnitSheet& unit)
{
    drawing::BearingData data;
    data.shaft      = unit.shaft;
    data.bore       = unit.bearing_bore;
    data.raceway    = unit.raceway;
    data.seat_width = unit.seat_width;
    data.taper      = unit.taper;
    data.pitch      = unit.pitch;
    return data;
}

drawing::NutPicture nut_of(const engine::UnitSheet& unit)
{
    drawing::NutPicture picture;
    picture.slots    = unit.slots;
    picture.tangs    = unit.tangs;
    picture.shaft    = unit.shaft;
    picture.bore     = unit.bearing_bore;
    picture.turn_min = unit.turn_min;
    picture.turn_max = unit.turn_max;
    return picture;
}

drawing::BoltPicture bolts_of(const engine::UnitSheet& unit)
{
    drawing::BoltPicture picture;
    picture.part =
        unit.mount == engine::Mount::flange ? drawing::BoltedPart::flange : drawing::BoltedPart::pillow_block;
    picture.shaft = unit.shaft;
    if (const auto order = engine::cross_order(unit.bolts))
        for (const int place : *order)
            picture.order.push_back(place - 1);
    return picture;
}

drawing::LinePicture line_of(const ViewContext& context, const engine::JobState& job, const std::string& here)
{
    drawing::LinePicture picture;
    for (const engine::Position& position : job.plan.job.positions) {
        const engine::UnitSheet*      unit   = job.plan.unit(position.letter);
        const engine::PositionStatus* status = job.progress.position(position.letter);
        drawing::LinePosition         drawn{.letter = position.letter,
                                            .flange = unit != nullptr && unit->mount == engine::Mount::flange,
                                            .current = position.letter == here,
                                            .done    = status != nullptr && status->locked};
        drawn.floats = position.role == engine::Hold::expansion;
        drawn.says   = context.words->say(drawn.floats   ? "role.expansion"
                                          : drawn.flange ? "role.flange"
                                                         : "role.fixed");
        picture.positions.push_back(std::move(drawn));
    }
    return picture;
}

} // namespace field::screens
