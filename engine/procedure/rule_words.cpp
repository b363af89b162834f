#include "engine/procedure/rules.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace engine {
namespace {

// Numbers are those of the list of rules in DEVELOPERS.md. The screens have the same ids as "rule.<id>".
constexpr std::array kRules{
    RuleWords{1, "needs", "no step before what it depends on"},
    RuleWords{1, "papers", "the right unit and the right sheet are settled before work begins"},
    RuleWords{1, "kit", "the tools are at hand before the machine is opened"},
    RuleWords{1, "weight_off", "the shaft is held before a bearing is touched"},
    RuleWords{1, "old_out", "the old bearing comes out before its place is made ready"},
    RuleWords{1, "clean", "surfaces are dry and clean before they are measured"},
    RuleWords{1, "clearance_before", "the first clearance is read before the unit slides on"},
    RuleWords{1, "clearance_after", "the clearance left is read once the nut is locked"},
    RuleWords{1, "zero_first", "the mark is made at zero and the turn counts from it"},
    RuleWords{1, "centre", "the cartridge is centred once its nut is locked"},
    RuleWords{1, "align", "housings are aligned once every nut is locked"},
    RuleWords{1, "soft_foot", "feet are checked while the bolts are still loose"},
    RuleWords{1, "cap", "the cap goes on once the nut below it is locked"},
    RuleWords{1, "grease", "grease goes in once the unit is bolted down"},
    RuleWords{1, "hand_turn", "the shaft is turned by hand before it runs"},
    RuleWords{1, "run_in", "the machine runs only after the shaft turned free by hand"},
    RuleWords{1, "close", "the job is closed once it has run in"},
    RuleWords{1, "follow_up", "the look afterwards comes after the job is closed"},
    RuleWords{2, "lockout", "isolation is confirmed with lock number and photo before anything else"},
    RuleWords{3, "seat_first", "the seat is measured and decided before the bearing slides on"},
    RuleWords{4, "bolts_loose", "bolts stay loose until every nut is locked"},
    RuleWords{4, "first_flange_hard", "the first flange is bolted hard before its nut is touched"},
    RuleWords{4, "shims", "the second flange stands on its shims until its nut is at zero"},
    RuleWords{4, "shims_out", "the shims come out at zero, before the mark"},
    RuleWords{5, "in_order", "fixed before expansion, one position completely before the next"},
    RuleWords{6, "turn", "the nut angle never decreases; a nut turned back is a back-off"},
    RuleWords{7, "tab", "the lock tab is bent where the turn ends, forward and never back"},
    RuleWords{8, "record", "every reading has its unit and instrument, and nothing is edited"},
    RuleWords{9, "sheet", "the sheet is the authority"},
    RuleWords{10, "decision", "a deviation goes on only with a reason and another person's decision"},
};

} // namespace

const RuleWords* rule_words(std::string_view id)
{
    const auto* const found = std::ranges::find(kRules, id, &RuleWords::id);
    return found == kRules.end() ? nullptr : found;
}

Failure refusal(const StepRef& at, const std::string& why, const std::string& rule_id)
{
    std::string sentence = words_of(at);
    sentence[0]          = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence[0])));
    sentence += " is refused: " + why;
    if (const RuleWords* const rule = rule_words(rule_id))
        sentence += " (rule " + std::to_string(rule->number) + ": " + std::string(rule->clause) + ")";
    return failure(Fault::refused, sentence + ".", rule_id);
}

} // namespace engine
