#include "field/screens/fitter/send_box.h"

#include "field/kit/button.h"
#include "field/kit/limit_gauge.h"
#include "field/kit/main_bar.h"
#include "field/look/symbols.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

SendBoxView view_of(const ViewContext& context, std::vector<SendLine> lines, const ExchangeGlance& exchange)
{
    const look::Words& words = *context.words;
    SendBoxView        view;
    view.heading     = heading_of(context, words.say("send.place"));
    view.title       = words.say("send.title");
    view.back        = words.say("bar.back");
    view.cancel      = words.say("send.cancel");
    view.head_here   = words.say("send.here");
    view.head_folder = words.say("send.folder");
    view.head_read   = words.say("send.read_back");
    view.none        = words.say("send.none");
    view.lines       = std::move(lines);
    for (SendLine& line : view.lines)
        line.words = words.say("send.count", {std::to_string(line.entries), std::to_string(line.photos)});
    view.exchange = exchange;
    if (!exchange.folder_set)
        view.folder_line = words.say("send.no_folder");
    else if (exchange.running)
        view.folder_line = words.say("send.running", {exchange.doing});
    else if (!exchange.trouble.empty())
        view.folder_line = exchange.trouble;
    else if (!exchange.reached)
        view.folder_line = words.say("send.not_reached", {exchange.folder});
    else
        view.folder_line = words.say("send.reached", {exchange.folder, exchange.last});
    view.space_line = little_room(context);
    if (exchange.photos_away > 0)
        view.space_line.append(view.space_line.empty() ? "" : " ")
            .append(words.say("space.away", {std::to_string(exchange.photos_away)}));
    view.space_level = context.space.level;
    view.main_on     = exchange.folder_set && !exchange.running;
    view.main_title  = words.say("send.now");
    view.main_sub    = !exchange.folder_set  ? words.say("send.no_folder_sub")
                       : exchange.running    ? words.say("send.goes")
                       : context.to_send > 0 ? words.say("send.waiting", {std::to_string(context.to_send)})
                                             : words.say("send.all_in");
    return view;
}

namespace {

/// One job: its name, and a dot with a count in the column of each state.
void draw_line(kit::Ui& ui, const Rect& row, const SendLine& line, float column)
{
    look::Canvas&     canvas = ui.canvas();
    const look::Owner owner(canvas, row);
    kit::card(canvas, row);
    const float middle = row.y + row.h / 2;
    // Upright the name needs the whole width: the counts stand beside the second line.
    const float counts_y = ui.portrait() ? middle + 5.2F - canvas.cap_mm(Role::label) / 2 : middle;
    const float room     = row.w - 3 * column - 6.0F;
    const float name     = ui.portrait() ? row.w - 6.0F : room;
    canvas.text_fitted({row.x + 3.0F, middle - 1.6F}, line.job, {Role::label_bold, ui.palette().ink}, name);
    canvas.text_fitted({row.x + 3.0F, middle + 5.2F}, line.words, {Role::label, ui.palette().soft}, room);
    const int counts[] = {line.here, line.in_folder, line.read_back};
    for (int i = 0; i < 3; ++i) {
        const float centre = row.right() - 2.0F - column * (2.5F - static_cast<float>(i));
        if (counts[i] == 0)
            canvas.line({centre - 2.0F, counts_y}, {centre + 2.0F, counts_y}, {ui.palette().rule, 0.5F});
        else
            canvas.text({centre, counts_y}, std::to_string(counts[i]),
                        {ui.portrait() ? Role::label_bold : Role::instruction,
                         i == 0 ? ui.palette().watch : ui.palette().ink, look::Across::centre,
                         look::Upright::middle});
    }
}

} // namespace

SendBoxAsk draw(kit::Ui& ui, SendBoxState& state, const SendBoxView& view)
{
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::MainBar bar{.side = {{"back", {.title = view.back}}},
                     .main = {view.main_title, view.main_sub, view.main_on}};
    if (view.exchange.running) bar.side.push_back({"cancel", {.title = view.cancel}});
    const auto tap  = kit::main_bar(ui, bar);
    Rect       body = page_body(ui, true);
    page_title(ui, body, view.title);
    const bool trouble = !view.exchange.trouble.empty() && !view.exchange.running;
    body.cut_top(canvas.text_wrapped(body, view.folder_line,
                                     {Role::label, trouble ? ui.palette().watch : ui.palette().soft,
                                      look::Across::left, look::Upright::top}) +
                 2.0F); // the heads of the columns stand at the other side
    if (!view.space_line.empty()) {
        const auto colour = view.space_level == engine::SpaceLevel::ok    ? ui.palette().soft
                            : view.space_level == engine::SpaceLevel::low ? ui.palette().watch
                                                                          : ui.palette().outside;
        body.cut_top(canvas.text_wrapped(body, view.space_line,
                                         {Role::label, colour, look::Across::left, look::Upright::top}) +
                     4.0F); // a second line may reach under the heads of the columns
    }
    if (view.exchange.running && view.exchange.all > 0)
        kit::share_bar(canvas, body.cut_top(2.5F, 3.0F),
                       static_cast<float>(view.exchange.done) /
                           static_cast<float>(std::max(view.exchange.all, 1)));
    for (const std::string& sentence : view.exchange.set_aside) {
        if (body.h < 60.0F) break;
        body.cut_top(
            canvas.text_wrapped(body, sentence,
                                {Role::label, ui.palette().outside, look::Across::left, look::Upright::top}) +
            1.5F);
    }
    if (view.lines.empty()) {
        canvas.text_wrapped(body, view.none,
                            {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top});
    } else {
        const float        column  = ui.portrait() ? 17.0F : 30.0F;
        const Rect         head    = body.cut_top(canvas.cap_mm(Role::label) + 2.0F, 1.0F);
        const std::string* heads[] = {&view.head_here, &view.head_folder, &view.head_read};
        for (int i = 0; i < 3; ++i) {
            const float centre = head.right() - 2.0F - column * (2.5F - static_cast<float>(i));
            canvas.text({centre, head.y + canvas.cap_mm(Role::label)}, *heads[i],
                        {Role::label, ui.palette().soft, look::Across::centre});
        }
        const float row_mm = 14.0F;
        const Pages pages  = pages_of(view.lines.size(), body.h, row_mm, state.page, 2.0F);
        if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, kit::kGap), pages, state.page);
        for (std::size_t i = pages.first();
             i < view.lines.size() && i < pages.first() + static_cast<std::size_t>(pages.per_page); ++i)
            draw_line(ui, body.cut_top(row_mm, 2.0F), view.lines[i], column);
    }
    if (tap.is("back")) return SendBoxAsk::back;
    if (tap.is("cancel")) return SendBoxAsk::cancel;
    return tap.main ? SendBoxAsk::send : SendBoxAsk::nothing;
}

} // namespace field::screens
