#include "field/kit/ledger.h"

#include <algorithm>
#include <cstdio>

namespace field::kit {
namespace {

using look::Rect;

constexpr float kSlack = 0.35F; // mm; rounding to whole pixels and the soft edge of letters

std::string number(float mm)
{
    char      text[32];
    const int length = std::snprintf(text, sizeof text, "%.1f", static_cast<double>(mm));
    return length > 0 ? text : "?";
}

bool within(const Rect& inner, const Rect& outer, float slack)
{
    return inner.x >= outer.x - slack && inner.y >= outer.y - slack &&
           inner.right() <= outer.right() + slack && inner.bottom() <= outer.bottom() + slack;
}

float overlap(float a0, float a1, float b0, float b1)
{
    return std::min(a1, b1) - std::max(a0, b0);
}

/// Negative when they overlap on both axes.
float distance(const Rect& a, const Rect& b)
{
    return std::max(-overlap(a.x, a.right(), b.x, b.right()), -overlap(a.y, a.bottom(), b.y, b.bottom()));
}

void check_targets(const look::FrameLedger& ledger, const Demands& d, std::vector<std::string>& out)
{
    for (std::size_t i = 0; i < ledger.targets.size(); ++i) {
        const look::TargetSeen& t = ledger.targets[i];
        if (t.rect.w < d.target_mm - 0.05F || t.rect.h < d.target_mm - 0.05F)
            out.push_back("target \"" + t.id + "\" is " + number(t.rect.w) + " x " + number(t.rect.h) +
                          " mm, less than " + number(d.target_mm) + " mm");
        if (!within(t.rect, ledger.screen, 0.05F)) out.push_back("target \"" + t.id + "\" leaves the glass");
        for (std::size_t j = 0; j < i; ++j) {
            const look::TargetSeen& u = ledger.targets[j];
            if (u.id == t.id) out.push_back("two targets are called \"" + t.id + "\"");
            if (distance(t.rect, u.rect) < d.apart_mm - 0.05F)
                out.push_back("targets \"" + u.id + "\" and \"" + t.id + "\" are " +
                              number(distance(t.rect, u.rect)) + " mm apart, less than " +
                              number(d.apart_mm) + " mm");
        }
    }
}

void check_text(const look::TextSeen& t, const Rect& screen, const Demands& d, std::vector<std::string>& out)
{
    const std::string name = "text \"" + t.text + "\"";
    if (t.gaps) out.push_back(name + " has a letter that is in no font of its size");
    if (t.cap_mm < d.smallest_cap_mm - 0.01F)
        out.push_back(name + " has capitals of " + number(t.cap_mm) + " mm, less than " +
                      number(d.smallest_cap_mm) + " mm");
    if (!within(t.ink, screen, 0.05F))
        out.push_back(name + " leaves the glass");
    else if (!within(t.ink, t.clip, kSlack))
        out.push_back(name + " is cut off");
    else if (t.owner && !within(t.ink, *t.owner, kSlack))
        out.push_back(name + " runs out of its box");
    constexpr std::string_view kCut = "\u2026"; // alone it is a prompt: nothing was cut
    if (t.text.size() > kCut.size() && t.text.ends_with(kCut)) out.push_back(name + " is shortened");
}

bool lie_on_each_other(const Rect& a, const Rect& b)
{
    return overlap(a.x, a.right(), b.x, b.right()) > kSlack &&
           overlap(a.y, a.bottom(), b.y, b.bottom()) > kSlack;
}

/// Words belong on their own panel, or on one that lies inside theirs.
void check_ground(const look::TextSeen& t, const std::vector<Rect>& panels, std::vector<std::string>& out)
{
    for (const Rect& panel : panels)
        if (lie_on_each_other(t.ink, panel) && !(t.panel && within(*t.panel, panel, kSlack))) {
            out.push_back("text \"" + t.text + "\" lies on a panel that is not its own");
            return;
        }
}

} // namespace

Demands demands_at_machine(const look::ScreenSize& screen)
{
    Demands d;
    d.smallest_cap_mm = look::cap_height_mm(look::Role::label, screen.hand_held());
    return d;
}

Demands demands_at_desk()
{
    return {10.0F, 1.9F, 2.3F};
}

std::vector<std::string> complaints(const look::FrameLedger& ledger, const Demands& demands)
{
    std::vector<std::string> out;
    check_targets(ledger, demands, out);
    for (std::size_t i = 0; i < ledger.texts.size(); ++i) {
        const look::TextSeen& t = ledger.texts[i];
        check_text(t, ledger.screen, demands, out);
        check_ground(t, ledger.panels, out);
        for (std::size_t j = 0; j < i; ++j) {
            const look::TextSeen& u = ledger.texts[j];
            if (lie_on_each_other(t.ink, u.ink))
                out.push_back("texts \"" + u.text + "\" and \"" + t.text + "\" lie on each other");
        }
    }
    return out;
}

} // namespace field::kit
