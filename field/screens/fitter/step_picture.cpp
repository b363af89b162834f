#include "field/screens/fitter/step_picture.h"

#include "field/drawing/alignment.h"
#include "field/drawing/bolt_pattern.h"
#include "field/drawing/cutaway.h"
#include "field/drawing/expansion.h"
#include "field/drawing/flange_shims.h"
#include "field/drawing/lockout.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/paint.h"
#include "field/drawing/shaft_line.h"
#include "field/drawing/shaft_seat.h"
#include "field/drawing/surfaces.h"
#include "field/drawing/time_line.h"
#include "field/screens/fitter/kit_list.h"
#include "field/screens/pictures.h"

#include <algorithm>
#include <charconv>
#include <map>

namespace field::screens {

using engine::Millimetres;
using engine::UnitOf;

namespace {

struct Scene { ///< what every picture is filled from
    const ViewContext&        context;
    const engine::JobState&   job;
    const StepInHand&         state;
    const engine::StepStatus& status;
    const engine::UnitSheet*  unit; ///< of the position in hand; null for steps of the whole shaft

    [[nodiscard]] std::optional<Millimetres> length(const std::string& ask,
                                                    const std::string& slot = {}) const
    {
        const auto* fact = status.facts.reading(ask, slot);
        if (fact == nullptr) return std::nullopt;
        return Millimetres{engine::from_si(fact->value.si, UnitOf::mm)};
    }
    [[nodiscard]] bool chosen(const std::string& ask, const std::string& option) const
    {
        const auto* fact = status.facts.choice(ask);
        return fact != nullptr && fact->option == option;
    }
    [[nodiscard]] std::string words(const std::string& id) const { return context.words->say(id); }
    /// The reading the keypad is open for, else the first one still to give.
    [[nodiscard]] AskSlot in_hand() const
    {
        if (state.typing) return *state.typing;
        return status.missing.empty() ? AskSlot{} : status.missing.front();
    }
};

template <class Picture> StepPicture painted(Picture picture)
{
    return [picture = std::move(picture)](look::Canvas& canvas, const look::Rect& area) {
        drawing::draw(canvas, area, picture);
    };
}

drawing::CutawayPicture cutaway(const Scene& scene)
{
    drawing::CutawayPicture picture;
    picture.words = {scene.words("part.outer"), scene.words("part.inner"), scene.words("part.sleeve"),
                     scene.words("part.nut"),   scene.words("part.shaft"), scene.words("part.tab")};
    if (scene.unit == nullptr) return picture;
    picture.flange       = scene.unit->mount == engine::Mount::flange;
    picture.bearing      = bearing_of(*scene.unit);
    const auto* position = scene.job.progress.position(scene.status.ref.pos);
    if (position != nullptr && position->turned)
        picture.bearing.travel = engine::to_turns(*position->turned) * scene.unit->pitch;
    picture.tab_bent = position != nullptr && position->locked;
    return picture;
}

StepPicture zero_picture(const Scene& scene)
{
    auto picture   = cutaway(scene);
    picture.focus  = drawing::CutFocus::contact_faces;
    picture.tool   = drawing::CutTool::blade;
    picture.motion = drawing::CutMotion::sleeve_out;
    if (!scene.chosen("grips", "yes")) picture.bearing.seat_gap = Millimetres{0.4};
    return painted(picture);
}

StepPicture clearance_picture(const Scene& scene)
{
    auto picture  = cutaway(scene);
    picture.focus = drawing::CutFocus::feeler_gap;
    picture.tool  = drawing::CutTool::feeler;
    if (const auto read = scene.length("clearance"))
        picture.bearing.clearance_left = *read;
    else if (scene.unit != nullptr && scene.unit->clearance_before)
        picture.bearing.clearance_left = scene.unit->clearance_before->low;
    return painted(picture);
}

StepPicture slide_on_picture(const Scene& scene)
{
    auto picture             = cutaway(scene);
    picture.focus            = drawing::CutFocus::seals;
    picture.motion           = drawing::CutMotion::slide_on;
    picture.bearing.seat_gap = Millimetres{0.4};
    return painted(picture);
}

StepPicture grease_picture(const Scene& scene)
{
    auto picture  = cutaway(scene);
    picture.focus = drawing::CutFocus::feeler_gap;
    picture.tool  = drawing::CutTool::grease_gun;
    return painted(picture);
}

StepPicture mark_picture(const Scene& scene)
{
    drawing::NutPicture picture = nut_of(*scene.unit);
    picture.knob                = false;
    return painted(picture);
}

/// A nut that stands still: the done turn and lock steps.
StepPicture nut_picture(const Scene& scene)
{
    drawing::NutPicture picture  = nut_of(*scene.unit);
    const auto*         position = scene.job.progress.position(scene.status.ref.pos);
    picture.knob                 = false;
    if (position != nullptr && position->turned) picture.turned = picture.recorded = *position->turned;
    picture.locked = position != nullptr && position->locked;
    return painted(picture);
}

StepPicture seat_picture(const Scene& scene)
{
    drawing::SeatPicture picture{.shaft      = scene.unit->shaft,
                                 .seat_width = scene.unit->seat_width,
                                 .from_end   = Millimetres{scene.unit->shaft.value * 0.7}};
    picture.word_across = scene.words("direction.across");
    picture.word_up     = scene.words("direction.up");
    const auto in_hand  = scene.in_hand();
    for (const engine::Ask& ask : scene.job.plan.find(scene.status.ref)->step.asks) {
        if (ask.limits != "seat") continue;
        for (const std::string& slot : ask.slots) {
            const std::string plane = slot.substr(0, slot.find('.'));
            const bool        up    = slot.ends_with(".up");
            if (picture.planes.empty() || picture.planes.back().name != plane)
                picture.planes.push_back({plane, {}, {}});
            (up ? picture.planes.back().up : picture.planes.back().across) = scene.length(ask.name, slot);
            if (in_hand != AskSlot{ask.name, slot}) continue;
            picture.plane     = static_cast<int>(picture.planes.size()) - 1;
            picture.direction = up ? drawing::Direction::up : drawing::Direction::across;
        }
    }
    return painted(picture);
}

StepPicture shims_picture(const Scene& scene, drawing::ShimState shims)
{
    drawing::FlangePicture picture{.shaft = scene.unit->shaft, .bolts = scene.unit->bolts, .state = shims};
    picture.shim           = scene.unit->shim.value_or(Millimetres{0});
    picture.word_structure = scene.words("part.structure");
    picture.word_flange    = scene.words("part.flange");
    const auto in_hand     = scene.in_hand();
    for (std::size_t point = 0; point < picture.read.size(); ++point) {
        const std::string slot = std::to_string(point + 1);
        picture.read.at(point) = scene.length("thickness", slot);
        if (in_hand.second == slot) picture.point = static_cast<int>(point);
    }
    return painted(picture);
}

StepPicture loose_bolts_picture(const Scene& scene)
{
    drawing::BoltPicture picture = bolts_of(*scene.unit);
    picture.slack                = true;
    return painted(picture);
}

StepPicture bolts_picture(const Scene& scene, bool cap)
{
    drawing::BoltPicture picture = bolts_of(*scene.unit);
    if (cap) picture.part = drawing::BoltedPart::cap;
    const bool finished = scene.status.state != engine::StepState::open;
    picture.done        = finished ? static_cast<int>(picture.order.size())
                                   : static_cast<int>(scene.status.facts.readings.size());
    return painted(picture);
}

StepPicture centre_picture(const Scene& scene)
{
    drawing::ExpansionPicture picture;
    picture.word_growth = scene.words("part.grows");
    picture.word_target = scene.words("part.target");
    const auto left     = scene.length("gap_left");
    const auto right    = scene.length("gap_right");
    picture.read        = left && right;
    const double half   = scene.unit->float_total ? scene.unit->float_total->value / 2 : 1.0;
    picture.left        = left.value_or(Millimetres{half});
    picture.right       = right.value_or(Millimetres{half});
    for (const engine::Figure& figure : scene.status.assessment.figures) {
        if (figure.key == "shaft_growth")
            picture.growth = Millimetres{engine::from_si(figure.si, UnitOf::mm)};
        if (figure.key == "set_off") picture.set_off = Millimetres{engine::from_si(figure.si, UnitOf::mm)};
    }
    return painted(picture);
}

StepPicture align_picture(const Scene& scene)
{
    drawing::AlignPicture picture;
    const auto&           positions = scene.job.plan.job.positions;
    picture.first                   = positions.front().letter;
    picture.second                  = positions.back().letter;
    const auto across               = scene.length("offset_across");
    const auto up                   = scene.length("offset_up");
    picture.read                    = across || up;
    for (const engine::Figure& figure : scene.status.assessment.figures)
        if (figure.unit == UnitOf::deg)
            picture.angle = engine::Degrees{engine::from_si(figure.si, UnitOf::deg)};
    if (const auto* unit = scene.job.plan.unit(picture.first)) picture.limit = unit->misalignment_max;
    return painted(picture);
}

StepPicture soft_foot_picture(const Scene& scene)
{
    drawing::FootPicture picture{.feet = scene.unit->bolts <= 2 ? 2 : 4};
    const auto           in_hand = scene.in_hand();
    for (std::size_t foot = 0; foot < picture.gap.size(); ++foot) {
        const std::string slot = std::to_string(foot + 1);
        picture.gap.at(foot)   = scene.length("gap", slot);
        if (in_hand.second == slot) picture.current = static_cast<int>(foot);
    }
    return painted(picture);
}

/// Readings of the run-in by position; slots are "A.15": position and minutes.
StepPicture run_in_picture(const Scene& scene)
{
    drawing::HeatPicture picture{.planned = scene.job.plan.job.run_in};
    picture.word_stop  = scene.words("part.stop_at");
    picture.word_air   = scene.words("part.air");
    picture.word_empty = scene.words("part.no_reading");
    std::map<std::string, drawing::HeatLine> lines;
    for (const auto& reading : scene.status.facts.readings) {
        const std::size_t dot = reading.slot.find('.');
        if (dot == std::string::npos || reading.value.unit != UnitOf::celsius) continue;
        double minutes = 0;
        (void)std::from_chars(reading.slot.data() + dot + 1, reading.slot.data() + reading.slot.size(),
                              minutes);
        lines[reading.slot.substr(0, dot)].read.push_back(
            {engine::Hours{minutes / 60.0},
             engine::Celsius{engine::from_si(reading.value.si, UnitOf::celsius)}});
    }
    for (auto& [letter, line] : lines) {
        line.name  = letter;
        line.heavy = scene.in_hand().second.starts_with(letter + ".");
        picture.lines.push_back(std::move(line));
    }
    for (const auto& [letter, unit] : scene.job.plan.units)
        if (!picture.stop || unit.run_in_limit < *picture.stop) picture.stop = unit.run_in_limit;
    return painted(picture);
}

StepPicture lock_picture(const Scene& scene)
{
    drawing::LockPicture picture;
    if (const auto* code = scene.status.facts.code("lock_number"))
        picture.lock_number = code->text, picture.tag_says = code->at.actor;
    picture.word_off = scene.words("part.off");
    picture.word_on  = scene.words("part.on");
    return painted(picture);
}

StepPicture surfaces_picture(const Scene& scene)
{
    drawing::SurfacePicture picture;
    if (scene.unit != nullptr) picture.bearing = bearing_of(*scene.unit);
    const bool done    = scene.chosen("surfaces", "dry_clean");
    picture.shaft_done = picture.sleeve_done = picture.bore_done = done;
    picture.oiled                                                = done;
    picture.word_dry                                             = scene.words("part.dry");
    picture.word_oil                                             = scene.words("part.oil");
    return painted(picture);
}

/// A short list in place of a drawing: what to compare, what to lay out.
using Pairs = std::vector<std::pair<std::string, std::string>>;
StepPicture listed(Pairs lines)
{
    return [lines = std::move(lines)](look::Canvas& canvas, const look::Rect& area) {
        const float row = 13.5F;
        look::Rect  box = area;
        for (const auto& [what, detail] : lines) {
            if (box.h < row) return;
            const look::Rect line = box.cut_top(row);
            canvas.text_fitted({line.x, line.y + 5.0F}, what, {look::Role::label_bold, canvas.palette().ink},
                               line.w);
            canvas.text_fitted({line.x, line.y + 10.6F}, detail, {look::Role::label, canvas.palette().soft},
                               line.w);
        }
    };
}

StepPicture papers_picture(const Scene& scene)
{
    Pairs lines;
    for (const engine::Position& position : scene.job.plan.job.positions) {
        const engine::UnitSheet* unit = scene.job.plan.unit(position.letter);
        if (unit == nullptr) continue;
        const std::string serial = position.serial.empty()
                                       ? scene.words("papers.no_serial")
                                       : scene.context.words->say("papers.serial", {position.serial});
        lines.emplace_back(scene.context.words->say("papers.unit", {position.letter, unit->code}),
                           scene.context.words->say("papers.sheet", {unit->revision}) + " · " + serial);
    }
    return listed(std::move(lines));
}

StepPicture kit_picture(const Scene& scene)
{
    Pairs lines;
    for (const KitLine& line : view_of(scene.context, scene.job, KitListState{}).lines)
        lines.emplace_back(line.what, line.detail);
    return listed(std::move(lines));
}

using Fill = StepPicture (*)(const Scene&);
struct Kind {
    const char* screen;
    bool        needs_unit;
    Fill        fill;
};
constexpr Kind kKinds[] = {
    {"isolate", false, lock_picture},
    {"papers", false, papers_picture},
    {"kit", false, kit_picture},
    {"clean", false, surfaces_picture},
    {"measure", true, seat_picture},
    {"clearance", true, clearance_picture},
    {"slide_on", true, slide_on_picture},
    {"bolt_loose", true, loose_bolts_picture},
    {"shims", true, [](const Scene& scene) { return shims_picture(scene, drawing::ShimState::on_shims); }},
    {"shims_out", true,
     [](const Scene& scene) { return shims_picture(scene, drawing::ShimState::shims_out); }},
    {"zero", true, zero_picture},
    {"mark", true, mark_picture},
    {"turn", true, nut_picture},
    {"lock", true, nut_picture},
    {"centre", true, centre_picture},
    {"align", false, align_picture},
    {"soft_foot", true, soft_foot_picture},
    {"cap", true, [](const Scene& scene) { return bolts_picture(scene, true); }},
    {"bolts", true, [](const Scene& scene) { return bolts_picture(scene, false); }},
    {"grease", true, grease_picture},
    {"run_in", false, run_in_picture},
};

} // namespace

StepPicture picture_of(const ViewContext& context, const engine::JobState& job, const StepInHand& state,
                       const StepView& view)
{
    const engine::StepStatus* status = job.progress.step(state.at);
    if (status == nullptr) return [](look::Canvas&, const look::Rect&) {};
    const Scene scene{context, job, state, *status, job.plan.unit(state.at.pos)};
    for (const Kind& kind : kKinds)
        if (view.screen == kind.screen && (!kind.needs_unit || scene.unit != nullptr))
            return kind.fill(scene);
    if (scene.unit == nullptr) return painted(line_of(context, job, {}));
    return painted(cutaway(scene));
}

} // namespace field::screens
