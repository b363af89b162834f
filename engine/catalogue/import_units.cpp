// Sheets of units from a planner's file. Ranges are there to catch slips of the keyboard (a bore in inches
// typed as millimetres, a turn of 950 degrees); they are wide on purpose: the maker's sheet is the authority.
#include "engine/base/numbers.h"
#include "engine/catalogue/import_row.h"
#include "engine/catalogue/import_text.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

using namespace import_text;

constexpr std::array kColumns{
    ImportColumn{"code"},
    ImportColumn{"revision"},
    ImportColumn{"mount"},
    ImportColumn{"split_housing", false},
    ImportColumn{"shaft"},
    ImportColumn{"bearing_bore"},
    ImportColumn{"raceway"},
    ImportColumn{"seat_width"},
    ImportColumn{"taper"},
    ImportColumn{"pitch"},
    ImportColumn{"slots"},
    ImportColumn{"tangs"},
    ImportColumn{"turn_min"},
    ImportColumn{"turn_max"},
    ImportColumn{"seat_class"},
    ImportColumn{"seat_form"},
    ImportColumn{"clearance_group"},
    ImportColumn{"clearance_before_low", false},
    ImportColumn{"clearance_before_high", false},
    ImportColumn{"clearance_after_low", false},
    ImportColumn{"clearance_after_high", false},
    ImportColumn{"shim", false},
    ImportColumn{"float_total", false},
    ImportColumn{"bolts"},
    ImportColumn{"bolt_size"},
    ImportColumn{"bolt_class"},
    ImportColumn{"bolt_torque"},
    ImportColumn{"cap_torque", false},
    ImportColumn{"misalignment_max"},
    ImportColumn{"grease"},
    ImportColumn{"run_in_limit"},
    ImportColumn{"run_in_rise"},
    ImportColumn{"asks", false},
};

constexpr std::array<std::string_view, 4> kAsks{"clearance_before", "clearance_after", "sleeve_travel",
                                                "nut_torque"};

constexpr Ask<Millimetres> kDiameter{
    parse_length, Millimetres{10.0}, Millimetres{1000.0},
    "a diameter with its unit from 10mm to 1000mm, such as 50mm or 1-15/16in"};
constexpr Ask<Millimetres> kWidth{parse_length, Millimetres{5.0}, Millimetres{1000.0},
                                  "a length with its unit from 5mm to 1000mm, such as 58mm"};
constexpr Ask<Millimetres> kClearance{
    parse_length, Millimetres{0.0}, Millimetres{2.0},
    "a clearance with its unit from 0mm to 2mm, such as 0.045mm or 1.8thou"};
constexpr Ask<Millimetres> kShim{parse_length, Millimetres{0.05}, Millimetres{20.0},
                                 "a thickness with its unit from 0.05mm to 20mm, such as 0.6mm or 0.042in"};
constexpr Ask<Millimetres> kFloat{parse_length, Millimetres{0.1}, Millimetres{100.0},
                                  "a length with its unit from 0.1mm to 100mm, such as 6mm"};
constexpr Ask<double> kTaper{parse_taper, 5.0, 60.0, "a taper on diameter from 1:5 to 1:60, such as 1:12"};
constexpr Ask<ThreadPitch>  kPitch{parse_pitch, ThreadPitch{0.4}, ThreadPitch{10.0},
                                  "a pitch with its unit from 0.4mm to 10mm, such as 2mm or 18tpi"};
constexpr Ask<Degrees>      kTurn{parse_angle, Degrees{5.0}, Degrees{1080.0},
                             "an angle with its unit from 5deg to 3turn, such as 95deg or 0.75turn"};
constexpr Ask<Degrees>      kTilt{parse_angle, Degrees{0.01}, Degrees{10.0},
                             "an angle with its unit from 0.01deg to 10deg, such as 2deg"};
constexpr Ask<NewtonMetres> kTorque{parse_torque, NewtonMetres{1.0}, NewtonMetres{5000.0},
                                    "a torque with its unit from 1Nm to 5000Nm, such as 210Nm"};
constexpr Ask<Grams>        kGrease{parse_mass, Grams{1.0}, Grams{20000.0},
                             "a mass with its unit from 1g to 20kg, such as 45g"};
constexpr Ask<Celsius>      kRunIn{parse_temperature, Celsius{30.0}, Celsius{200.0},
                              "a temperature with its unit from 30C to 200C, such as 90C"};
constexpr Ask<Kelvins>      kRise{parse_rise, Kelvins{1.0}, Kelvins{150.0},
                             "a temperature difference from 1K to 150K, such as 50K"};

