#include "field/drawing/bearing_section.h"
#include "field/drawing/bolt_pattern.h"
#include "field/drawing/expansion.h"
#include "field/drawing/flange_shims.h"
#include "field/drawing/labels.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/nut_geometry.h"
#include "field/drawing/shaft_line.h"
#include "field/drawing/shaft_seat.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

using namespace field::drawing;
using doctest::Approx;
using engine::Degrees;
using engine::Millimetres;

TEST_SUITE("field/drawing geometry")
{
    TEST_CASE("a part is fitted at one scale, centred, touching the tighter pair of edges")
    {
        const Frame f  = fit({-10, -5, 10, 5}, {0, 0, 100, 80});
        const Point lt = f.map(Point{-10, -5}), rb = f.map(Point{10, 5});
        CHECK(f.scale() == Approx(5.0).epsilon(1e-12));
        CHECK(lt.x == Approx(0));
        CHECK(rb.x == Approx(100));
        CHECK(lt.y == Approx(15));
        CHECK(rb.y == Approx(65));
    }

    TEST_CASE("a part without extent or an area without room is still placed")
    {
        CHECK(fit({3, 3, 3, 3}, {0, 0, 10, 10}).map(Point{3, 3}) == Point{5, 5});
        CHECK(fit({0, 0, 1, 1}, {0, 0, 0, 0}).scale() == Approx(1.0));
    }

    TEST_CASE("angles read like a clock: three o'clock is 90 degrees")
    {
        const Point p = on_circle({0, 0}, 2, 90);
        CHECK(p.x == Approx(2));
        CHECK(p.y == Approx(0).epsilon(1e-9));
        CHECK(turned({0, -1}, {0, 0}, 90).x == Approx(1));
        CHECK(touch_angle({5, 5}, {5, 9}).value == Approx(180));
        CHECK(touch_angle({5, 5}, {1, 5}).value == Approx(270));
        CHECK(touch_angle({5, 5}, {5, 5}).value == 0);
    }

    TEST_CASE("the knob goes on past twelve o'clock and never jumps a lap")
    {
        CHECK(follow_touch(Degrees{355}, Degrees{4}, Degrees{0}).value == Approx(364));
        CHECK(follow_touch(Degrees{364}, Degrees{356}, Degrees{0}).value == Approx(356));
        CHECK(follow_touch(Degrees{725}, Degrees{350}, Degrees{0}).value == Approx(710));
        Degrees now{0};
        for (int finger = 0; finger <= 900; finger += 7) // two and a half laps in small moves
            now = follow_touch(now, Degrees{std::fmod(finger, 360.0)}, Degrees{0});
        CHECK(now.value == Approx(896));
    }

    TEST_CASE("the knob stops at the angle last recorded")
    {
        CHECK(follow_touch(Degrees{120}, Degrees{90}, Degrees{110}).value == Approx(110));
        CHECK(follow_touch(Degrees{2}, Degrees{350}, Degrees{0}).value == 0);
    }

    TEST_CASE("a tang comes over a slot every 360 / lcm(slots, tangs) degrees")
    {
        CHECK(tang_step(4, 17).value == Approx(360.0 / 68));
        CHECK(tang_step(4, 13).value == Approx(360.0 / 52));
        CHECK(tang_step(8, 12).value == Approx(360.0 / 24));
        CHECK(tang_step(0, 13).value == Approx(360));
        for (const auto& [slots, tangs] :
             {std::pair{4, 17}, std::pair{4, 13}, std::pair{6, 19}, std::pair{8, 12}}) {
            const double step = tang_step(slots, tangs).value;
            for (double turned = 0; turned < 400; turned += 1.37) {
                const TangOverSlot next = next_tang(slots, tangs, Degrees{turned});
                CHECK(next.gap.value >= 0);
                CHECK(next.gap.value < step + 1e-6);
                // after that turn slot and tang stand at one angle
                const double slot  = 360.0 * next.slot / slots + turned + next.gap.value;
                const double apart = std::remainder(slot - 360.0 * next.tang / tangs, 360.0);
                CHECK(std::abs(apart) < 1e-6);
            }
        }
    }

    TEST_CASE("at a meeting no further turn is asked for")
    {
        CHECK(next_tang(4, 17, Degrees{360.0 * 5 / 17}).gap.value == Approx(0).epsilon(1e-6));
        CHECK(next_tang(4, 17, Degrees{0}).gap.value == 0);
    }

    TEST_CASE("laps and words of more than one turn")
    {
        CHECK(laps_of(Degrees{372}).full == 1);
        CHECK(laps_of(Degrees{372}).rest.value == Approx(12));
        CHECK(laps_of(Degrees{-3}).rest.value == 0);
        NutPicture nut;
        nut.turned = Degrees{372};
        CHECK(turned_words(nut) == "1 turn + 12°");
        nut.turned = Degrees{262};
        CHECK(turned_words(nut) == "262°");
        nut.turned = Degrees{359.8}; // never "360" short of a lap, nor "1 turn + 360"
        CHECK(turned_words(nut) == "1 turn + 0°");
    }

    TEST_CASE("labels are spread without overlap, kept in order and in the room")
    {
        std::mt19937                           random(7);
        std::uniform_real_distribution<double> place(0, 60);
        for (int round = 0; round < 200; ++round) {
            std::vector<double> wanted(5);
            std::generate(wanted.begin(), wanted.end(), [&] { return place(random); });
            std::vector<double> at = spread(wanted, 5, 2, 58);
            for (std::size_t i = 0; i < at.size(); ++i)
                for (std::size_t j = 0; j < at.size(); ++j) {
                    CHECK(at[i] >= 2 - 1e-9);
                    CHECK(at[i] <= 58 + 1e-9);
                    if (i != j) CHECK(std::abs(at[i] - at[j]) >= 5 - 1e-9);
                    if (wanted[i] < wanted[j]) CHECK(at[i] < at[j]);
                }
        }
        CHECK(spread({10, 40}, 5, 0, 60) == std::vector<double>{10, 40});
    }

    TEST_CASE("axis ticks are round, cover the data and are few")
    {
        const Ticks t = round_ticks(22, 90, 5);
        CHECK(t.low == Approx(20));
        CHECK(t.high == Approx(100));
        CHECK(t.step == Approx(20));
        CHECK(t.decimals == 0);
        const Ticks fine = round_ticks(0, 0.9, 4);
        CHECK(fine.step == Approx(0.25));
        CHECK(fine.decimals == 2);
        CHECK(round_ticks(5, 5, 3).high > 5);
        for (double high = 0.3; high < 500; high *= 1.31) {
            const Ticks any = round_ticks(0, high, 5);
            CHECK(any.high >= high - 1e-9);
            CHECK(any.at.size() <= 6);
        }
    }

    TEST_CASE("numbers that cannot be written are a question mark")
    {
        CHECK(fixed(1.25, 2) == "1.25");
        CHECK(fixed(std::nan(""), 2) == "?");
    }
}

