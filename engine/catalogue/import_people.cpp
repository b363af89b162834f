// People and their instruments from a planner's file.
#include "engine/base/numbers.h"
#include "engine/catalogue/import_row.h"
#include "engine/catalogue/import_text.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

using namespace import_text;

/// A unit an instrument may read in: its spelling in files and its size in the unit the cells are parsed to.
struct ReadsIn {
    std::string_view name;
    UnitOf           unit;
    double           size;
    const char*      example;
};

constexpr std::array kReadsIn{
    ReadsIn{"mm", UnitOf::mm, 1.0, "0.01mm"},
    ReadsIn{"um", UnitOf::um, 0.001, "1um"},
    ReadsIn{"in", UnitOf::inch, kMillimetresPerInch, "0.0001in"},
    ReadsIn{"thou", UnitOf::thou, kMillimetresPerInch / 1000.0, "0.1thou"},
    ReadsIn{"deg", UnitOf::deg, 1.0, "0.1deg"},
    ReadsIn{"C", UnitOf::celsius, 1.0, "0.1C"},
    ReadsIn{"Nm", UnitOf::newton_metre, 1.0, "1Nm"},
    ReadsIn{"lb\u00b7ft", UnitOf::lbf_ft, 4.4482216152605 * 0.3048, "1lb\u00b7ft"},
    ReadsIn{"g", UnitOf::gram, 1.0, "1g"},
    ReadsIn{"mm/s", UnitOf::mm_per_s, 1.0, "0.1mm/s"},
};

const ReadsIn* reads_in(std::string_view name)
{
    const auto  unit  = unit_from_symbol(name); // "lb ft" and "ft-lb" are lb·ft, too
    const auto* found = std::ranges::find_if(
        kReadsIn, [&](const ReadsIn& known) { return known.name == name || (unit && known.unit == *unit); });
    return found == kReadsIn.end() ? nullptr : found;
}

bool may_read(Tool tool, UnitOf unit)
{
    const bool length =
        unit == UnitOf::mm || unit == UnitOf::um || unit == UnitOf::inch || unit == UnitOf::thou;
    switch (tool) {
    case Tool::micrometer:
    case Tool::feeler:
    case Tool::rule:
    case Tool::caliper:
    case Tool::dial:
        return length;
    case Tool::level:
        return length || unit == UnitOf::deg;
    case Tool::torque_wrench:
        return unit == UnitOf::newton_metre || unit == UnitOf::lbf_ft;
    case Tool::thermometer:
        return unit == UnitOf::celsius;
    case Tool::grease_gun:
        return unit == UnitOf::gram;
    case Tool::vibration_meter:
        return unit == UnitOf::mm_per_s;
    }
    return false;
}

template <class Q> Result<double> bare(const Result<Q>& read)
{
    if (!read) return read.failure();
    return read->value;
}

/// The cell in the unit the instrument reads in; any unit of the same kind is taken.
Result<double> value_of(const std::string& cell, const ReadsIn& scale)
{
    Result<double> read = 0.0;
    switch (scale.unit) {
    case UnitOf::deg:
        read = bare(parse_angle(cell));
        break;
    case UnitOf::celsius:
        read = bare(parse_temperature(cell));
        break;
    case UnitOf::newton_metre:
    case UnitOf::lbf_ft:
        read = bare(parse_torque(cell));
        break;
    case UnitOf::gram:
        read = bare(parse_mass(cell));
        break;
    case UnitOf::mm_per_s:
        read = bare(parse_velocity(cell));
        break;
    default:
        read = bare(parse_length(cell));
        break;
    }
    if (!read) return read.failure();
    return *read / scale.size;
}

double read_value(ImportRow& row, const char* column, const ReadsIn& scale)
{
    const std::string cell   = row.text(column);
    const std::string wanted = "a value with a unit such as " + std::string(scale.example);
    // A difference of temperature in another scale than Celsius would be read as a temperature, and be wrong.
    const bool wrong_scale = scale.unit == UnitOf::celsius && !cell.ends_with('C');
    const auto read        = value_of(cell, scale);
    if (cell.empty())
        row.fault(column, "is empty", wanted);
    else if (two_readings(cell))
        row.unread(column);
    else if (!read || wrong_scale)
        row.fault(column, "cannot be read", wanted);
    else
        return *read;
    return 0.0;
}