void read_lengths(ImportRow& row, UnitSheet& unit)
{
    unit.shaft        = row.quantity("shaft", kDiameter);
    unit.bearing_bore = row.quantity("bearing_bore", kDiameter);
    unit.raceway      = row.quantity("raceway", kDiameter);
    unit.seat_width   = row.quantity("seat_width", kWidth);
    unit.taper        = row.quantity("taper", kTaper);
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
    unit.pitch = row.quantity("pitch", kPitch);
    unit.slots = row.whole("slots", 2, 12);
    unit.tangs = row.whole("tangs", 5, 35);
    if (row.good({"tangs"}) && unit.tangs % 2 == 0)
        row.fault("tangs", "is even", "the odd number of tangs of the lock washer, such as 17");
    unit.turn_min = row.quantity("turn_min", kTurn);
    unit.turn_max = row.quantity("turn_max", kTurn);
    if (row.good({"turn_min", "turn_max"}) && !(unit.turn_min < unit.turn_max))
        row.fault("turn_max", "is not above turn_min, " + row.text("turn_min"), "an angle above it");
}

std::optional<LengthLimits> read_pair(ImportRow& row, const std::string& low_name,
                                      const std::string& high_name)
{
    const auto low  = row.maybe(low_name, kClearance);
    const auto high = row.maybe(high_name, kClearance);
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
    unit.seat_class       = row.word("seat_class", is_shaft_class, "an ISO 286 class of a shaft, such as h9");
    unit.seat_form        = row.word("seat_form", is_form_limit, "a part of a grade, such as IT5/2");
    unit.clearance_group  = row.word("clearance_group", is_clearance_group, "C2, CN, C3, C4 or C5");
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
    const std::string mount = row.word(
        "mount", [](std::string_view text) { return text == "pillow_block" || text == "flange"; },
        "pillow_block or flange");
    unit.mount         = mount == "flange" ? Mount::flange : Mount::pillow_block;
    unit.split_housing = row.yes("split_housing");
    unit.shim          = row.maybe("shim", kShim);
    unit.float_total   = row.maybe("float_total", kFloat);
    unit.cap_torque    = row.maybe("cap_torque", kTorque);
    if (!row.good({"mount"})) return;
    if (unit.mount == Mount::flange && row.text("shim").empty())
        row.fault("shim", "is empty on a flange unit", kShim.wanted);
    if (unit.mount == Mount::pillow_block && !row.text("shim").empty())
        row.fault("shim", "is given for a pillow block", "shims for flange units only, else nothing");
    if (!row.good({"split_housing"}) && !row.text("split_housing").empty()) return;
    if (unit.split_housing && row.text("cap_torque").empty())
        row.fault("cap_torque", "is empty on a split housing", kTorque.wanted);
    if (!unit.split_housing && !row.text("cap_torque").empty())
        row.fault("cap_torque", "is given for a housing that is not split",
                  "a cap torque for split housings only, else nothing");
}

void read_bolts(ImportRow& row, UnitSheet& unit)
{
    unit.bolts     = row.whole("bolts", 2, 24);
    unit.bolt_size = row.word(
        "bolt_size", [](std::string_view text) { return is_metric_bolt(text) || is_inch_bolt(text); },
        "a bolt size such as M16 or 5/8-11");
    unit.bolt_class = row.word(
        "bolt_class",
        [](std::string_view text) { return is_metric_bolt_class(text) || is_inch_bolt_class(text); },
        "a property class such as 8.8 or grade5");
    unit.bolt_torque = row.quantity("bolt_torque", kTorque);
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
    unit.code     = row.word("code", is_code, "a code of up to 24 letters, digits, - . _");
    unit.revision = row.word("revision", is_code, "a revision of up to 24 letters, digits, - . _");
    read_mount(row, unit);
    read_lengths(row, unit);
    read_nut(row, unit);
    read_clearance(row, unit);
    read_bolts(row, unit);
    unit.misalignment_max = row.quantity("misalignment_max", kTilt);
    unit.grease           = row.quantity("grease", kGrease);
    unit.run_in_limit     = row.quantity("run_in_limit", kRunIn);
    unit.run_in_rise      = row.quantity("run_in_rise", kRise);
    read_asks(row, unit);
    return unit;
}

} // namespace

Imported<UnitSheet> import_units(const CsvTable& table)
{
    std::vector<UnitSheet>   units;
    std::vector<ImportFault> faults;
    OnceOnly                 codes;
    check_columns(table, kColumns, faults);
    for (const CsvRow& cells : table.rows) {
        ImportRow row(table, cells, faults);
        units.push_back(read_unit(row));
        codes.see(row, "code", units.back().code);
    }
    return all_or_nothing(std::move(units), std::move(faults));
}

} // namespace engine