TEST_SUITE("field/drawing parts follow the data")
{
    TEST_CASE("shaft, bore and seat are to scale in the section")
    {
        const BearingSection s = bearing_section({});
        CHECK(-s.shaft_top == Approx(22.5));
        CHECK(s.sleeve_right - s.sleeve_left >= 42 - 1e-9);
        // small end of the bore is the sheet's bore, the far end wider by the drawn taper
        CHECK(-s.bore_contact[1].y == Approx(25.0));
        CHECK(-s.bore_contact[0].y == Approx(25.0 + s.ring_width * kTaperDrawn / 24));
    }

    TEST_CASE("travel moves the ring up the sleeve, or the sleeve through the ring")
    {
        BearingData data;
        const auto  zero  = bearing_section(data);
        data.travel       = Millimetres{1.5};
        const auto pushed = bearing_section(data);
        CHECK(pushed.ring_left == Approx(zero.ring_left - 1.5));
        CHECK(pushed.sleeve_left == Approx(zero.sleeve_left));
        CHECK(-pushed.bore_contact[1].y > -zero.bore_contact[1].y); // it climbs
        data.sleeve_moves = true;
        const auto drawn  = bearing_section(data);
        CHECK(drawn.ring_left == Approx(zero.ring_left));
        CHECK(drawn.sleeve_left == Approx(zero.sleeve_left + 1.5));
    }

    TEST_CASE("clearance lifts the outer ring off the rollers, a seat gap the inner ring off the sleeve")
    {
        BearingData data;
        const auto  tight   = bearing_section(data);
        data.clearance_left = Millimetres{0.04};
        CHECK(tight.outer_top - bearing_section(data).outer_top == Approx(0.04 * kClearanceDrawn));
        data.seat_gap = Millimetres{0.5};
        CHECK(bearing_section(data).inner[0].y == Approx(tight.inner[0].y - 0.5));
    }

    TEST_CASE("nut and sleeve share the flanks of the thread")
    {
        const auto s      = bearing_section({});
        int        shared = 0;
        for (const Point n : s.nut)
            shared += std::any_of(s.sleeve.begin(), s.sleeve.end(), [&](Point p) {
                return std::abs(p.x - n.x) < 1e-9 && std::abs(p.y - n.y) < 1e-9;
            });
        CHECK(shared >= 10);
    }

    TEST_CASE("the gap under the flange closes with the travel and never opens the other way")
    {
        FlangePicture flange;
        CHECK(gap_left(flange).value == Approx(1.25));
        flange.state  = ShimState::shims_out;
        flange.travel = Millimetres{0.85};
        CHECK(gap_left(flange).value == Approx(0.40));
        flange.travel = Millimetres{1.4};
        CHECK(gap_left(flange).value == 0);
    }

    TEST_CASE("a seat plane bulges by its readings, an absurd reading only shows its direction")
    {
        SeatPicture seat;
        seat.planes = {
            {"I", Millimetres{49.98}, Millimetres{49.96}}, {"II", {}, {}}, {"III", Millimetres{90}, {}}};
        CHECK(drawn_bulge(seat, 0).value == Approx(-0.015 * kFormDrawn));
        CHECK(drawn_bulge(seat, 1).value == 0);
        CHECK(drawn_bulge(seat, 2).value == Approx(0.12 * 50));
        CHECK(drawn_bulge(seat, 9).value == 0);
    }

    TEST_CASE("the cartridge stands where the gaps say")
    {
        ExpansionPicture picture;
        picture.left = Millimetres{2.2}, picture.right = Millimetres{3.8};
        CHECK(off_middle(picture).value == Approx(-0.8));
    }

    TEST_CASE("bolts have as many places as bolts, all apart, first at the top left or top")
    {
        for (const BoltedPart part : {BoltedPart::pillow_block, BoltedPart::flange, BoltedPart::cap})
            for (int n = 2; n <= 8; ++n) {
                const std::vector<Point> at = bolt_places(part, n);
                REQUIRE(at.size() == static_cast<std::size_t>(n));
                for (std::size_t i = 0; i < at.size(); ++i)
                    for (std::size_t j = i + 1; j < at.size(); ++j)
                        CHECK(std::hypot(at[i].x - at[j].x, at[i].y - at[j].y) > 0.2);
            }
        CHECK(bolt_places(BoltedPart::flange, 4)[0].x < 0);
        CHECK(bolt_places(BoltedPart::flange, 4)[0].y < 0);
        CHECK(bolt_places(BoltedPart::flange, 3)[0].y < 0);
        CHECK(bolt_places(BoltedPart::pillow_block, 0).empty());
    }

    TEST_CASE("positions stand in order along the shaft with the driven body between two of them")
    {
        for (std::size_t n = 0; n <= 6; ++n) {
            const LineLayout l = line_layout(n);
            REQUIRE(l.at.size() == n);
            CHECK(std::is_sorted(l.at.begin(), l.at.end()));
            CHECK(l.body_from < l.body_to);
            for (const double x : l.at)
                CHECK((x < l.body_from || x > l.body_to));
        }
    }
}
