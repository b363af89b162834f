#include "field/screens/code_card.h"

#include "engine/book/roster.h"
#include "field/kit/qr_code.h"
#include "field/screens/page.h"
#include "sync/enrolment.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::size_t kGroup = 4; ///< digits of a group of figures
constexpr std::size_t kLine  = 4 * (kGroup + 1);
constexpr float       kQr_mm = 62.0F; ///< as wide as can be without pushing the figures off

/// Figures to be read aloud: as many groups a line as fit, large.
void draw_figures(kit::Ui& ui, Rect& box, const CodeCard& card)
{
    look::Canvas& canvas = ui.canvas();
    page_note(ui, box, card.figures_label);
    const std::size_t a_line =
        canvas.text_width("0000 0000", Role::second) <= box.w ? std::size_t{2} : std::size_t{1};
    std::string line;
    for (std::size_t i = 0; i < card.figures.size(); ++i) {
        line += (line.empty() ? "" : " ") + card.figures[i];
        if ((i + 1) % a_line != 0 && i + 1 < card.figures.size()) continue;
        canvas.text({box.x, box.y}, line,
                    {Role::second, ui.palette().ink, look::Across::left, look::Upright::top});
        box.cut_top(canvas.cap_mm(Role::second), 3.0F);
        line.clear();
    }
    box.cut_top(2.0F);
}

void draw_standing(kit::Ui& ui, Rect& box, const CodeCard& card)
{
    look::Canvas&   canvas    = ui.canvas();
    constexpr float kMark_mm  = 7.0F;
    const float     mark_y    = box.y + canvas.cap_mm(Role::instruction) / 2;
    const Rect      words_box = {box.x + kMark_mm + 3.0F, box.y, box.w - kMark_mm - 3.0F, box.h};
    look::draw_symbol(canvas, card.symbol, {box.x + kMark_mm / 2, mark_y + 0.6F}, kMark_mm);
    const float used =
        canvas.text_wrapped(words_box, card.standing,
                            {Role::instruction, ui.palette().ink, look::Across::left, look::Upright::top});
    box.cut_top(std::max(used, kMark_mm), kAfterTitle_mm);
    if (!card.plant_label.empty()) page_note(ui, box, card.plant_label);
    for (const std::string& line : card.plant_lines) {
        canvas.text({box.x, box.y}, line,
                    {Role::value, ui.palette().ink, look::Across::left, look::Upright::top});
        box.cut_top(canvas.cap_mm(Role::value), 2.6F);
    }
    if (!card.plant_lines.empty()) box.cut_top(1.0F);
    if (!card.note.empty()) page_note(ui, box, card.note);
}

} // namespace

void show_key(CodeCard& card, const std::string& key_hex, const std::string& code)
{
    card.figures.clear();
    const std::string digits = share::figures_of(key_hex);
    for (std::size_t at = 0; at < digits.size(); at += kGroup + 1)
        card.figures.push_back(digits.substr(at, kGroup));
    card.qr = camera::qr_of(code);
}

std::vector<std::string> paper_lines(const std::string& key_hex)
{
    const std::string figures = engine::fingerprint_of(key_hex);
    if (figures.size() < kLine) return {figures};
    return {figures.substr(0, kLine - 1), figures.substr(kLine)};
}

void draw_code_card(kit::Ui& ui, Rect body, const CodeCard& card)
{
    Rect words = body;
    if (ui.portrait()) {
        page_title(ui, body, card.title);
        words          = body;
        Rect       top = words.cut_top(kQr_mm * 0.9F, 4.0F);
        const Rect qr =
            ui.left_handed() ? top.cut_right(kQr_mm * 0.9F, 4.0F) : top.cut_left(kQr_mm * 0.9F, 4.0F);
        if (card.qr) (void)kit::qr_code(ui.canvas(), qr, *card.qr);
        draw_figures(ui, top, card);
    } else {
        const float side = std::min(body.h, body.w * 0.42F);
        const Rect  qr   = ui.left_handed() ? words.cut_right(side, 5.0F) : words.cut_left(side, 5.0F);
        if (card.qr) (void)kit::qr_code(ui.canvas(), {qr.x, qr.y, side, side}, *card.qr);
        page_title(ui, words, card.title);
        draw_figures(ui, words, card);
    }
    draw_standing(ui, words, card);
}

} // namespace field::screens
