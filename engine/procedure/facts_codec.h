#pragma once
// Facts as entry bodies and back: RECORD.md says what each kind holds. Nothing else reads or writes these
// bodies.
#include "engine/procedure/assess.h"

#include <span>

namespace engine {

struct PhotoInfo;

struct About { ///< what every act of a job says besides its body
    std::string job, actor;
    StepRef     at; ///< empty key for acts of the whole job; only pos for a back-off
    int         attempt = 1;
};

struct DoneFact {
    std::string                         procedure; ///< version
    std::map<std::string, std::int64_t> figures;   ///< "mean_20c_dum" -> 499701
    Verdict                             verdict   = Verdict::inside;
    bool                                deviation = false;
};
struct BackOffFact {
    std::string reason;
};
struct CorrectionFact {
    std::string target; ///< id of the reading it corrects
    ReadingFact value;  ///< value, limits, uncertainty and verdict; the rest stays empty
    std::string reason;
};
struct HandOverFact {
    std::string to;
};
struct EndFact {
    std::string reason;
};
struct ReviewFact {
    bool          countersigned = false;
    std::string   reason;    ///< of a return
    std::uint64_t count = 0; ///< entries of the job before this one
    std::string   root;      ///< `root_of` those
};

[[nodiscard]] Draft draft_of(const About& about, const ReadingFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const ChoiceFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const CodeFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const PhotoFact& fact, const PhotoInfo& info);
[[nodiscard]] Draft draft_of(const About& about, const DoneFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const DeviationFact& fact); ///< kind problem
/// `decided_on`: `ids_of` the step as the person saw it.
[[nodiscard]] Draft draft_of(const About& about, const DecisionFact& fact,
                             std::vector<std::string> decided_on);
[[nodiscard]] Draft draft_of(const About& about, const BackOffFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const CorrectionFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const HandOverFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const ReviewFact& fact);
[[nodiscard]] Draft draft_of(const About& about, const EndFact& fact);

/// Each fails with Fault::corrupt and one sentence naming the key when the body is not what RECORD.md says.
[[nodiscard]] Result<ReadingFact>    reading_of(const Entry& entry);
[[nodiscard]] Result<ChoiceFact>     choice_of(const Entry& entry); ///< goes_on is the plan's to say
[[nodiscard]] Result<CodeFact>       code_of(const Entry& entry);
[[nodiscard]] Result<PhotoFact>      photo_of(const Entry& entry);
[[nodiscard]] Result<DoneFact>       done_of(const Entry& entry);
[[nodiscard]] Result<DeviationFact>  problem_of(const Entry& entry);
[[nodiscard]] Result<DecisionFact>   decision_of(const Entry& entry);
[[nodiscard]] Result<BackOffFact>    back_off_of(const Entry& entry);
[[nodiscard]] Result<CorrectionFact> correction_of(const Entry& entry);
[[nodiscard]] Result<HandOverFact>   hand_over_of(const Entry& entry);
[[nodiscard]] Result<ReviewFact>     review_of(const Entry& entry);
[[nodiscard]] Result<EndFact>        end_of(const Entry& entry);

[[nodiscard]] Signed signed_of(const Entry& entry);
/// The attempt an entry says it belongs to; 1 where it says nothing.
[[nodiscard]] int attempt_said(const Entry& entry);

/// Ids of all current facts of a step (readings with their corrections, choices, codes, photos, problems),
/// sorted: what a decision names.
[[nodiscard]] std::vector<std::string> ids_of(const StepFacts& facts);
/// Hex SHA-256 over the ids of entries in shown order, each followed by LF.
[[nodiscard]] std::string root_of(std::span<const Entry> entries);
/// Figures of an assessment under the names the record keeps.
[[nodiscard]] std::map<std::string, std::int64_t> kept_figures(const Assessment& assessment);

} // namespace engine