void read_range(ImportRow& row, Instrument& instrument, const ReadsIn& scale)
{
    instrument.low         = read_value(row, "low", scale);
    instrument.high        = read_value(row, "high", scale);
    instrument.resolution  = read_value(row, "resolution", scale);
    instrument.error_limit = read_value(row, "error_limit", scale);
    if (!row.good({"low", "high"})) return;
    if (!(instrument.low < instrument.high)) {
        row.fault("high", "is not above low, " + row.text("low"), "the upper end of the range");
        return;
    }
    const double span = instrument.high - instrument.low;
    if (row.good({"resolution"}) && !(instrument.resolution > 0.0 && instrument.resolution < span))
        row.fault("resolution", "is outside what can be",
                  "the smallest step, above zero and below the range");
    if (row.good({"error_limit"}) && !(instrument.error_limit > 0.0 && instrument.error_limit < span))
        row.fault("error_limit", "is outside what can be",
                  "the greatest permissible error, above zero and below the range");
}

Instrument read_instrument(ImportRow& row)
{
    Instrument instrument;
    instrument.tag = row.word("tag", is_code);
    const std::string tool =
        row.word("tool", [](std::string_view text) { return tool_from(text).has_value(); });
    const std::string unit =
        row.word("unit", [](std::string_view text) { return reads_in(text) != nullptr; });
    instrument.calibration_due = row.word("calibration_due", is_date);
    if (row.good({"tool"})) instrument.tool = *tool_from(tool);
    const ReadsIn* scale = reads_in(unit);
    if (scale == nullptr) return instrument;
    instrument.unit = scale->unit;
    if (row.good({"tool"}) && !may_read(instrument.tool, instrument.unit))
        row.fault("unit", "is nothing a " + tool + " reads", "the unit on its scale");
    read_range(row, instrument, *scale);
    return instrument;
}

Person read_person(ImportRow& row)
{
    Person person;
    person.badge = row.word("badge", is_code);
    const std::string role =
        row.word("role", [](std::string_view text) { return role_from(text).has_value(); });
    if (row.good({"role"})) person.role = *role_from(role);
    const std::string pin = row.text("pin");
    if (!pin.empty() && !is_pin(pin)) row.secret_fault("pin", "cannot be a PIN", row.wanted("pin"));
    return person;
}

/// Only once nothing else is wrong: each PIN costs about a tenth of a second.
void seal_pins(const CsvTable& table, const PinSeal& seal_pin, std::vector<Person>& people,
               std::vector<ImportFault>& faults)
{
    for (std::size_t i = 0; i < people.size(); ++i) {
        ImportRow         row(table, table.rows[i], PlannerFile::people, faults);
        const std::string pin = row.text("pin");
        if (pin.empty()) continue;
        auto sealed = seal_pin(pin);
        if (sealed)
            people[i].pin_check = *std::move(sealed);
        else
            row.secret_fault("pin", "could not be kept (" + sealed.error().message + ")", "it again");
    }
}

} // namespace

Imported<Person> import_people(const CsvTable& file, const PinSeal& seal_pin)
{
    std::vector<Person>      people;
    std::vector<ImportFault> faults;
    OnceOnly                 badges;
    const CsvTable           table = filled_rows(file);
    if (!check_columns(table, PlannerFile::people, faults)) return {{}, std::move(faults)};
    for (const CsvRow& cells : table.rows) {
        ImportRow row(table, cells, PlannerFile::people, faults);
        people.push_back(read_person(row));
        badges.see(row, "badge", people.back().badge);
    }
    if (faults.empty()) seal_pins(table, seal_pin, people, faults);
    return all_or_nothing(std::move(people), std::move(faults));
}

Imported<Instrument> import_instruments(const CsvTable& file)
{
    std::vector<Instrument>  instruments;
    std::vector<ImportFault> faults;
    OnceOnly                 tags;
    const CsvTable           table = filled_rows(file);
    if (!check_columns(table, PlannerFile::instruments, faults)) return {{}, std::move(faults)};
    for (const CsvRow& cells : table.rows) {
        ImportRow row(table, cells, PlannerFile::instruments, faults);
        instruments.push_back(read_instrument(row));
        tags.see(row, "tag", instruments.back().tag);
    }
    return all_or_nothing(std::move(instruments), std::move(faults));
}

} // namespace engine
