#pragma once
// Catalogue items as entry bodies and back. Lengths in 0.1 um, angles in mdeg, temperatures in mC, torques in
// mN.m.
#include "engine/book/entry.h"
#include "engine/catalogue/catalogue.h"

namespace engine {

[[nodiscard]] Draft draft_of(const UnitSheet& unit, const std::string& actor);
[[nodiscard]] Draft draft_of(const Person& person, const std::string& actor);
[[nodiscard]] Draft draft_of(const Instrument& instrument, const std::string& actor);
[[nodiscard]] Draft draft_of(const Job& job, const std::string& actor); ///< kind job.open

/// Newest by shown order wins; an entry that cannot be read is skipped and named in `complaints`.
/// Puts what the entry says in the place of what was there. Name of the field that cannot be read; empty:
/// well.
[[nodiscard]] std::string add_to_catalogue(Catalogue& catalogue, const Entry& entry);
[[nodiscard]] Catalogue   catalogue_of(const std::vector<Entry>& entries,
                                       std::vector<std::string>* complaints = nullptr);

} // namespace engine
