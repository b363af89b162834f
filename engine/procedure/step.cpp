#include "engine/procedure/needs.h"
#include "engine/procedure/step_rows.h"

#include <algorithm>
#include <system_error>
#include <utility>

namespace engine {
namespace {

/// Enough places on a line to meet every need that looks to another place.
constexpr std::size_t kPlaces = 3;

std::size_t row_named(const std::vector<ReadStep>& rows, const std::string& key)
{
    const auto found = std::ranges::find_if(rows, [&](const ReadStep& row) { return row.step.key == key; });
    return static_cast<std::size_t>(found - rows.begin());
}

void check_rows(const std::vector<ReadStep>& rows, Complaints& complaints)
{
    for (std::size_t at = 0; at < rows.size(); ++at) {
        const ReadStep& row = rows[at];
        if (row_named(rows, row.step.key) != at)
            complaints.add(row.file, row.line,
                           "key key: '" + row.step.key + "' is there twice; give each step its own key.");
        for (const Need& need : row.step.needs) {
            const std::size_t needed = row_named(rows, need.step);
            if (needed == rows.size())
                complaints.add(row.file, row.needs_line,
                               "key needs: '" + need.step + "' is not a step; name one of the procedure.");
            else if (row.step.scope == Scope::job && rows[needed].step.scope == Scope::position &&
                     need.where != Where::all)
                complaints.add(row.file, row.needs_line,
                               "key needs: '" + need.step + "' is a step of each position; write " +
                                   need.step + ":all.");
        }
    }
}

/// Nodes are row * kPlaces + place; a step of the whole job has place 0 only, the other two stay lonely.
std::vector<std::vector<std::size_t>> needs_at_places(const std::vector<ReadStep>& rows)
{
    std::vector<std::vector<std::size_t>> needs(rows.size() * kPlaces);
    const auto is_job = [&](std::size_t row) { return rows[row].step.scope == Scope::job; };
    for (std::size_t row = 0; row < rows.size(); ++row)
        for (std::size_t place = 0; place < (is_job(row) ? 1 : kPlaces); ++place)
            for (const Need& need : rows[row].step.needs) {
                const std::size_t needed = row_named(rows, need.step);
                auto&             list   = needs[row * kPlaces + place];
                for (std::size_t other = 0; other < (is_job(needed) ? 1 : kPlaces); ++other)
                    if (is_job(needed) || need.where == Where::all ||
                        (need.where == Where::same && other == place) ||
                        (need.where == Where::earlier && other < place))
                        list.push_back(needed * kPlaces + other);
            }
    return needs;
}

void check_circle(const std::vector<ReadStep>& rows, Complaints& complaints)
{
    const Sorted sorted = sort_by_needs(needs_at_places(rows));
    if (sorted.circle.empty()) return;
    std::string names;
    for (const std::size_t node : sorted.circle)
        names += rows[node / kPlaces].step.key + " needs ";
    const ReadStep& row = rows[sorted.circle.front() / kPlaces];
    complaints.add(row.file, row.needs_line,
                   "key needs: the steps wait for each other in a circle: " + names + row.step.key +
                       "; take one need out.");
}

/// Rows in a valid order: a row stands after the rows it needs at its own place.
std::vector<Step> in_order(std::vector<ReadStep>& rows)
{
    std::vector<std::vector<std::size_t>> needs(rows.size());
    for (std::size_t row = 0; row < rows.size(); ++row)
        for (const Need& need : rows[row].step.needs)
            if (need.where != Where::earlier) needs[row].push_back(row_named(rows, need.step));
    std::vector<Step> steps;
    for (const std::size_t row : sort_by_needs(needs).order)
        steps.push_back(std::move(rows[row].step));
    return steps;
}

Result<std::vector<std::filesystem::path>> files_of(const std::filesystem::path& folder)
{
    std::error_code                    error;
    std::vector<std::filesystem::path> files;
    for (std::filesystem::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
        if (at->path().extension() == ".toml") files.push_back(at->path());
    if (error || files.empty())
        return failure(Fault::not_found,
                       "The procedure is not there: no .toml file in the folder 'procedure'.",
                       folder.string() + ": " + error.message());
    std::ranges::sort(files);
    return files;
}

Failure refused(const Complaints& complaints)
{
    std::string all;
    for (const std::string& sentence : complaints.all())
        all += sentence + "\n";
    return failure(Fault::bad_input, complaints.all().front(), all);
}

} // namespace

const Step* Procedure::step(const std::string& key) const
{
    const auto found = std::ranges::find(steps, key, &Step::key);
    return found == steps.end() ? nullptr : &*found;
}

Result<Procedure> load_procedure(const std::filesystem::path& folder)
{
    const auto files = files_of(folder);
    if (!files) return files.failure();

    Complaints            complaints;
    Procedure             procedure;
    std::vector<ReadStep> rows;
    for (const std::filesystem::path& file : *files)
        read_rows(file, rows, procedure.version, complaints);
    if (procedure.version.empty() && complaints.all().empty())
        complaints.add(files->front().filename().string(), 1,
                       "key version: is missing; state the version that records will name.");
    check_rows(rows, complaints);
    if (complaints.all().empty()) check_circle(rows, complaints);
    if (!complaints.all().empty()) return refused(complaints);
    procedure.steps = in_order(rows);
    return procedure;
}

} // namespace engine
