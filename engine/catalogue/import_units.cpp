// Sheets of units from a planner's file.
#include "engine/base/numbers.h"
#include "engine/catalogue/import_row.h"
#include "engine/catalogue/import_text.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

using namespace import_text;

constexpr std::array<std::string_view, 4> kAsks{"clearance_before", "clearance_after", "sleeve_travel",
                                                "nut_torque"};

void read_lengths(ImportRow& row, UnitSheet& unit)
{
    unit.shaft        = row.quantity("shaft", parse_length);
    unit.bearing_bore = row.quantity("bearing_bore", parse_length);
    unit.raceway      = row.quantity("raceway", parse_length);
    unit.seat_width   = row.quantity("seat_width", parse_length);
    unit.taper        = row.quantity("taper", parse_taper);
    // The sleeve's wall lies between shaft and bearing, the ring's wall between bore and raceway.
    if (row.good({"shaft", "bearing_bore"}) && !(unit.bearing_bore > unit.shaft))
        row.fault("bearing_bore", "is not above the shaft, " + row.text("shaft"),
                  "the bore of the bearing, which lies around the sleeve");
    if (row.good({"bearing_bore", "raceway"}) && !(unit.raceway > unit.bearing_bore))
        row.fault("raceway", "is not above the bearing bore, " + row.text("bearing_bore"),
                  "the raceway diameter of the inner ring");
}

void read_nut(ImportRow& row, UnitSheet& unit)
{
    unit.pitch = row.quantity("pitch", parse_pitch);
    unit.slots = row.whole("slots");
    unit.tangs = row.whole("tangs");
    if (row.good({"tangs"}) && unit.tangs % 2 == 0)
        row.fault("tangs", "is even", "the odd number of tangs of the lock washer, such as 17");
    unit.turn_min = row.quantity("turn_min", parse_angle);
    unit.turn_max = row.quantity("turn_max", parse_angle);
    if (row.good({"turn_min", "turn_max"}) && !(unit.turn_min < unit.turn_max))
        row.fault("turn_max", "is not above turn_min, " + row.text("turn_min"), "an angle above it");
}

std::optional<LengthLimits> read_pair(ImportRow& row, const std::string& low_name,
                                      const std::string& high_name)
{
    const auto low  = row.maybe(low_name, parse_length);
    const auto high = row.maybe(high_name, parse_length);
    if (!row.good({low_name}) && !row.text(low_name).empty()) return std::nullopt;
    if (!row.good({high_name}) && !row.text(high_name).empty()) return std::nullopt;
    if (low.has_value() != high.has_value()) {
        row.fault(low ? high_name : low_name, "is empty beside " + (low ? low_name : high_name),
                  "both limits, or neither when feelers do not reach");
        return std::nullopt;
    }
    if (!low) return std::nullopt;
    if (!(*low <= *high)) {
        row.fault(high_name, "is below " + low_name + ", " + row.text(low_name), "a clearance not below it");
        return std::nullopt;
    }
    return LengthLimits{*low, *high};
}

void read_clearance(ImportRow& row, UnitSheet& unit)
{
    unit.seat_class       = row.word("seat_class", is_shaft_class);
    unit.seat_form        = row.word("seat_form", is_form_limit);
    unit.clearance_group  = row.word("clearance_group", is_clearance_group);
    unit.clearance_before = read_pair(row, "clearance_before_low", "clearance_before_high");
    unit.clearance_after  = read_pair(row, "clearance_after_low", "clearance_after_high");
    // Drawing up takes clearance; a sheet that gives some back has its columns swapped.
    if (unit.clearance_before && unit.clearance_after &&
        !(unit.clearance_after->low < unit.clearance_before->low &&
          unit.clearance_after->high < unit.clearance_before->high))
        row.fault("clearance_after_high",
                  "leaves no clearance to be taken from " + row.text("clearance_before_low") + " to " +
                      row.text("clearance_before_high"),
                  "what is left after turning, below what was there before");
}

