#pragma once
// A pack: the record of some jobs in a folder of its own, provable without the book it came from. FORMAT.md
// section 7.
#include "engine/book/book.h"
#include "sync/folder.h"
#include "sync/pack_complete.h"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace share {

inline constexpr std::size_t kLargestPackFile  = std::size_t{64} * 1024 * 1024; ///< of lines or proofs, bytes
inline constexpr std::size_t kLargestPackPhoto = std::size_t{32} * 1024 * 1024;

struct PackWish {
    std::vector<std::string> jobs;   ///< numbers
    std::string              serial; ///< what was asked for, said in the pack; may be empty
};
struct PackMade {
    std::size_t entries = 0, proofs = 0, photos = 0;
    std::size_t photos_missing = 0; ///< named by an entry, not on this machine: the pack says so
};

/// Every entry of the jobs, the sheets and instruments they name, the first words of the machines, the
/// witness entries that cover others' lines; for each the proof that it stands in its machine's tree; a head
/// signed now; the enrolment list; the photos. Into an empty folder. Persons' entries stay out: they hold the
/// check of a PIN. Faults: not_found (no such job), those of the folder, refused (stopped by `progress`).
[[nodiscard]] engine::Result<PackMade>
make_pack(engine::Book& book, const PackWish& wish, Folder& folder, const engine::Clock& clock,
          const std::function<bool(std::size_t done, std::size_t all)>& progress = {});

struct PackReport {
    std::vector<pack::JobCompleteness> completeness; ///< one a job
    std::size_t                        entries = 0, signatures = 0, proofs = 0, photos = 0, statements = 0;
    std::size_t              photos_missing = 0; ///< the pack itself says that they were not at hand
    std::size_t              set_aside      = 0; ///< entries the enrolment list does not let count
    std::vector<std::string> jobs;
    std::string              serial, plant, maker; ///< maker: 64 hex of the machine that made it
    bool                     enrolled = false;     ///< a list of the plant key is in the pack
    engine::PlantMark        mark;                 ///< by that list, else by the first words of the maker
    std::size_t              people = 0;           ///< badges whose role the pack says
    std::size_t              breaks = 0;
    bool                     whole  = true;
    bool                     ended  = true; ///< false: stopped by `progress`
    std::string              first_break, last_break;
};

/// Signature of the list of contents, hash of every file, signature and canonical form of every line, tree
/// proof of every line up to the signed head or to a witness entry proved by it, enrolment list, every photo
/// named. Breaks do not stop it. Faults: not_found (no pack there), io.
[[nodiscard]] engine::Result<PackReport>
check_pack(Folder& folder, const std::function<bool(std::size_t done, std::size_t all)>& progress = {});

} // namespace share
