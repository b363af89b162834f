#include "field/screens/pager.h"

#include "field/look/symbols.h"

namespace field::screens {

Pages pages_of(std::size_t items, float height_mm, float row_mm, int& page, float gap_mm)
{
    const auto fit = [&](float height) {
        return std::max(1, static_cast<int>((height + gap_mm) / (row_mm + gap_mm)));
    };
    Pages     pages;
    const int all  = static_cast<int>(items);
    pages.per_page = fit(height_mm);
    if (all > pages.per_page) pages.per_page = fit(height_mm - kit::kTarget - gap_mm);
    pages.count = std::max(1, (all + pages.per_page - 1) / pages.per_page);
    if (page < 0 || page >= pages.count) page = pages.count - 1;
    pages.page = page;
    return pages;
}

void draw_pager(kit::Ui& ui, const look::Rect& row, const Pages& pages, int& page)
{
    if (pages.count <= 1) return;
    look::Rect       rest = row;
    const look::Rect back = rest.cut_left(30.0F);
    const look::Rect on   = rest.cut_right(30.0F);
    if (kit::button(ui, "page.back", back,
                    {.title = "", .symbol = look::Symbol::arrow_left, .enabled = pages.page > 0}))
        --page;
    if (kit::button(
            ui, "page.on", on,
            {.title = "", .symbol = look::Symbol::arrow_right, .enabled = pages.page + 1 < pages.count}))
        ++page;
    const std::string where = std::to_string(pages.page + 1) + " / " + std::to_string(pages.count);
    ui.canvas().text(
        rest.centre(), where,
        {look::Role::instruction, ui.palette().soft, look::Across::centre, look::Upright::middle});
}

} // namespace field::screens
