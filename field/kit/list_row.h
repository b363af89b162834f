#pragma once
// Rows of a list: symbol, bold title, soft second line, action at the right. The whole row is the target.
#include "field/kit/button.h"

#include <optional>
#include <string>

namespace field::kit {

struct ListRow {
    look::Symbol                symbol{look::Symbol::none};
    std::optional<look::Colour> symbol_colour;
    std::string                 title;
    std::string                 second;
    std::string                 time;     ///< at the right of the title; desk lists
    std::string                 action;   ///< "Open"; empty: no action cell
    bool                        first{};  ///< the row to carry on with: blue edge, blue action
    bool                        chosen{}; ///< blue edge, shown beside the list
    bool                        desk{};   ///< smaller letters
    bool                        enabled{true};
};
Touch list_row(Ui& ui, std::string_view id, const look::Rect& rect, const ListRow& row);

/// A line of a check list in a card: symbol and one line of text; not a target.
void check_line(look::Canvas& canvas, const look::Rect& rect, const ListRow& row);

} // namespace field::kit
