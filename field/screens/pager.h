#pragma once
// Pages of a list: the fitter never scrolls.
#include "field/kit/button.h"

#include <algorithm>
#include <string>
#include <vector>

namespace field::screens {

struct Pages {
    int per_page = 1, count = 1, page = 0; ///< page is clamped to what there is; -1 means the last
    [[nodiscard]] std::size_t first() const
    {
        return static_cast<std::size_t>(page) * static_cast<std::size_t>(per_page);
    }
};

/// Rows of `row_mm` and `gap_mm` that fit into the height; when not all fit, one row is kept for the pager.
[[nodiscard]] Pages pages_of(std::size_t items, float height_mm, float row_mm, int& page,
                             float gap_mm = kit::kGap);

/// "Earlier | 2 of 5 | Later" in a row of 20 mm; changes `page`. Targets "page.back" and "page.on".
void draw_pager(kit::Ui& ui, const look::Rect& row, const Pages& pages, int& page);

} // namespace field::screens
