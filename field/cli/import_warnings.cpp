#include "field/cli/import_warnings.h"

#include "engine/catalogue/export.h"
#include "engine/catalogue/revision.h"
#include "engine/fit/sheet_doubts.h"
#include "engine/procedure/plan.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>

namespace field::cli {
namespace {

bool is_known(const engine::UnitSheet& sheet, const engine::Catalogue& known)
{
    const engine::UnitSheet* newest = known.unit(sheet.code);
    return newest != nullptr && engine::cells_of(*newest) == engine::cells_of(sheet);
}

/// Lines of the rows the sheets were read from, in their order: rows a spreadsheet left blank are none.
std::vector<const engine::CsvRow*> rows_read(const engine::CsvTable& table)
{
    std::vector<const engine::CsvRow*> rows;
    for (const engine::CsvRow& row : table.rows)
        if (std::ranges::any_of(row.cells, [](const std::string& cell) {
                return cell.find_first_not_of(" \t\r\n") != std::string::npos;
            }))
            rows.push_back(&row);
    return rows;
}

/// The file's own spelling of a cell.
std::string cell_of(const engine::CsvTable& table, const engine::CsvRow& row, const std::string& column)
{
    const int index = table.column(column);
    return index < 0 ? std::string() : row.cells.at(static_cast<std::size_t>(index));
}

TouchedJob touched_job(const engine::Book& book, const engine::UnitSheet& sheet, const engine::Job& job)
{
    TouchedJob found{sheet.code, sheet.revision, job.number, {}, sheet.revision, {}};
    for (const engine::Position& position : job.positions)
        if (position.unit_code == sheet.code)
            found.positions += (found.positions.empty() ? "" : ", ") + position.letter;
    const auto        settled = engine::papers_settled(book.entries_of_job(job.number));
    const std::string which   = "Open job " + job.number + ", position " + found.positions + ": ";
    if (!settled) {
        found.sentence = which + "goes by " + sheet.code + " " + sheet.revision + " from now on.";
        return found;
    }
    const engine::UnitSheet* begun = book.catalogue().unit_at(sheet.code, *settled);
    found.goes_by                  = begun == nullptr ? std::string() : begun->revision;
    found.sentence =
        which + "keeps " + sheet.code + " " + found.goes_by + ", with which its papers were read.";
    return found;
}

} // namespace

std::string sentence(const ImportWarning& warning)
{
    const engine::ImportFault& at = warning.at;
    std::string told = at.file + ":" + std::to_string(at.line) + ", column " + at.column + ": '" + at.value +
                       "' " + at.wrong;
    return told.ends_with('.') ? told : told + ".";
}

nlohmann::json document_of(const ImportWarning& warning)
{
    return {{"file", warning.at.file},    {"line", warning.at.line},      {"column", warning.at.column},
            {"value", warning.at.value},  {"wrong", warning.at.wrong},    {"sheet", warning.theirs},
            {"worked_out", warning.ours}, {"sentence", sentence(warning)}};
}

SheetsJudged judge_sheets(const engine::CsvTable& table, const std::vector<engine::UnitSheet>& sheets,
                          const engine::Catalogue& known)
{
    SheetsJudged judged;
    auto         revisions = engine::judge_revisions(table, sheets, known);
    judged.faults          = std::move(revisions.faults);
    for (engine::ImportFault& unsure : revisions.unsure)
        judged.warnings.push_back({std::move(unsure), {}, {}});
    const auto rows = rows_read(table);
    for (std::size_t i = 0; i < sheets.size() && i < rows.size(); ++i) {
        if (is_known(sheets[i], known)) continue;
        for (engine::SheetDoubt& doubt : engine::doubts_of(sheets[i])) {
            engine::ImportFault at{table.file,   rows[i]->line,
                                   doubt.column, cell_of(table, *rows[i], doubt.column),
                                   doubt.wrong,  doubt.wanted};
            if (doubt.impossible)
                judged.faults.push_back(std::move(at));
            else
                judged.warnings.push_back({std::move(at), std::move(doubt.theirs), std::move(doubt.ours)});
        }
    }
    std::ranges::stable_sort(judged.faults, {}, &engine::ImportFault::line);
    std::ranges::stable_sort(judged.warnings, {},
                             [](const ImportWarning& warning) { return warning.at.line; });
    return judged;
}

std::vector<TouchedJob> touched_jobs(const engine::Book& book, const std::vector<engine::UnitSheet>& sheets)
{
    std::vector<TouchedJob>  jobs;
    const engine::Catalogue& known = book.catalogue();
    for (const engine::UnitSheet& sheet : sheets) {
        if (known.unit(sheet.code) == nullptr || is_known(sheet, known)) continue;
        for (const std::string& number : book.open_jobs()) {
            const engine::Job* job = known.job(number);
            if (job != nullptr && std::ranges::find(job->positions, sheet.code,
                                                    &engine::Position::unit_code) != job->positions.end())
                jobs.push_back(touched_job(book, sheet, *job));
        }
    }
    return jobs;
}

nlohmann::json document_of(const TouchedJob& job)
{
    return {{"unit", job.unit},           {"revision", job.revision}, {"job", job.job},
            {"positions", job.positions}, {"goes_by", job.goes_by},   {"sentence", job.sentence}};
}

} // namespace field::cli
