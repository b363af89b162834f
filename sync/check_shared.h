#pragma once
// Proves a shared folder from its bytes alone, without any book.
#include "engine/book/plant.h"
#include "sync/folder.h"

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

namespace share {

struct SharedMachine {
    std::string   devid, name, plant;
    std::uint64_t last_seq = 0; ///< as far as the chain holds
};
struct SharedBreak {
    std::string code; ///< FORMAT.md section 6
    std::string sentence;
};
struct SharedReport {
    std::size_t                files = 0, segments = 0, heads = 0, entries = 0, signatures = 0;
    std::size_t                photos         = 0; ///< photo files with the hash of their name
    std::size_t                photos_missing = 0; ///< named by an entry, no whole file
    std::size_t                foreign        = 0; ///< names that are not ours, links, pipes
    std::uint64_t              bytes          = 0;
    std::size_t                statements     = 0; ///< of the enrolment list, in one chain
    std::size_t                witnesses      = 0; ///< held against the lines
    std::size_t                set_aside      = 0; ///< entries the enrolment list does not let count
    engine::PlantStanding      plant;              ///< as files, list and first entries of machines say it
    std::vector<SharedMachine> machines;
    std::vector<SharedBreak>   list; ///< the breaks, at most kMostBreaks
    std::size_t                breaks = 0;
    bool                       whole  = true;  ///< no break; photos may still be on their way
    bool                       ended  = true;  ///< false: stopped by `progress`
    std::string                first_break;    ///< one sentence; empty when whole
    std::string                last_break;     ///< likewise: the other end of the extent
    std::size_t                taken_over = 0; ///< of the signatures: proved by the check that was stopped
};

inline constexpr std::size_t kMostBreaks = 1000;

/// Hash of every file, signature of every line and head, chain of every machine, root of every head, lines
/// against every witness, enrolment list, photo of every name. Breaks
/// do not stop it. `proved`: SHA-256 of segments whose signatures were verified, kept up to date; a file with
/// such bytes is hashed, read and chained again, but its signatures are taken over. Faults: not_found (no
/// exchange folder there), io.
[[nodiscard]] engine::Result<SharedReport>
check_shared(Folder& folder, const std::function<bool(std::size_t done, std::size_t all)>& progress = {},
             std::set<std::string>* proved = nullptr);

} // namespace share
