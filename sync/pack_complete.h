#pragma once
// Is anything of a job missing from a pack? Whoever countersigned or returned it said how many entries stood
// before and the hash over their ids (engine/procedure/RECORD.md): FORMAT.md section 9.
#include "engine/book/entry.h"

#include <cstddef>
#include <string>
#include <vector>

namespace share::pack {

struct JobCompleteness {
    std::string job;
    bool        proven  = false; ///< the record as it stood at its last review is all here
    bool        broken  = false; ///< a review covers other entries than those that are here
    std::size_t covered = 0;     ///< entries the last review that fits covers
    std::size_t later   = 0;     ///< entries that came after it, or are not covered by any
    std::string sentence;        ///< what is proved, and what is not
};

/// `of_job`: every entry of the job that is here. `witnesses`: the witness entries that are here: what a
/// reviewing machine had not read yet when it signed, its count does not cover.
[[nodiscard]] JobCompleteness completeness_of(const std::string& job, std::vector<engine::Entry> of_job,
                                              const std::vector<engine::Entry>& witnesses);

} // namespace share::pack
