#include "field/drawing/lockout.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/time_line.h"
#include "field/shell/offscreen_shell.h"

#include <doctest/doctest.h>
#include <imgui.h>

#include <cmath>

#include "tests/field/drawing/samples.h"

namespace look  = field::look;
namespace shell = field::shell;
using namespace field::drawing;

namespace {

// Areas the screens really give: beside the instruction, upright under it, across the job sheet, a square.
const look::Rect kLandscape[] = {{4, 18, 105, 86}, {4, 12, 209, 34}, {4, 18, 88, 88}, {110, 18, 100, 60}};
const look::Rect kUpright[]   = {{4, 40, 99, 66}, {4, 30, 99, 99}, {4, 30, 99, 130}};

bool touches(const look::Rect& a, const look::Rect& b)
{
    constexpr float kHair = 0.05F;
    return a.x + kHair < b.right() && b.x + kHair < a.right() && a.y + kHair < b.bottom() &&
           b.y + kHair < a.bottom();
}

void check_ledger(const look::FrameLedger& ledger)
{
    for (std::size_t i = 0; i < ledger.texts.size(); ++i) {
        const look::TextSeen& t = ledger.texts[i];
        CAPTURE(t.text);
        CHECK(t.owner.has_value());
        if (t.owner) CHECK(t.owner->inset(-0.3F).contains(t.ink));
        CHECK(t.cap_mm >= 2.5F);
        for (std::size_t j = i + 1; j < ledger.texts.size(); ++j) {
            CAPTURE(ledger.texts[j].text);
            CHECK_FALSE(touches(t.ink, ledger.texts[j].ink));
        }
    }
}

template <class Areas> void check_glass(const look::ScreenSize& screen, const Areas& areas)
{
    shell::Options options;
    options.screen = screen;
    auto glass     = shell::open_offscreen(options);
    REQUIRE(glass.has_value());
    (*glass)->set_raster(false);
    const look::Theme theme = look::make_theme(look::Light::day, look::Hand::right, screen.px_per_mm);
    for (const samples::Sample& sample : samples::all())
        for (const look::Rect& area : areas) {
            look::FrameLedger ledger;
            (*glass)->begin_frame();
            look::Canvas canvas(*ImGui::GetBackgroundDrawList(), theme, (*glass)->type(), ledger);
            const Sketch drawn = sample.make(box_of(area), metrics_of(canvas));
            paint(canvas, drawn);
            (*glass)->present(theme.palette.paper);
            CAPTURE(sample.name);
            CAPTURE(area.w);
            CAPTURE(area.h);
            CHECK(!drawn.items().empty());
            check_ledger(ledger);
        }
}

std::vector<Point> points_of(const Item& item)
{
    if (const auto* f = std::get_if<Fill>(&item)) return f->outline;
    if (const auto* h = std::get_if<Hatch>(&item)) return h->outline;
    if (const auto* l = std::get_if<Line>(&item)) return l->points;
    return {};
}

} // namespace

TEST_SUITE("field/drawing on the glass")
{
    TEST_CASE("on the 10 inch tablet no word is clipped, leaves its drawing or meets another")
    {
        check_glass(look::kTenInch, kLandscape);
    }

    TEST_CASE("on the 8 inch tablet upright no word is clipped, leaves its drawing or meets another")
    {
        check_glass(look::kEightInchUpright, kUpright);
    }

    TEST_CASE("no line leaves the area and every coordinate is a number, in any proportion")
    {
        const Box areas[] = {
            {0, 0, 105, 86}, {0, 0, 99, 66}, {0, 0, 99, 120}, {0, 0, 130, 40}, {0, 0, 88, 88}};
        for (const samples::Sample& sample : samples::all())
            for (const Box& area : areas) {
                const Sketch drawn = sample.make(area, rough_metrics());
                CAPTURE(sample.name);
                CAPTURE(area.right);
                CAPTURE(area.bottom);
                Box all{50, 30, 50, 30};
                for (const Item& item : drawn.items())
                    for (const Point p : points_of(item)) {
                        CHECK((std::isfinite(p.x) && std::isfinite(p.y)));
                        all = {std::min(all.left, p.x), std::min(all.top, p.y), std::max(all.right, p.x),
                               std::max(all.bottom, p.y)};
                    }
                CHECK(all.left >= area.left - 0.6);
                CHECK(all.top >= area.top - 0.6);
                CHECK(all.right <= area.right + 0.6);
                CHECK(all.bottom <= area.bottom + 0.6);
            }
    }

    TEST_CASE("a tiny or empty area is survived by every drawing")
    {
        for (const samples::Sample& sample : samples::all())
            for (const Box& area : {Box{0, 0, 0, 0}, Box{10, 10, 14, 12}})
                CHECK_NOTHROW((void)sample.make(area, rough_metrics()));
    }

    TEST_CASE("the run-in chart says so when there is nothing to show, and shows the limit all the same")
    {
        HeatPicture empty;
        empty.stop              = engine::Celsius{90};
        const Sketch drawn      = sketch(empty, {0, 0, 100, 70}, rough_metrics());
        bool         says_empty = false, says_stop = false;
        for (const Item& item : drawn.items())
            if (const auto* w = std::get_if<Words>(&item)) {
                says_empty = says_empty || w->text == "no reading yet";
                says_stop  = says_stop || w->text == "stop at 90 °C";
            }
        CHECK(says_empty);
        CHECK(says_stop);
    }
}
