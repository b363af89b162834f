// Jobs from a planner's file: one row a position, the rows of one job together.
#include "engine/base/numbers.h"
#include "engine/catalogue/import_row.h"
#include "engine/catalogue/import_text.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

using namespace import_text;

/// Columns that belong to the job, not to the position: every row of the job says the same.
constexpr std::array<std::string_view, 9> kOfTheJob{"title", "asset", "due",   "old_bearing_out", "span",
                                                    "rise",  "alpha", "speed", "run_in"};

struct OpenJob {
    Job       job;
    ImportRow first;       ///< complaints about the job as a whole go to its first row
    bool      good = true; ///< no complaint about any of its rows
};

Job read_job(ImportRow& row)
{
    Job job;
    job.number          = row.text("job"); // its spelling is judged on every row
    job.title           = row.word("title", is_title);
    job.asset           = row.word("asset", is_code);
    job.due             = row.word("due", is_date);
    job.old_bearing_out = row.yes("old_bearing_out");
    job.span            = row.maybe("span", parse_length).value_or(Millimetres{});
    job.rise            = row.quantity("rise", parse_rise);
    job.alpha           = row.maybe("alpha", parse_alpha).value_or(job.alpha);
    job.speed           = row.maybe("speed", parse_speed).value_or(job.speed);
    job.run_in          = row.maybe("run_in", parse_duration).value_or(job.run_in);
    return job;
}

void check_agrees(ImportRow& row, const OpenJob& open)
{
    for (const std::string_view column : kOfTheJob)
        if (row.text(column) != open.first.text(column))
            row.fault(column, "is not what line " + std::to_string(open.first.line()) + " says",
                      "'" + open.first.text(column) + "' on every row of job " + open.job.number);
}

void read_position(ImportRow& row, Job& job, const Catalogue& known)
{
    Position position;
    position.letter    = row.word("position", is_letter);
    position.unit_code = row.word("unit", is_code);
    position.serial    = row.text("serial");
    const std::string role =
        row.word("role", [](std::string_view text) { return text == "fixed" || text == "expansion"; });
    position.role = role == "expansion" ? Hold::expansion : Hold::fixed;
    if (!position.serial.empty() && !is_code(position.serial))
        row.fault("serial", "cannot be read", row.wanted("serial"));
    if (row.good({"position"}) && !job.positions.empty() && position.letter <= job.positions.back().letter)
        row.fault("position", "does not follow " + job.positions.back().letter,
                  "the letters A, B, C in their order along the shaft");
    const UnitSheet* unit = known.unit(position.unit_code);
    if (row.good({"unit"}) && unit == nullptr)
        row.fault("unit", "is not in the catalogue", "a unit whose sheet was imported before");
    if (unit != nullptr && position.role == Hold::expansion && !unit->float_total)
        row.fault("role", "asks for float, which unit " + unit->code + " has not",
                  "fixed, or a unit with float_total");
    job.positions.push_back(std::move(position));
}

bool same_places(const Job& a, const Job& b)
{
    return std::ranges::equal(a.positions, b.positions, [](const Position& one, const Position& other) {
        return one.letter == other.letter && one.unit_code == other.unit_code && one.role == other.role;
    });
}

void check_whole(OpenJob& open, const Catalogue& known)
{
    const Job& job = open.job;
    if (open.first.good({"span"}) && job.positions.size() > 1 && open.first.text("span").empty())
        open.first.fault("span", "is empty on a job of several positions", open.first.wanted("span"));
    if (job.positions.size() == 1 && !open.first.text("span").empty())
        open.first.fault("span", "is given for a single position", "nothing");
    if (const Job* before = known.job(job.number); before != nullptr && !same_places(*before, job))
        open.first.fault("job", "is open already with other positions", "a number not used yet");
    if (open.good && !arrangement_of(job, known))
        open.first.fault("role", "does not hold the shaft along its axis", "fixed for one position");
}

} // namespace

Imported<Job> import_jobs(const CsvTable& file, const Catalogue& known)
{
    std::vector<OpenJob>     open;
    std::vector<ImportFault> faults;
    const CsvTable           table = filled_rows(file);
    if (!check_columns(table, PlannerFile::jobs, faults)) return {{}, std::move(faults)};
    for (const CsvRow& cells : table.rows) {
        ImportRow         row(table, cells, PlannerFile::jobs, faults);
        const auto        before = faults.size();
        const std::string number = row.word("job", is_code);
        const auto        earlier =
            std::ranges::find(open, number, [](const OpenJob& job) { return job.job.number; });
        if (earlier == open.end()) {
            Job job = read_job(row);
            open.push_back({std::move(job), row, true});
        } else if (earlier + 1 != open.end()) {
            row.fault("job", "has rows further up, from line " + std::to_string(earlier->first.line()),
                      "the rows of one job one below the other");
            continue;
        } else {
            check_agrees(row, *earlier);
        }
        read_position(row, open.back().job, known);
        if (faults.size() > before) open.back().good = false;
    }
    std::vector<Job> jobs;
    for (OpenJob& job : open) {
        check_whole(job, known);
        jobs.push_back(std::move(job.job));
    }
    return all_or_nothing(std::move(jobs), std::move(faults));
}

} // namespace engine
