#include "field/drawing/bearing_section.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace field::drawing {
namespace {

// Proportions of a 50 mm bearing on a 42 mm sleeve; see the header.
constexpr double kOutsideOfBore   = 1.8;
constexpr double kRingOfSeat      = 0.56;
constexpr double kSleeveAheadSeat = 0.10;
constexpr double kNutOuterOfBore  = 1.4;
constexpr double kNutWideOfBore   = 0.22;
constexpr double kWasherOfBore    = 0.032;
constexpr double kTangOfBore      = 1.66;
constexpr double kRollerOfRoom    = 0.60;  // roller diameter over the height between raceway and outside
constexpr double kRowOfRing       = 0.255; // middle of a row from the middle of the ring
constexpr double kRollerOfRing    = 0.41;
constexpr int    kBarrelSteps     = 14;

struct Rollers {
    double               sphere{};   // radius of the outer raceway, a sphere about the bearing's middle
    double               diameter{}; // of a roller at its belly
    double               length{};
    double               tilt_deg{};
    [[nodiscard]] double middle() const { return sphere - diameter / 2; }
};

struct Maker {
    const BearingData& d;
    double             r_shaft, r_bore, r_race, r_out, ring, slope, ring_x, sleeve_x;
    Rollers            rollers;

    explicit Maker(const BearingData& data);
    [[nodiscard]] double  sleeve_top(double x) const; // radius of the sleeve's outside at x
    [[nodiscard]] Point   on_roller(double u, double v, double row) const;
    [[nodiscard]] Outline belly(double row, double side) const;
    void                  rings(BearingSection& s) const;
    void                  sleeve_and_nut(BearingSection& s) const;
    [[nodiscard]] Outline thread(double from, double to) const;
};

Maker::Maker(const BearingData& data)
    : d(data), r_shaft(data.shaft.value / 2), r_bore(std::max(data.bore.value / 2, r_shaft * 1.02)),
      r_race(std::max(data.raceway.value / 2, r_bore * 1.08)),
      r_out(std::max(kOutsideOfBore * r_bore, r_race * 1.25)), ring(kRingOfSeat * data.seat_width.value),
      slope(kTaperDrawn / (2 * std::max(data.taper, 4.0))),
      ring_x(data.sleeve_moves ? 0 : -data.travel.value), sleeve_x(data.sleeve_moves ? data.travel.value : 0)
{
    rollers.diameter = kRollerOfRoom * (r_out - r_race);
    const double m   = r_race + rollers.diameter / 2;
    rollers.tilt_deg = std::asin(std::min(0.35, kRowOfRing * ring / m)) * 180 / std::numbers::pi;
    rollers.sphere   = r_race / std::cos(rollers.tilt_deg * std::numbers::pi / 180) + rollers.diameter;
    rollers.length   = kRollerOfRing * ring;
}

double Maker::sleeve_top(double x) const
{
    // small end of the ring's bore stands at +ring/2 at zero
    const double at = x - sleeve_x;
    return r_bore + std::max(0.0, ring / 2 - at) * slope;
}

Point Maker::on_roller(double u, double v, double row) const
{
    // u along the roller, away from the middle of the bearing; v outwards from the roller's axis
    const double a      = row * rollers.tilt_deg * std::numbers::pi / 180;
    const double radial = rollers.middle() + v;
    return {ring_x + radial * std::sin(a) + row * u * std::cos(a),
            -(radial * std::cos(a) - u * std::abs(std::sin(a)))};
}

Outline Maker::belly(double row, double side) const
{
    Outline      out;
    const double half = rollers.length / 2;
    for (int i = 0; i <= kBarrelSteps; ++i) {
        const double u = -half + rollers.length * i / kBarrelSteps;
        const double v = std::sqrt(rollers.sphere * rollers.sphere - u * u) - rollers.middle();
        out.push_back(on_roller(u, side * v, row));
    }
    return out;
}

Outline barrel(const Outline& top, const Outline& bottom, double corner)
{
    Outline out(top.begin() + 1, top.end() - 1); // corners broken
    auto    cut = [&](Point a, Point b) {
        const Point  e = b - a;
        const double l = std::hypot(e.x, e.y);
        out.push_back(a + std::min(0.3, corner / l) * e);
        out.push_back(b - std::min(0.3, corner / l) * e);
    };
    cut(top.back(), bottom.back());
    out.insert(out.end(), bottom.rbegin() + 1, bottom.rend() - 1);
    cut(bottom.front(), top.front());
    return out;
}

void Maker::rings(BearingSection& s) const
{
    const Outline top_l = belly(-1, 1), low_l = belly(-1, -1), top_r = belly(1, 1), low_r = belly(1, -1);
    const double  corner = rollers.diameter * 0.12;
    s.roller_left        = barrel(top_l, low_l, corner);
    s.roller_right       = barrel(top_r, low_r, corner);
    const double over    = rollers.length * 0.62;
    s.axis_left          = {on_roller(-over, 0, -1), on_roller(over, 0, -1)};
    s.axis_right         = {on_roller(-over, 0, 1), on_roller(over, 0, 1)};

    const double left = ring_x - ring / 2, right = ring_x + ring / 2;
    const double rib  = rollers.diameter * 0.13;
    const double lift = std::clamp(d.seat_gap.value * kSeatGapDrawn, 0.0, r_bore * 0.05);
    s.inner           = {{left, -(sleeve_top(left) + lift)}, {left, low_l.back().y - rib}};
    s.inner.push_back({low_l.back().x - rib * 0.3, low_l.back().y - rib});
    s.inner.insert(s.inner.end(), low_l.rbegin(), low_l.rend());
    s.inner.push_back({low_l.front().x + rib * 0.2, low_l.front().y - rib * 0.9});
    s.inner.push_back({low_r.front().x - rib * 0.2, low_r.front().y - rib * 0.9});
    s.inner.insert(s.inner.end(), low_r.begin(), low_r.end());
    s.inner.push_back({low_r.back().x + rib * 0.3, low_r.back().y - rib});
    s.inner.push_back({right, low_r.back().y - rib});
    s.inner.push_back({right, -(sleeve_top(right) + lift)});
    s.bore_contact = {{left, -sleeve_top(left)}, {right, -sleeve_top(right)}};

    const double gap    = std::max(0.0, d.clearance_left.value) * kClearanceDrawn;
    const double sphere = rollers.sphere + gap;
    s.outer_top         = -(r_out + gap);
    const double ch     = ring * 0.04;
    s.outer             = {{left, s.outer_top + ch},
                           {left + ch, s.outer_top},
                           {right - ch, s.outer_top},
                           {right, s.outer_top + ch}};
    for (int i = 0; i <= 2 * kBarrelSteps; ++i) {
        const double x = ring / 2 - ring * i / (2 * kBarrelSteps);
        s.outer.push_back({ring_x + x, -(std::sqrt(std::max(sphere * sphere - x * x, 0.0)))});
    }
    s.gap_left  = top_l;
    s.gap_right = top_r;
    s.ring_left = left, s.ring_right = right, s.ring_width = ring;
    const auto seal = [&](double at, double way, double inner_y) {
        const double wide = ring * 0.055, low = inner_y + rollers.diameter * 0.10;
        const double high =
            -std::sqrt(std::max(sphere * sphere - ring * ring / 4, 0.0)) - rollers.diameter * 0.05;
        return Outline{{at, high},
                       {at - way * wide, high},
                       {at - way * wide, low - wide},
                       {at - way * wide * 2.2, low},
                       {at - way * wide * 1.2, low},
                       {at, low - wide}};
    };
    s.seal_left  = seal(left, -1, low_l.back().y - rib);
    s.seal_right = seal(right, 1, low_r.back().y - rib);
}

Outline Maker::thread(double from, double to) const
{
    // flanks belong to the sleeve: they move with it, the nut only follows them
    const double pitch = std::clamp(d.pitch.value, 0.5, 8.0), half = pitch / 2;
    const double depth = 0.6 * pitch;
    const auto   flank = [&](double x) { // crest at whole pitches, root between them
        const double share = std::abs(std::remainder(x - sleeve_x, pitch)) / half;
        return Point{x, -(r_bore - depth * share)};
    };
    Outline    out{flank(from)};
    const auto turns = [&](double x) { return static_cast<int>(std::ceil((x - sleeve_x) / half)); };
    for (int turn = turns(from + 1e-6); turn < turns(to - 1e-6); ++turn)
        out.push_back(flank(sleeve_x + half * turn));
    out.push_back(flank(to));
    return out;
}

void Maker::sleeve_and_nut(BearingSection& s) const
{
    const double length = d.seat_width.value;
    s.shaft_top         = -r_shaft;
    s.sleeve_left       = sleeve_x - ring / 2 - kSleeveAheadSeat * length;
    s.sleeve_right      = s.sleeve_left + length;
    const double washer = kWasherOfBore * d.bore.value, wide = kNutWideOfBore * d.bore.value;
    const double w0 = s.ring_right, n0 = w0 + washer, n1 = n0 + wide;
    s.sleeve_right = std::max(s.sleeve_right, n1 + d.pitch.value);
    // the thread starts where the ring's small end is when the nut is at zero, less the room to travel
    const double  groove = sleeve_x + ring / 2 + washer * 0.5;
    const double  start  = std::min(groove, n0);
    const Outline flanks = thread(start, s.sleeve_right);
    s.sleeve             = {
                    {s.sleeve_left, -r_shaft}, {s.sleeve_left, -sleeve_top(s.sleeve_left)}, {start, -sleeve_top(start)}};
    s.sleeve.insert(s.sleeve.end(), flanks.begin(), flanks.end());
    s.sleeve.push_back({s.sleeve_right, -r_shaft});
    s.shaft_contact = {{std::max(s.sleeve_left, s.ring_left), -r_shaft}, {s.ring_right, -r_shaft}};

    const double top = kNutOuterOfBore * r_bore, ch = wide * 0.18;
    s.nut_top    = -top;
    s.nut        = {{n0, -top + ch * 0.4}, {n0 + ch * 0.4, -top}, {n1 - ch, -top}, {n1, -top + ch}};
    Outline mate = thread(n0, n1);
    s.nut.insert(s.nut.end(), mate.rbegin(), mate.rend());
    const double tip = kTangOfBore * r_bore;
    s.washer         = {{w0, -top * 1.0}, {n0, -top * 1.0}, {n0, -r_bore}, {w0, -r_bore}};
    s.tang_up        = {{w0, -top},
                        {w0, -tip * 0.97},
                        {w0 + washer * 0.8, -tip},
                        {n0 + washer * 0.5, -tip * 0.985},
                        {n0, -top}};
    s.tang_bent      = {{w0, -top},
                        {w0, -top - washer * 1.1},
                        {n0 + wide * 0.75, -top - washer * 1.1},
                        {n0 + wide * 0.75, -top - washer * 0.1},
                        {n0, -top - washer * 0.1},
                        {n0, -top}};
    s.nut_right      = n1;
}

} // namespace

BearingSection bearing_section(const BearingData& data)
{
    const Maker    maker(data);
    BearingSection s;
    maker.rings(s);
    maker.sleeve_and_nut(s);
    return s;
}

} // namespace field::drawing
