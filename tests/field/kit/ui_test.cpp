#include "field/kit/ui.h"
#include "field/shell/offscreen_shell.h"

#include <doctest/doctest.h>

#include <string>

using namespace field;

namespace {

std::unique_ptr<shell::OffscreenShell> glass(const look::ScreenSize& screen)
{
    auto opened = shell::open_offscreen({screen, false, "test"});
    REQUIRE(opened.has_value());
    (*opened)->set_raster(false);
    return std::move(*opened);
}

} // namespace

TEST_SUITE("field/kit")
{
    TEST_CASE("every tap lands on its button, however quickly they follow")
    {
        const auto        shell = glass(look::kTenInch);
        const auto        theme = look::make_theme(look::Light::day, look::Hand::right, 5.884F);
        look::FrameLedger ledger;
        int               taps[4] = {0, 0, 0, 0};
        for (int frame = 0; frame < 70; ++frame) {
            if (frame == 1)
                for (int i = 0; i < 20; ++i) {
                    shell->touch_down({14.0F + 25.0F * static_cast<float>(i % 4), 30});
                    shell->touch_up();
                }
            shell->begin_frame();
            {
                kit::Ui ui({theme, shell->type(), shell->size(), ledger, {}});
                for (int b = 0; b < 4; ++b)
                    if (ui.hit("b." + std::to_string(b), {4.0F + 25.0F * static_cast<float>(b), 20, 20, 20}))
                        ++taps[b];
            }
            shell->present(theme.palette.paper);
        }
        for (const int count : taps)
            CHECK(count == 5);
    }

    TEST_CASE("the areas of a screen stay on the glass, apart, and big enough for a glove")
    {
        for (const look::ScreenSize& screen :
             {look::kTenInch, look::kEightInchUpright, look::ScreenSize{1280, 720, 5.884F}})
            for (const look::Hand hand : {look::Hand::right, look::Hand::left}) {
                const kit::ScreenAreas a = kit::areas_for(screen, hand);
                for (const look::Rect& r : {a.back, a.problem, a.photo, a.main, a.keypad}) {
                    CHECK(screen.area().contains(r));
                    CHECK(r.w >= 20.0F);
                    CHECK(r.h >= 20.0F);
                }
                CHECK(a.main.w >= 90.0F);
                CHECK(a.main.h == doctest::Approx(24.0).epsilon(1e-4));
                CHECK(a.keypad.bottom() + 2.9F <= a.main.y);
            }
    }
}