void read_mount(ImportRow& row, UnitSheet& unit)
{
    const std::string mount =
        row.word("mount", [](std::string_view text) { return text == "pillow_block" || text == "flange"; });
    unit.mount         = mount == "flange" ? Mount::flange : Mount::pillow_block;
    unit.split_housing = row.yes("split_housing");
    unit.shim          = row.maybe("shim", parse_length);
    unit.float_total   = row.maybe("float_total", parse_length);
    unit.cap_torque    = row.maybe("cap_torque", parse_torque);
    if (!row.good({"mount"})) return;
    if (unit.mount == Mount::flange && row.text("shim").empty())
        row.fault("shim", "is empty on a flange unit", row.wanted("shim"));
    if (unit.mount == Mount::pillow_block && !row.text("shim").empty())
        row.fault("shim", "is given for a pillow block", "shims for flange units only, else nothing");
    if (!row.good({"split_housing"}) && !row.text("split_housing").empty()) return;
    if (unit.split_housing && row.text("cap_torque").empty())
        row.fault("cap_torque", "is empty on a split housing", row.wanted("cap_torque"));
    if (!unit.split_housing && !row.text("cap_torque").empty())
        row.fault("cap_torque", "is given for a housing that is not split",
                  "a cap torque for split housings only, else nothing");
}

void read_bolts(ImportRow& row, UnitSheet& unit)
{
    unit.bolts     = row.whole("bolts");
    unit.bolt_size = row.word(
        "bolt_size", [](std::string_view text) { return is_metric_bolt(text) || is_inch_bolt(text); });
    unit.bolt_class  = row.word("bolt_class", [](std::string_view text) {
        return is_metric_bolt_class(text) || is_inch_bolt_class(text);
    });
    unit.bolt_torque = row.quantity("bolt_torque", parse_torque);
    if (row.good({"bolt_size", "bolt_class"}) &&
        is_metric_bolt(unit.bolt_size) != is_metric_bolt_class(unit.bolt_class))
        row.fault("bolt_class", "does not belong to bolt size " + unit.bolt_size,
                  "a class such as 8.8 for metric bolts, a grade such as grade5 for inch bolts");
}

void read_asks(ImportRow& row, UnitSheet& unit)
{
    const std::string cell = row.text("asks");
    for (std::size_t from = 0; from < cell.size();) {
        const auto        to   = std::min(cell.find_first_of("; ", from), cell.size());
        const std::string name = cell.substr(from, to - from);
        from                   = to + 1;
        if (name.empty()) continue;
        if (std::ranges::find(kAsks, name) == kAsks.end())
            row.fault("asks", "asks for '" + name + "'",
                      "any of clearance_before, clearance_after, sleeve_travel, nut_torque, split by ;");
        else if (!unit.asks_for(name))
            unit.asks.push_back(name);
    }
    for (const auto* reading : {"clearance_before", "clearance_after"}) {
        const std::string name = reading;
        if (unit.asks_for(name) && row.text(name + "_low").empty() && row.text(name + "_high").empty())
            row.fault("asks", "asks for " + name + " without its limits",
                      "the limits, or a sheet that does not ask for the reading");
    }
}

UnitSheet read_unit(ImportRow& row)
{
    UnitSheet unit;
    unit.code     = row.word("code", is_code);
    unit.revision = row.word("revision", is_code);
    read_mount(row, unit);
    read_lengths(row, unit);
    read_nut(row, unit);
    read_clearance(row, unit);
    read_bolts(row, unit);
    unit.misalignment_max = row.quantity("misalignment_max", parse_angle);
    unit.grease           = row.quantity("grease", parse_mass);
    unit.run_in_limit     = row.quantity("run_in_limit", parse_temperature);
    unit.run_in_rise      = row.quantity("run_in_rise", parse_rise);
    read_asks(row, unit);
    return unit;
}

} // namespace

Imported<UnitSheet> import_units(const CsvTable& file)
{
    std::vector<UnitSheet>   units;
    std::vector<ImportFault> faults;
    OnceOnly                 codes;
    const CsvTable           table = filled_rows(file);
    if (!check_columns(table, PlannerFile::units, faults)) return {{}, std::move(faults)};
    for (const CsvRow& cells : table.rows) {
        ImportRow row(table, cells, PlannerFile::units, faults);
        units.push_back(read_unit(row));
        codes.see(row, "code", units.back().code);
    }
    return all_or_nothing(std::move(units), std::move(faults));
}

} // namespace engine
