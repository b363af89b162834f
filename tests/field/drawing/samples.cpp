#include "tests/field/drawing/samples.h"

#include "field/drawing/alignment.h"
#include "field/drawing/bolt_pattern.h"
#include "field/drawing/cutaway.h"
#include "field/drawing/expansion.h"
#include "field/drawing/flange_shims.h"
#include "field/drawing/lockout.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/shaft_line.h"
#include "field/drawing/shaft_seat.h"
#include "field/drawing/surfaces.h"
#include "field/drawing/time_line.h"

#include <cmath>

using namespace field::drawing;
using engine::Celsius;
using engine::Degrees;
using engine::Hours;
using engine::Millimetres;

namespace samples {
namespace {

template <class Picture> void add(std::vector<Sample>& list, std::string name, Picture picture)
{
    list.push_back({std::move(name), [picture](const Box& area, const Metrics& metrics) {
                        return sketch(picture, area, metrics);
                    }});
}

void cutaways(std::vector<Sample>& list)
{
    CutawayPicture zero;
    zero.focus                  = CutFocus::contact_faces;
    zero.tool                   = CutTool::blade;
    zero.motion                 = CutMotion::sleeve_out;
    zero.bearing.clearance_left = Millimetres{0.06};
    add(list, "cutaway-zero", zero);
    CutawayPicture turn         = zero;
    turn.focus                  = CutFocus::nut;
    turn.tool                   = CutTool::hook_spanner;
    turn.motion                 = CutMotion::ring_up;
    turn.motion_says            = "1.09 mm";
    turn.bearing.travel         = Millimetres{1.09};
    turn.bearing.clearance_left = Millimetres{0.03};
    add(list, "cutaway-turn", turn);
    CutawayPicture feelers = zero;
    feelers.focus          = CutFocus::feeler_gap;
    feelers.tool           = CutTool::feeler;
    feelers.motion         = CutMotion::none;
    add(list, "cutaway-feeler", feelers);
    CutawayPicture lock = zero;
    lock.focus          = CutFocus::tab;
    lock.tool           = CutTool::none;
    lock.motion         = CutMotion::none;
    lock.tab_bent       = true;
    add(list, "cutaway-locked", lock);
    CutawayPicture slide   = zero;
    slide.flange           = true;
    slide.focus            = CutFocus::seat;
    slide.tool             = CutTool::none;
    slide.motion           = CutMotion::slide_on;
    slide.bearing.seat_gap = Millimetres{0.8};
    add(list, "cutaway-flange", slide);
    CutawayPicture grease = zero;
    grease.focus          = CutFocus::seals;
    grease.tool           = CutTool::grease_gun;
    grease.motion         = CutMotion::none;
    grease.bearing        = {Millimetres{100.0},    Millimetres{110}, Millimetres{137}, Millimetres{77}, 30,
                             engine::ThreadPitch{2}};
    add(list, "cutaway-grease", grease);
    CutawayPicture mark = zero;
    mark.focus          = CutFocus::nut;
    mark.tool           = CutTool::marker;
    mark.motion         = CutMotion::none;
    add(list, "cutaway-mark", mark);
    SurfacePicture clean;
    add(list, "surfaces", clean);
    clean.shaft_done = clean.sleeve_done = clean.oiled = true;
    add(list, "surfaces-some", clean);
}

void nuts(std::vector<Sample>& list)
{
    NutPicture nut;
    nut.slots = 4, nut.tangs = 17;
    nut.turned   = Degrees{262};
    nut.turn_min = Degrees{300}, nut.turn_max = Degrees{330};
    add(list, "nut", nut);
    nut.turned   = Degrees{318};
    nut.recorded = Degrees{120};
    add(list, "nut-recorded", nut);
    nut.turned   = Degrees{372};
    nut.turn_min = Degrees{390}, nut.turn_max = Degrees{420};
    nut.recorded = Degrees{0};
    add(list, "nut-second-lap", nut);
    NutPicture locked = nut;
    locked.turned     = Degrees{360.0 * 5 / 17};
    locked.turn_min = Degrees{90}, locked.turn_max = Degrees{120};
    locked.locked = true, locked.knob = false;
    add(list, "nut-locked", locked);
    TabPicture tab;
    tab.nut        = nut;
    tab.nut.turned = Degrees{300};
    add(list, "tab", tab);
    tab.nut = locked;
    add(list, "tab-locked", tab);
}

void seats_and_shims(std::vector<Sample>& list)
{
    SeatPicture seat;
    seat.planes = {
        {"I", Millimetres{49.972}, Millimetres{49.968}}, {"II", Millimetres{49.990}, {}}, {"III", {}, {}}};
    seat.plane     = 1;
    seat.direction = Direction::up;
    add(list, "seat", seat);
    seat.planes    = {{"I", {}, {}}, {"II", {}, {}}};
    seat.plane     = 0;
    seat.direction = Direction::across;
    add(list, "seat-first", seat);
    FlangePicture flange;
    flange.read  = {Millimetres{1.25}, Millimetres{1.25}, {}};
    flange.point = 2;
    add(list, "shims", flange);
    flange.state  = ShimState::shims_out;
    flange.travel = Millimetres{0.85};
    add(list, "shims-out", flange);
    flange.state = ShimState::on_face;
    flange.bolts = 3;
    add(list, "shims-face", flange);
    ExpansionPicture expansion;
    expansion.left = Millimetres{2.2}, expansion.right = Millimetres{3.8};
    expansion.set_off = Millimetres{-0.55}, expansion.growth = Millimetres{1.1};
    add(list, "expansion", expansion);
    expansion.read   = false;
    expansion.growth = Millimetres{0}, expansion.set_off = Millimetres{0};
    add(list, "expansion-unread", expansion);
}

void bolts(std::vector<Sample>& list)
{
    add(list, "bolts-4", BoltPicture{BoltedPart::pillow_block, Millimetres{45}, {0, 2, 1, 3}, 2, false});
    add(list, "bolts-2", BoltPicture{BoltedPart::pillow_block, Millimetres{45}, {0, 1}, 1, false});
    add(list, "bolts-slack", BoltPicture{BoltedPart::pillow_block, Millimetres{45}, {0, 2, 1, 3}, 0, true});
    add(list, "bolts-flange-4", BoltPicture{BoltedPart::flange, Millimetres{45}, {0, 2, 1, 3}, 3, false});
    add(list, "bolts-flange-3", BoltPicture{BoltedPart::flange, Millimetres{45}, {0, 1, 2}, 1, false});
    add(list, "bolts-flange-6",
        BoltPicture{BoltedPart::flange, Millimetres{45}, {0, 3, 1, 4, 2, 5}, 4, false});
    add(list, "bolts-cap", BoltPicture{BoltedPart::cap, Millimetres{45}, {0, 2, 1, 3}, 1, false});
}

std::vector<HeatPoint> curve(double from_h, double to_h, double level, int count)
{
    std::vector<HeatPoint> out;
    for (int i = 0; i <= count; ++i) {
        const double t = from_h + (to_h - from_h) * i / count;
        out.push_back({Hours{t}, Celsius{24 + (level - 24) * (1 - std::exp(-t / 0.9))}});
    }
    return out;
}

void running(std::vector<Sample>& list)
{
    HeatPicture heat;
    heat.lines   = {{"A", curve(0, 2, 68, 5), curve(2.1, 4, 68, 20), true},
                    {"B", curve(0, 2, 60, 5), curve(2.1, 4, 60, 20), false}};
    heat.stop    = Celsius{90};
    heat.ambient = Celsius{22};
    add(list, "heat", heat);
    HeatPicture empty;
    empty.stop = Celsius{90};
    add(list, "heat-empty", empty);
}

void lines(std::vector<Sample>& list)
{
    add(list, "line-2",
        LinePicture{
            {{"A", false, true, false, "fixed", false}, {"B", false, false, false, "expansion", true}}});
    add(list, "line-flanges",
        LinePicture{{{"A", true, false, true, "first", false}, {"B", true, true, false, "on shims", false}}});
    add(list, "line-1", LinePicture{{{"A", false, true, false, "fixed", false}}});
    add(list, "line-5",
        LinePicture{{{"A", false, false, true, "fixed", false},
                     {"B", false, true, false, "expansion", true},
                     {"C", false, false, false, "expansion", true},
                     {"D", false, false, false, "expansion", true},
                     {"E", true, false, false, "fixed", false}}});
    AlignPicture align;
    align.angle = Degrees{0.8};
    add(list, "align", align);
    align.angle        = Degrees{-2.6};
    align.straightedge = false;
    add(list, "align-out", align);
    FootPicture foot;
    foot.gap     = {Millimetres{0.02}, Millimetres{0.12}, {}, {}};
    foot.current = 2;
    add(list, "foot", foot);
    add(list, "lock-open", LockPicture{});
    add(list, "lock-shut", LockPicture{"4471", "F-204", true});
}

} // namespace

const std::vector<Sample>& all()
{
    static const std::vector<Sample> kAll = [] {
        std::vector<Sample> list;
        cutaways(list), nuts(list), seats_and_shims(list), bolts(list), running(list), lines(list);
        return list;
    }();
    return kAll;
}

} // namespace samples
