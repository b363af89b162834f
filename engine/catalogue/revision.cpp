#include "engine/catalogue/revision.h"

#include "engine/catalogue/export.h"
#include "engine/catalogue/import_row.h"

#include <algorithm>
#include <utility>

namespace engine {
namespace {

bool is_run_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool is_run_letter(char c)
{
    return c >= 'a' && c <= 'z';
}

bool is_number_run(const std::string& run)
{
    return is_run_digit(run.front());
}

/// Runs of digits and of letters, zeros in front of a number left out.
std::vector<std::string> runs_of(std::string_view revision)
{
    std::vector<std::string> runs;
    bool                     joined = false;
    for (char c : revision) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
        if (!is_run_digit(c) && !is_run_letter(c)) {
            joined = false;
            continue;
        }
        if (joined && is_number_run(runs.back()) == is_run_digit(c))
            runs.back() += c;
        else
            runs.emplace_back(1, c);
        joined = true;
    }
    for (std::string& run : runs)
        while (run.size() > 1 && run.front() == '0')
            run.erase(0, 1);
    return runs;
}

bool is_year(const std::string& run)
{
    return run.size() == 4 && is_number_run(run) && (run.starts_with("19") || run.starts_with("20"));
}

/// "3.11.2025" and "11.2025": the year stands last.
bool ends_in_year(const std::vector<std::string>& runs)
{
    return runs.size() >= 2 && runs.size() <= 3 && std::ranges::all_of(runs, is_number_run) &&
           is_year(runs.back()) && !is_year(runs.front());
}

constexpr std::size_t kCountingLetters = 2; ///< A, B .. Z, AA, AB ..; longer ones are words

RevisionOrder order_of_runs(const std::string& one, const std::string& other)
{
    if (one == other) return RevisionOrder::same;
    if (is_number_run(one) != is_number_run(other)) return RevisionOrder::unknown;
    const bool word = one.size() > kCountingLetters || other.size() > kCountingLetters;
    if (!is_number_run(one) && word) return RevisionOrder::unknown;
    const bool less = one.size() != other.size() ? one.size() < other.size() : one < other;
    return less ? RevisionOrder::older : RevisionOrder::newer;
}

/// "bolt_torque 160Nm where the file has 180Nm": the first of what differs, and how much more.
std::string changed_values(const UnitSheet& known, const UnitSheet& now)
{
    const auto  columns = columns_of(PlannerFile::units);
    const auto  old = cells_of(known), fresh = cells_of(now);
    std::string told;
    int         more = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (old.at(i) == fresh.at(i)) continue;
        if (++more > 3) continue;
        const auto shown = [](const std::string& cell) {
            return cell.empty() ? std::string("nothing") : cell;
        };
        told += (told.empty() ? "" : ", ") + std::string(columns[i].name) + " " + shown(old.at(i)) +
                " where the file has " + shown(fresh.at(i));
    }
    if (more > 3) told += ", and " + std::to_string(more - 3) + " more";
    return told;
}

/// Every sheet of the code there was, the newest last.
std::vector<const UnitSheet*> sheets_of_code(const std::string& code, const Catalogue& known)
{
    std::vector<const UnitSheet*> sheets;
    if (const auto issues = known.issues.find(code); issues != known.issues.end())
        for (const SheetIssue& issue : issues->second)
            sheets.push_back(&issue.sheet);
    if (const UnitSheet* newest = known.unit(code)) sheets.push_back(newest);
    return sheets;
}

} // namespace

RevisionOrder order_of(std::string_view revision, std::string_view other)
{
    auto one = runs_of(revision), two = runs_of(other);
    if (one.empty() || two.empty()) return RevisionOrder::unknown;
    if (ends_in_year(one) != ends_in_year(two)) return RevisionOrder::unknown;
    if (ends_in_year(one)) {
        std::ranges::reverse(one);
        std::ranges::reverse(two);
    }
    const std::size_t both = std::min(one.size(), two.size());
    for (std::size_t i = 0; i < both; ++i)
        if (const auto order = order_of_runs(one[i], two[i]); order != RevisionOrder::same) return order;
    if (one.size() == two.size()) return RevisionOrder::same;
    const auto& longer = one.size() > two.size() ? one : two;
    if (!is_number_run(longer[both]) && longer[both].size() > kCountingLetters) return RevisionOrder::unknown;
    return one.size() > two.size() ? RevisionOrder::newer : RevisionOrder::older;
}

RevisionsJudged judge_revisions(const CsvTable& table, const std::vector<UnitSheet>& sheets,
                                const Catalogue& known)
{
    RevisionsJudged judged;
    const CsvTable  rows = filled_rows(table);
    for (std::size_t i = 0; i < sheets.size() && i < rows.rows.size(); ++i) {
        const UnitSheet& sheet = sheets[i];
        const auto       kept  = sheets_of_code(sheet.code, known);
        if (kept.empty() || cells_of(*kept.back()) == cells_of(sheet)) continue;
        const auto fault = [&](std::string wrong, std::string wanted) {
            return ImportFault{rows.file,      rows.rows[i].line, "revision",
                               sheet.revision, std::move(wrong),  std::move(wanted)};
        };
        const auto        same   = std::ranges::find_if(kept, [&](const UnitSheet* old) {
            return order_of(sheet.revision, old->revision) == RevisionOrder::same;
        });
        const std::string of     = " of " + sheet.code;
        const UnitSheet&  newest = *kept.back();
        if (same != kept.end() && cells_of(**same) != cells_of(sheet))
            judged.faults.push_back(
                fault(of.substr(1) + " is in the book with " + changed_values(**same, sheet),
                      "the changed sheet a new revision"));
        else if (order_of(sheet.revision, newest.revision) == RevisionOrder::older)
            judged.faults.push_back(fault("is older than " + newest.revision + of + " in the book",
                                          "the sheet that counts now, with a later revision"));
        else if (order_of(sheet.revision, newest.revision) == RevisionOrder::unknown)
            judged.unsure.push_back(fault("cannot be put in order with " + newest.revision + of +
                                              " in the book; it is taken for the newer one",
                                          "the next revision a name that counts on"));
    }
    return judged;
}

} // namespace engine
