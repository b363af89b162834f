#pragma once
// Everything recorded of a job so far, newest step last: values beside their limits, struck corrections
// readable, photos by where they are. A reading can be corrected from here, a photo that left the tablet for
// want of room be asked back; nothing is edited.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

#include <set>

namespace field::screens {

struct RecordState {
    int         page = 0;
    std::string picked; ///< entry id of the reading to correct, hash of the photo to ask back, or empty
    std::set<std::string> away   = {}; ///< photos that are in the shared folder only
    std::set<std::string> wanted = {}; ///< of those, asked back
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
    std::string     away    = {}; ///< hash of a photo that can be asked back
};

struct RecordView {
    std::string             back, correct, fetch, none;
    Heading                 heading;
    std::string             title;
    std::vector<RecordLine> lines;
};

struct RecordAsk {
    enum class Kind { nothing, back, correct, fetch } kind = Kind::nothing;
    std::string entry_id; ///< of the reading; the hash of the photo
};

[[nodiscard]] RecordView view_of(const ViewContext& context, const engine::JobState& job,
                                 const RecordState& state);
[[nodiscard]] RecordAsk  draw(kit::Ui& ui, RecordState& state, const RecordView& view);

} // namespace field::screens
