#include "field/look/theme.h"

#include <algorithm>
#include <cmath>

namespace field::look {
namespace {

Palette day()
{
    Palette p;
    p.paper        = hex(0xF0EFE9);
    p.panel        = hex(0xFBFAF6);
    p.ink          = hex(0x15202B);
    p.soft         = hex(0x44505A);
    p.rule         = hex(0xCBCBC1);
    p.track        = hex(0xDCE1E5);
    p.steel        = hex(0xDCE1E5);
    p.steel_dark   = hex(0xC3CBD2);
    p.steel_edge   = hex(0x5F6D79);
    p.part         = hex(0xE8ECEE);
    p.hatch        = hex(0xA9B4BD);
    p.bronze       = hex(0xF3E6C4);
    p.act          = hex(0x1B4B9B);
    p.on_act       = hex(0xFFFFFF);
    p.on_act_sub   = hex(0xE6ECF6);
    p.act_pale     = hex(0xCAD1DF);
    p.on_pale      = hex(0x2F3B47);
    p.act_wash     = hex(0xDDE6F7);
    p.done         = hex(0xA5B5D0);
    p.inside       = hex(0x17694A);
    p.inside_pale  = hex(0xDCEEE4);
    p.watch        = hex(0x8F5300);
    p.watch_pale   = hex(0xF6E7CC);
    p.outside      = hex(0xAE1F1B);
    p.outside_pale = hex(0xF6DAD8);
    p.on_verdict   = hex(0xFFFFFF);
    return p;
}

Palette dim()
{
    Palette p;
    p.paper        = hex(0x16191A);
    p.panel        = hex(0x212627);
    p.ink          = hex(0xE6E3DA);
    p.soft         = hex(0xB4B7B2);
    p.rule         = hex(0x454C4E);
    p.track        = hex(0x33393C);
    p.steel        = hex(0x3A4145);
    p.steel_dark   = hex(0x454D53);
    p.steel_edge   = hex(0x7F898B);
    p.part         = hex(0x2A3032);
    p.hatch        = hex(0x5B6569);
    p.bronze       = hex(0x4F452C);
    p.act          = hex(0x7DB8E8);
    p.on_act       = hex(0x101416);
    p.on_act_sub   = hex(0x16202A);
    p.act_pale     = hex(0x2E3A44);
    p.on_pale      = hex(0xC3C9CB);
    p.act_wash     = hex(0x22364A);
    p.done         = hex(0x4C6478);
    p.inside       = hex(0x8FD6C8);
    p.inside_pale  = hex(0x22403A);
    p.watch        = hex(0xFFD24D);
    p.watch_pale   = hex(0x453A1A);
    p.outside      = hex(0xF2665A);
    p.outside_pale = hex(0x4A2320);
    p.on_verdict   = hex(0x101416);
    return p;
}

Palette glare()
{
    const Colour black = hex(0x000000);
    const Colour white = hex(0xFFFFFF);
    Palette      p;
    for (Colour* ground :
         {&p.paper, &p.panel, &p.track, &p.steel, &p.steel_dark, &p.part, &p.bronze, &p.on_act, &p.on_act_sub,
          &p.act_pale, &p.act_wash, &p.inside_pale, &p.watch_pale, &p.outside_pale, &p.on_verdict})
        *ground = white;
    for (Colour* mark : {&p.ink, &p.soft, &p.rule, &p.steel_edge, &p.hatch, &p.act, &p.on_pale, &p.done,
                         &p.inside, &p.watch, &p.outside})
        *mark = black;
    return p;
}

double linear(std::uint8_t channel)
{
    const double c = channel / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(Colour c)
{
    return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

} // namespace

Palette palette_for(Light light)
{
    switch (light) {
    case Light::dim:
        return dim();
    case Light::glare:
        return glare();
    case Light::day:
        break;
    }
    return day();
}

Theme make_theme(Light light, Hand hand, float px_per_mm)
{
    return {light, hand, px_per_mm, palette_for(light)};
}

double contrast(Colour one, Colour other)
{
    const double a = luminance(one);
    const double b = luminance(other);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

} // namespace field::look
