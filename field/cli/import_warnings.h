#pragma once
// What is told about a planner's sheets beside "taken": doubts that do not stand in the way, and the open
// jobs a changed sheet touches.
#include "engine/book/book.h"
#include "engine/catalogue/import.h"

#include <nlohmann/json_fwd.hpp>

namespace field::cli {

struct ImportWarning {
    engine::ImportFault at;           ///< place and value; `wrong` is the doubt
    std::string         theirs, ours; ///< the sheet's number and the one worked out here; may be empty
};
[[nodiscard]] std::string    sentence(const ImportWarning& warning);
[[nodiscard]] nlohmann::json document_of(const ImportWarning& warning);

/// Sheets that are new or changed, held against the book, mechanics and their bolts. Faults refuse the file.
struct SheetsJudged {
    std::vector<engine::ImportFault> faults;
    std::vector<ImportWarning>       warnings;
};
[[nodiscard]] SheetsJudged judge_sheets(const engine::CsvTable&               table,
                                        const std::vector<engine::UnitSheet>& sheets,
                                        const engine::Catalogue&              known);

struct TouchedJob {
    std::string unit, revision, job, positions;
    std::string goes_by; ///< revision the job is judged by from now on
    std::string sentence;
};
/// Jobs not accepted yet whose unit gets another sheet. A job whose papers are read keeps the sheet it was
/// begun with.
[[nodiscard]] std::vector<TouchedJob> touched_jobs(const engine::Book&                   book,
                                                   const std::vector<engine::UnitSheet>& sheets);
[[nodiscard]] nlohmann::json          document_of(const TouchedJob& job);

} // namespace field::cli
