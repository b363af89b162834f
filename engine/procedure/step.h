#pragma once
// The procedure as data: what a step is. Rows come from assets/procedure/*.toml; nothing here knows a
// particular step.
#include "engine/base/numbers.h"
#include "engine/catalogue/people.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace engine {

enum class AskKind {
    reading, ///< a value with unit, instrument and limits
    choice,  ///< one of named options
    photo,   ///< a photo with a stated subject
    code     ///< a tag, lock or serial number: scanned or typed
};

struct Option {
    std::string value;          ///< "grips", kept in the record
    bool        goes_on = true; ///< false: this answer holds the step until a decision or another answer
    friend bool operator==(const Option&, const Option&) = default;
};

/// One thing a step asks for. Texts are found by id: "ask.<step>.<name>", "option.<step>.<name>.<value>".
struct Ask {
    AskKind                  kind = AskKind::reading;
    std::string              name;  ///< unique in the step; records refer to it for ever
    std::vector<std::string> slots; ///< readings: "I.across", "I.up", ...; one empty string when there is one
                                    ///< value. "bolts" in the data expands to one slot a bolt
    std::vector<UnitOf>      units; ///< readings: units the keypad offers, first is the usual one
    std::string              limits; ///< id of the limit rule in limits.h ("seat", "turn", ...), or empty
    std::optional<Tool>      tool;   ///< what it is read with; absent: no instrument
    std::vector<Option>      options;
    std::vector<std::string> when; ///< conditions (see conditions.h); all must hold
    bool                     optional                           = false; ///< may be left empty
    friend bool              operator==(const Ask&, const Ask&) = default;
};

/// A photo of what is in the way may go with a problem on any step that is not done; no step asks for it.
inline constexpr const char* kProblemPhoto = "problem";

struct Caution {
    std::string level;   ///< "DANGER" | "WARNING" | "CAUTION" | "NOTICE", by their ANSI Z535.4 definition
    std::string text_id; ///< into assets/words
    friend bool operator==(const Caution&, const Caution&) = default;
};

enum class Scope { job, position };
enum class Where {
    same,    ///< of this position, or of the job when the needed step is one of the job
    earlier, ///< of every position before this one in the order of tightening
    all      ///< of every position
};
struct Need {
    std::string step;
    Where       where                                = Where::same;
    friend bool operator==(const Need&, const Need&) = default;
};

/// One row of the procedure.
struct Step {
    std::string key; ///< stable name in records; never reused, never renamed
    Scope       scope = Scope::position;
    std::string
        screen; ///< which drawing and input: "isolate", "measure", "turn", ... ("step": the plain one)
    std::vector<std::string> when;  ///< conditions; all must hold for the step to be in a plan
    std::vector<Need>        needs; ///< steps absent from the plan count as fulfilled
    std::vector<Ask>         asks;
    std::optional<Caution>   caution;
    bool                     hold      = false; ///< always needs another person's decision before it closes
    bool                     attempt   = false; ///< belongs to the nut attempt: a back-off throws it back
    bool                     skippable = false; ///< may be skipped with reason and decision
    std::string              rule; ///< why its order is what it is, told when refused: text id "rule.<rule>"
    friend bool              operator==(const Step&, const Step&) = default;
};

struct Procedure {
    std::string               version; ///< goes into every done entry
    std::vector<Step>         steps;   ///< in a valid order
    [[nodiscard]] const Step* step(const std::string& key) const;
};

/// Reads every *.toml of the folder. All or nothing: a fault names file, line, key, value and what would be
/// right (unknown key, unknown condition, unit, tool, limit rule or needed step; a circle of needs; a double
/// step key).
[[nodiscard]] Result<Procedure> load_procedure(const std::filesystem::path& folder);

} // namespace engine
