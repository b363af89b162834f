#pragma once
// One job at a glance: the shaft line with its positions, what is done where, and the order between them.
#include "field/drawing/shaft_line.h"
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct JobSheetState {
    int page = -1; ///< of the cards, when there are more than fit; -1: that of the card in hand
};

enum class LineMark { done, here, todo, held, skipped };

struct SheetLine {
    LineMark    mark = LineMark::todo;
    std::string words; ///< "Seat 49.970 mm", "Zero, marked"
};
struct SheetCard {
    std::string            pos;   ///< empty for the card of the whole shaft; script id "card.A", "card.both"
    std::string            title; ///< "A fixed, first"
    std::vector<SheetLine> lines; ///< all steps of the card; draw() counts what does not fit
    bool                   here     = false;
    bool                   may_open = false; ///< it has an open or held step
};

struct JobSheetView {
    Heading                heading;
    drawing::LinePicture   shaft;
    std::vector<SheetCard> cards;
    std::string            main_title, main_sub;
    bool                   main_on = false;
    std::string            check; ///< the sheets against mechanics: they agree, or which one does not and why
    std::vector<std::string> advice; ///< what the readings so far ask to look at
    std::string notice; ///< "Follow the site's lockout procedure and the maker's instructions ..." before the
                        ///< job is started
    std::string kit, record, back;
};

struct JobSheetAsk {
    enum class Kind { nothing, back, kit, record, carry_on, open_card } kind = Kind::nothing;
    std::string pos;
};

[[nodiscard]] JobSheetView view_of(const ViewContext& context, const engine::JobState& job,
                                   const JobSheetState& state);
[[nodiscard]] JobSheetAsk  draw(kit::Ui& ui, JobSheetState& state, const JobSheetView& view);

} // namespace field::screens
