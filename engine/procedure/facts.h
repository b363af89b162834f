#pragma once
// What the entries of a job say about one step, gathered before anything is judged.
#include "engine/base/numbers.h"
#include "engine/book/entry.h"
#include "engine/metrology/verdict.h"
#include "engine/procedure/plan.h"

namespace engine {

struct Signed {      ///< who and when
    std::string  id; ///< of the entry
    std::string  actor;
    std::int64_t wall_ms = 0;
    int          tz_min  = 0;
    std::string  dev;
};

struct Limits { ///< in the SI integer of the reading's unit (engine/base/numbers.h)
    std::optional<std::int64_t> low, high;
    std::string                 source; ///< "sheet SLW-P50-12 rev 3, seat h9 (ISO 286-2)"
};

struct Struck {       ///< an older value a correction replaced; never hidden
    Signed      by;   ///< the correction
    std::string text; ///< the value it struck, as it was entered
    UnitOf      unit = UnitOf::mm;
    std::string reason;
};

struct ReadingFact {
    Signed                at;
    std::string           ask, slot;
    Entered               value;
    std::optional<Limits> limits;
    std::int64_t          u_si = 0; ///< expanded uncertainty (k = 2) in the same SI integer; 0: none stated
    std::optional<std::int64_t> part_mc; ///< part temperature, mC
    std::string                 tool;    ///< instrument tag, or empty
    std::string                 via;     ///< "typed" | "gauge" | "scan" | "dial" | "click"
    Verdict                     verdict = Verdict::inside;
    std::vector<Struck>         struck; ///< newest last
};
struct ChoiceFact {
    Signed      at;
    std::string ask, option;
    bool        goes_on = true;
};
struct PhotoFact {
    Signed      at;
    std::string ask, sha256, source;
};
struct CodeFact {
    Signed      at;
    std::string ask, text, via;
};
struct DeviationFact { ///< the fitter asks to go on in spite of a verdict, or to skip the step
    Signed      at;
    std::string reason; ///< reason key, words by "reason.<key>"
    bool        skip = false;
};
struct DecisionFact {
    Signed      at;
    bool        accept = false;
    std::string reason;
};

struct StepFacts {
    StepRef                    ref;
    std::vector<ReadingFact>   readings; ///< current one of each ask and slot
    std::vector<ReadingFact>   repeats;  ///< readings a later one of the same slot took the place of
    std::vector<ChoiceFact>    choices;  ///< current one of each ask
    std::vector<PhotoFact>     photos;
    std::vector<CodeFact>      codes;    ///< current one of each ask
    std::vector<DeviationFact> problems; ///< all, oldest first (reported problems and asked deviations)
    std::vector<DecisionFact>
        decisions; ///< valid ones only: by another person, who may decide, after the last change of the step
    std::optional<Signed>    done;
    std::vector<std::string> done_figures; ///< as kept in the done entry: "mean_20c_dum=499701"

    [[nodiscard]] const ReadingFact* reading(const std::string& ask, const std::string& slot = {}) const;
    [[nodiscard]] const ChoiceFact*  choice(const std::string& ask) const;
    [[nodiscard]] const CodeFact*    code(const std::string& ask) const;
    [[nodiscard]] bool               has_photo(const std::string& ask) const;
};

} // namespace engine
