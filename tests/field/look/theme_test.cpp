#include "field/look/theme.h"

#include <doctest/doctest.h>

#include <array>

using namespace field::look;

namespace {

void check_text(const Palette& p, double least)
{
    for (const Colour ground : {p.paper, p.panel}) {
        CHECK(contrast(p.ink, ground) >= least);
        CHECK(contrast(p.soft, ground) >= least);
    }
    CHECK(contrast(p.on_act, p.act) >= least);
    CHECK(contrast(p.on_act_sub, p.act) >= 0.9 * least);
    CHECK(contrast(p.on_pale, p.act_pale) >= least);
}

void check_marks(const Palette& p)
{
    for (const Colour mark : {p.act, p.inside, p.watch, p.outside, p.steel_edge})
        for (const Colour ground : {p.paper, p.panel})
            CHECK(contrast(mark, ground) >= 3.0);
    for (const Colour verdict : {p.inside, p.watch, p.outside})
        CHECK(contrast(p.on_verdict, verdict) >= 3.0);
}

} // namespace

TEST_SUITE("field/look")
{
    TEST_CASE("the contrast formula gives the values published with it")
    {
        // WCAG 2.1, definition of contrast ratio: 21:1 for black on white, 1:1 for equal colours.
        CHECK(contrast(hex(0x000000), hex(0xFFFFFF)) == doctest::Approx(21.0).epsilon(1e-9));
        CHECK(contrast(hex(0x777777), hex(0x777777)) == doctest::Approx(1.0).epsilon(1e-9));
        // W3C technique G18 readers know #767676 on white as the lightest grey that passes 4.5:1 (common
        // practice).
        CHECK(contrast(hex(0x767676), hex(0xFFFFFF)) >= 4.5);
        CHECK(contrast(hex(0x777777), hex(0xFFFFFF)) < 4.5);
    }

    TEST_CASE("text keeps 7 to 1 by day, 6 to 1 in the dark, and the most there is in glare")
    {
        // WCAG 2.1, 1.4.6 (7:1); NUREG-0700 rev. 3 (6:1 in the dark).
        check_text(palette_for(Light::day), 7.0);
        check_text(palette_for(Light::dim), 6.0);
        check_text(palette_for(Light::glare), 20.9);
    }

    TEST_CASE("marks, part edges and verdicts keep 3 to 1 in every light")
    {
        // WCAG 2.1, 1.4.11: 3:1 for graphical objects.
        for (const Light light : {Light::day, Light::dim, Light::glare})
            check_marks(palette_for(light));
    }

    TEST_CASE("hazard panels are readable and not touched by the light")
    {
        for (const HazardColours& h : std::array{kDanger, kWarning, kCaution, kNotice})
            CHECK(contrast(h.letters, h.ground) >= 4.5);
    }
}
