#pragma once
// The parts `assess` is put together from: each looks at one step's facts, adds its figures and sentences,
// and leaves the rest alone. Which part speaks is decided by the limit rules the step's asks name, never by
// its key.
#include "engine/procedure/judged.h"

#include <set>

namespace engine {

struct AssessQuestion {
    const Plan&        plan;
    const FactsByStep& facts;
    const PlanStep&    step;
    const StepFacts&   given;
    const UnitSheet*   unit; ///< of the position; null for a step of the whole job
};

/// Adds a figure and takes its verdict into the whole; `why` is the sentence when it is not inside.
void add_figure(Assessment& assessment, Figure figure, const std::string& why = {});
/// Takes a verdict into the whole; the first sentence of the worst verdict stays.
void take_verdict(Assessment& assessment, Verdict verdict, const std::string& sentence);

void assess_seat(const AssessQuestion& question, Assessment& assessment);
void assess_turned(const AssessQuestion& question, Degrees angle, Assessment& assessment);
void assess_lock(const AssessQuestion& question, Assessment& assessment);
void assess_clearance_after(const AssessQuestion& question, Assessment& assessment);
void assess_shims(const AssessQuestion& question, Assessment& assessment);
void assess_centre(const AssessQuestion& question, Assessment& assessment);
void assess_align(const AssessQuestion& question, Assessment& assessment);
void assess_run_in(const AssessQuestion& question, Assessment& assessment);

} // namespace engine
