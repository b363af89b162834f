#include "field/kit/areas.h"

#include <utility>

namespace field::kit {
namespace {

using look::Rect;

constexpr float kKeyGap    = 2.95F; // four rows of 20 mm keys just fit beside the rule
constexpr float kKeyBlock  = 4 * kTarget + 3 * kKeyGap;
constexpr float kRuleTop   = 10.4F;
constexpr float kRuleDepth = 5.2F; // 3.6 mm of steel and the pointer below

void mirror(Rect& r, float width)
{
    r.x = width - r.right();
}

void place_wide(ScreenAreas& a, float w, float h)
{
    const float inner = w - 2 * kEdge;
    const float left  = (inner - kEdge) * 0.51F;
    a.bar             = {kEdge, h - kEdge - kMainHeight, inner, kMainHeight};
    a.body            = {kEdge, 18.0F, inner, a.bar.y - 3.5F - 18.0F};
    a.left            = {kEdge, a.body.y, left, a.body.h};
    a.right           = {kEdge + left + kEdge, a.body.y, inner - left - kEdge, a.body.h};
    a.main            = {a.right.x, a.bar.y, a.right.w, kMainHeight};
    Rect small        = {kEdge, a.bar.y, left, kMainHeight};
    a.back            = small.cut_left(21.0F, kGap);
    a.problem         = small.cut_left(33.0F, kGap);
    a.photo           = small;
    // Where four rows of keys do not fit above the bar there are three, of six keys each.
    const bool  tall  = a.bar.y - kGap - kKeyBlock >= kRuleTop + kRuleDepth - 0.5F;
    const float key_w = tall ? 4 * 20.6F + 3 * kKeyGap : 6 * kTarget + 5 * kKeyGap;
    const float key_h = tall ? kKeyBlock : 3 * kTarget + 2 * kKeyGap;
    a.keypad          = {w - kEdge - key_w, a.bar.y - kGap - key_h, key_w, key_h};
    a.reading         = {kEdge, a.body.y, a.keypad.x - kEdge - kEdge, a.body.h};
}

void place_upright(ScreenAreas& a, float w, float h)
{
    const float inner = w - 2 * kEdge;
    a.main            = {kEdge, h - kGap - kMainHeight, inner, kMainHeight};
    Rect row          = {kEdge, a.main.y - kGap - kTarget, inner, kTarget};
    a.bar             = {kEdge, row.y, inner, a.main.bottom() - row.y};
    a.body            = {kEdge, 18.0F, inner, row.y - kGap - 18.0F};
    a.left            = a.body;
    a.right           = a.left.cut_bottom(a.body.h * 0.36F, kGap);
    a.back            = row.cut_left(inner * 0.23F, kGap);
    a.problem         = row.cut_left(inner * 0.33F, kGap);
    a.photo           = row;
    // The keypad covers the row of small buttons while it is open; its own Back leads out of it.
    a.keypad  = {kEdge, a.main.y - kGap - kKeyBlock, inner, kKeyBlock};
    a.reading = {kEdge, a.body.y, inner, a.keypad.y - kGap - a.body.y};
}

} // namespace

ScreenAreas areas_for(const look::ScreenSize& screen, look::Hand hand)
{
    const float w = screen.w_mm();
    const float h = screen.h_mm();
    ScreenAreas a;
    a.portrait = screen.portrait();
    a.strip    = {kEdge, 0, w - 2 * kEdge, 11.0F};
    a.rule     = {kEdge, kRuleTop, w - 2 * kEdge, kRuleDepth};
    if (a.portrait)
        place_upright(a, w, h);
    else
        place_wide(a, w, h);
    if (hand == look::Hand::left)
        for (Rect* r : {&a.left, &a.right, &a.back, &a.problem, &a.photo, &a.main, &a.keypad, &a.reading})
            mirror(*r, w);
    return a;
}

} // namespace field::kit
