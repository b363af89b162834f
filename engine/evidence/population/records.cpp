#include "engine/evidence/population/records.h"

#include "engine/base/ranges.h"

#include <cmath>

namespace engine {
namespace {

constexpr Range kTime{0.001, 1e7, "h", 3};
constexpr Range kCount{1, 1e6, "", 0};

struct Columns {
    int time = -1, event = -1, count = -1, group = -1;
};

/// The cell trimmed of nothing: the table did that.
const std::string& cell(const CsvRow& row, int column)
{
    return row.cells[static_cast<std::size_t>(column)];
}

Failure at(const CsvTable& table, const CsvRow& row, const std::string& sentence)
{
    return failure(Fault::bad_input, table.file + ":" + std::to_string(row.line) + ": " + sentence);
}

Result<LifeRecord> record_from(const CsvTable& table, const CsvRow& row, const Columns& columns)
{
    LifeRecord record;
    const auto time = parse_number(cell(row, columns.time));
    if (!time) return at(table, row, time.error().message);
    if (const auto bad = out_of(kTime, *time, "time")) return at(table, row, bad->error.message);
    record.time              = Hours{*time};
    const std::string& event = cell(row, columns.event);
    if (event != "0" && event != "1")
        return at(table, row,
                  "the event is '" + event.substr(0, 32) + "'; give 1 for a failure, 0 for still running.");
    record.failed = event == "1";
    if (columns.count >= 0) {
        const auto count = parse_number(cell(row, columns.count));
        if (!count) return at(table, row, count.error().message);
        if (const auto bad = out_of(kCount, *count, "count")) return at(table, row, bad->error.message);
        if (*count != std::floor(*count)) return at(table, row, "the count is not a whole number.");
        record.count = static_cast<int>(*count);
    }
    if (columns.group >= 0) record.group = cell(row, columns.group);
    return record;
}

} // namespace

std::optional<Failure> bad_records(std::span<const LifeRecord> records)
{
    if (records.empty()) return failure(Fault::bad_input, "There is no record of a bearing to work with.");
    if (records.size() > 100'000)
        return failure(Fault::bad_input, "There are more than 100 000 records; put equal ones together.");
    double all = 0;
    for (const LifeRecord& record : records) {
        if (auto bad = out_of(kTime, record.time.value, "time a bearing ran")) return bad;
        if (auto bad = out_of(kCount, record.count, "count of a record")) return bad;
        all += record.count;
    }
    return out_of({1, 1e7, "", 0}, all, "number of bearings");
}

Result<std::vector<LifeRecord>> life_records_from(const CsvTable& table)
{
    Columns columns;
    columns.time  = table.column("time_h") >= 0 ? table.column("time_h") : table.column("time");
    columns.event = table.column("event");
    columns.count = table.column("count");
    columns.group = table.column("group");
    if (columns.time < 0 || columns.event < 0)
        return failure(Fault::bad_input, table.file + " wants the columns time_h and event.");
    std::vector<LifeRecord> records;
    for (const CsvRow& row : table.rows) {
        auto record = record_from(table, row, columns);
        if (!record) return record.failure();
        records.push_back(*std::move(record));
    }
    if (const auto bad = bad_records(records)) return *bad;
    return records;
}

} // namespace engine
