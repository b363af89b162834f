#include "field/drawing/lockout.h"

#include "field/drawing/shapes.h"

#include <algorithm>

namespace field::drawing {
namespace {

// Rotary isolator, handle level when off, upright when on (common practice).
void isolator(Sketch& out, const LockPicture& p, Point c, double r)
{
    const bool off = !p.lock_number.empty();
    out.body(rounded({c.x - r * 1.5, c.y - r * 1.5, c.x + r * 1.5, c.y + r * 1.75}, 2), Tone::steel_light);
    out.body(circle(c, r), Tone::steel);
    out.body(bar(c, r * 1.8, r * 0.5, off ? 0 : 90), off ? Tone::steel_dark : Tone::mark_soft,
             off ? kEdge : kHeavy);
    out.fill(circle(on_circle(c, r * 0.72, off ? 270 : 0), r * 0.09), Tone::ink);
    const Lettering how{Letters::label, false, Tone::soft, Side::middle};
    const Lettering now{Letters::label, true, Tone::ink, Side::middle};
    out.words(p.word_on, {c.x, c.y - r * 1.26}, off ? how : now);
    out.words(p.word_off, {c.x - r * 0.9, c.y + r * 1.34}, off ? now : how);
}

void padlock(Sketch& out, const LockPicture& p, const Box& body)
{
    const bool    shut = !p.lock_number.empty();
    const double  w = body.width() * 0.30, lift = shut ? 0 : body.height() * 0.22;
    const Point   c{body.centre().x, body.top - w * 0.55 - lift};
    Outline       hasp = {{c.x - w, body.top + 0.5 - (shut ? 0 : lift * 0.9)}};
    const Outline bow  = arc(c, w, -90, 90);
    hasp.insert(hasp.end(), bow.begin(), bow.end());
    hasp.push_back({c.x + w, body.top + 0.5});
    out.line(hasp, Pen{Tone::edge, std::max(1.6, w * 0.26), Dash::solid});
    out.body(rounded(body, 2), shut ? Tone::mark : Tone::panel,
             shut ? Pen{Tone::mark, 0.4, Dash::solid} : kHeavy);
    if (shut) {
        const Lettering big{Letters::title, true, Tone::on_mark, Side::middle};
        const bool      fits = out.width_of(p.lock_number, big) < body.width() - 1.5;
        out.words(p.lock_number, body.centre(),
                  fits ? big : Lettering{Letters::label, true, Tone::on_mark, Side::middle});
    } else {
        out.fill(circle({body.centre().x, body.centre().y - 0.6}, 1.2), Tone::mark);
        out.line({{body.centre().x, body.centre().y}, {body.centre().x, body.centre().y + 2.8}}, kHeavy);
    }
}

} // namespace

Sketch sketch(const LockPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    const double row  = out.row(Letters::label);
    const bool   wide = area.width() > area.height();
    const double r    = wide ? std::min(area.height() / 3.4, area.width() / 6.4)
                             : std::min(area.width() / 3.6, (area.height() - 2 * row) / 6.6);
    const Point  c    = wide ? Point{area.left + area.width() * 0.27, area.centre().y - r * 0.1}
                             : Point{area.centre().x, area.top + r * 1.55};
    isolator(out, picture, c, r);
    const double number =
        out.width_of(picture.lock_number, {Letters::title, true, Tone::ink, Side::middle}) + 3;
    const double w     = std::min(std::max(r * 1.7, number), wide ? area.width() * 0.46 : area.width() - 2),
                 h     = std::max(r * 1.1, row * 1.6);
    const double tag_h = picture.tag_says.empty() ? 0 : row * 1.7;
    const Point  m =
        wide ? Point{area.left + area.width() * 0.74, area.centre().y + r * 0.2}
              : Point{area.centre().x, area.bottom - (row * 2.2 + 2.0 + std::max(r * 1.1, row * 1.6)) / 2};
    const Box lock{m.x - w / 2, m.y - h / 2 - tag_h / 2, m.x + w / 2, m.y + h / 2 - tag_h / 2};
    padlock(out, picture, lock);
    if (tag_h > 0) {
        const double tw = std::min(std::max(out.width_of(picture.tag_says, {}) + 4, w),
                                   wide ? area.width() * 0.5 : area.width());
        const Box    tag{m.x - tw / 2, lock.bottom + 2.0, m.x + tw / 2, lock.bottom + 2.0 + tag_h};
        out.line({{m.x, lock.bottom}, {m.x, tag.top}}, Pen{Tone::edge, 0.4, Dash::solid});
        out.body(rounded(tag, 1.5), Tone::panel);
        out.words(picture.tag_says, tag.centre(), {Letters::label, false, Tone::ink, Side::middle});
    }
    if (picture.proved_dead) { // a tick in a disc: inside, as everywhere else
        const Point  t{c.x + r * 0.95, c.y + r * 1.32};
        const double k = r * 0.28;
        out.fill(circle(t, k), Tone::inside);
        out.line({{t.x - k * 0.5, t.y}, {t.x - k * 0.1, t.y + k * 0.4}, {t.x + k * 0.5, t.y - k * 0.4}},
                 Pen{Tone::ground, std::max(0.5, k * 0.22), Dash::solid});
    }
    return out;
}

} // namespace field::drawing
