#pragma once
// Everything recorded of a job so far, newest step last: values beside their limits, struck corrections
// readable, photos counted. A reading can be corrected from here; nothing is edited.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct RecordState {
    int         page = 0;
    std::string picked; ///< entry id of the reading to correct, or empty
};

struct RecordLine {
    std::string     entry_id;       ///< empty for lines that cannot be corrected
    std::string     what;           ///< "A · Seat, plane I across"
    std::string     value;          ///< "49.970 mm"
    std::string     limits;         ///< "49.938 to 50.000"
    std::string     by;             ///< "112, 10:31, M-07"
    std::string     old_value = {}; ///< "49.870 mm", shown struck through before `struck`
    std::string     struck;         ///< "misread, 118 10:40" or empty
    engine::Verdict verdict = engine::Verdict::inside;
};

struct RecordView {
    std::string             back, correct, none;
    Heading                 heading;
    std::string             title;
    std::vector<RecordLine> lines;
};

struct RecordAsk {
    enum class Kind { nothing, back, correct } kind = Kind::nothing;
    std::string entry_id;
};

[[nodiscard]] RecordView view_of(const ViewContext& context, const engine::JobState& job,
                                 const RecordState& state);
[[nodiscard]] RecordAsk  draw(kit::Ui& ui, RecordState& state, const RecordView& view);

} // namespace field::screens
