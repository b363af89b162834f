#pragma once
// Which of two revisions of a sheet is the later one, and what a file of sheets may not do to the book.
//   Runs of digits and of letters are compared one by one: R3 before R10, A before B before AA, 2 before 2.1,
//   R3 before R3a. Signs between them do not count. Dates by year, month, day: 2025-11 before 2026-02; a year
//   at the end is put first: 11.2025 before 02.2026. Letters count in small and in capitals alike.
//   What has nothing in common (R3 and 2026-02, "draft" and "final") cannot be told apart.
#include "engine/catalogue/import.h"

#include <cstdint>

namespace engine {

enum class RevisionOrder : std::uint8_t { older, same, newer, unknown };

/// What `revision` is to `other`.
[[nodiscard]] RevisionOrder order_of(std::string_view revision, std::string_view other);

/// What the book says to the sheets of a file (the items of import_units of that table): a fault for one that
/// changes values under a known revision or is older than the newest one; `unsure` for one whose revision
/// cannot be put in order.
struct RevisionsJudged {
    std::vector<ImportFault> faults, unsure;
};
[[nodiscard]] RevisionsJudged judge_revisions(const CsvTable& table, const std::vector<UnitSheet>& sheets,
                                              const Catalogue& known);

} // namespace engine
