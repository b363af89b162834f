#include "engine/catalogue/columns.h"

#include <algorithm>

namespace engine {
namespace {

// Ranges are there to catch slips of the keyboard (a bore in inches typed as millimetres, a turn of 950
// degrees); they are wide on purpose: the maker's sheet is the authority.
constexpr std::string_view kLengths = "mm, um, in, thou";
constexpr std::string_view kTorques = "Nm, lb\u00b7ft, lb\u00b7in";
constexpr std::string_view kCode    = "a code of up to 24 letters, digits, - . _";

constexpr std::array kUnitColumns{
    PlannerColumn{.name    = "code",
                  .what    = kCode,
                  .example = "PB-50-12",
                  .about   = "The plant's own code of bearing and housing and sleeve together."},
    PlannerColumn{.name    = "revision",
                  .what    = "a revision of up to 24 letters, digits, - . _",
                  .example = "R3",
                  .another = "2026-02",
                  .about   = "Revision of the maker's sheet. A later one must count higher: R3 before R10 "
                             "and A before B and 2025-11 before 2026-02."},
    PlannerColumn{.name    = "mount",
                  .choices = "pillow_block or flange",
                  .example = "pillow_block",
                  .about   = "How the housing is held."},
    PlannerColumn{.name    = "split_housing",
                  .must    = false,
                  .when    = "where it is yes",
                  .choices = "yes or no",
                  .example = "no",
                  .about   = "Cap and base are a pair. Empty means no."},
    PlannerColumn{.name    = "shaft",
                  .what    = "a diameter with its unit",
                  .units   = kLengths,
                  .low     = "10mm",
                  .high    = "1000mm",
                  .example = "50mm",
                  .another = "1-15/16in",
                  .about   = "Nominal diameter of the seat on the shaft."},
    PlannerColumn{.name    = "bearing_bore",
                  .what    = "a diameter with its unit",
                  .units   = kLengths,
                  .low     = "10mm",
                  .high    = "1000mm",
                  .example = "55mm",
                  .about   = "Bore of the bearing at the small end of its taper. Above the shaft."},
    PlannerColumn{.name    = "raceway",
                  .what    = "a diameter with its unit",
                  .units   = kLengths,
                  .low     = "10mm",
                  .high    = "1000mm",
                  .example = "68mm",
                  .about   = "Diameter of the inner ring's raceway. Above the bearing bore."},
    PlannerColumn{.name    = "seat_width",
                  .what    = "a length with its unit",
                  .units   = kLengths,
                  .low     = "5mm",
                  .high    = "1000mm",
                  .example = "45mm",
                  .about   = "Length of the seat under the sleeve."},
    PlannerColumn{.name    = "taper",
                  .what    = "a taper on diameter",
                  .low     = "1:5",
                  .high    = "1:60",
                  .example = "1:12",
                  .about   = "Taper of the bore on diameter."},
    PlannerColumn{.name    = "pitch",
                  .what    = "a pitch with its unit",
                  .units   = "mm, in, tpi",
                  .low     = "0.4mm",
                  .high    = "10mm",
                  .example = "2mm",
                  .another = "18tpi",
                  .about   = "Pitch of the nut's thread."},
    PlannerColumn{.name    = "slots",
                  .what    = "a whole number",
                  .low     = "2",
                  .high    = "12",
                  .example = "4",
                  .about   = "Slots of the nut."},
    PlannerColumn{.name    = "tangs",
                  .what    = "a whole odd number",
                  .low     = "5",
                  .high    = "35",
                  .example = "17",
                  .about   = "Tangs of the lock washer."},
    PlannerColumn{.name    = "turn_min",
                  .what    = "an angle with its unit",
                  .units   = "deg, turn",
                  .low     = "5deg",
                  .high    = "3turn",
                  .example = "85deg",
                  .another = "0.75turn",
                  .about   = "Least turn of the nut from zero."},
    PlannerColumn{.name    = "turn_max",
                  .what    = "an angle with its unit",
                  .units   = "deg, turn",
                  .low     = "5deg",
                  .high    = "3turn",
                  .example = "105deg",
                  .another = "0.75turn",
                  .about   = "Most turn of the nut from zero. Above turn_min."},
    PlannerColumn{.name    = "seat_class",
                  .what    = "an ISO 286 class of a shaft",
                  .example = "h9",
                  .about   = "Tolerance class of the seat on the shaft."},
    PlannerColumn{.name    = "seat_form",
                  .what    = "a part of a grade",
                  .example = "IT5/2",
                  .about   = "Limit of form of the seat as a part of an ISO 286 grade."},
    PlannerColumn{.name    = "clearance_group",
                  .choices = "C2, CN, C3, C4 or C5",
                  .example = "C3",
                  .about   = "Group of radial internal clearance as on the box."},
    PlannerColumn{.name    = "clearance_before_low",
                  .must    = false,
                  .when    = "where feelers reach",
                  .what    = "a clearance with its unit",
                  .units   = kLengths,
                  .low     = "0mm",
                  .high    = "2mm",
                  .example = "0.075mm",
                  .another = "3thou",
                  .about   = "Least radial clearance as delivered."},
    PlannerColumn{.name    = "clearance_before_high",
                  .must    = false,
                  .when    = "beside clearance_before_low",
                  .what    = "a clearance with its unit",
                  .units   = kLengths,
                  .low     = "0mm",
                  .high    = "2mm",
                  .example = "0.095mm",
                  .another = "3.7thou",
                  .about   = "Most radial clearance as delivered."},
    PlannerColumn{.name    = "clearance_after_low",
                  .must    = false,
                  .when    = "where feelers reach",
                  .what    = "a clearance with its unit",
                  .units   = kLengths,
                  .low     = "0mm",
                  .high    = "2mm",
                  .example = "0.035mm",
                  .another = "1.4thou",
                  .about   = "Least radial clearance that must be left."},
    PlannerColumn{.name    = "clearance_after_high",
                  .must    = false,
                  .when    = "beside clearance_after_low",
                  .what    = "a clearance with its unit",
                  .units   = kLengths,
                  .low     = "0mm",
                  .high    = "2mm",
                  .example = "0.065mm",
                  .another = "2.6thou",
                  .about   = "Most radial clearance that may be left."},
    PlannerColumn{.name    = "shim",
                  .must    = false,
                  .when    = "on flange units and else left empty",
                  .what    = "a thickness with its unit",
                  .units   = kLengths,
                  .low     = "0.05mm",
                  .high    = "20mm",
                  .example = "0.6mm",
                  .another = "0.042in",
                  .about   = "Shims under the second flange."},
    PlannerColumn{.name    = "float_total",
                  .must    = false,
                  .when    = "on units that can be expansion units",
                  .what    = "a length with its unit",
                  .units   = kLengths,
                  .low     = "0.1mm",
                  .high    = "100mm",
                  .example = "6mm",
                  .about   = "Axial room of the cartridge in its housing."},
    PlannerColumn{.name    = "bolts",
                  .what    = "a whole number",
                  .low     = "2",
                  .high    = "24",
                  .example = "2",
                  .about   = "Mounting bolts."},
    PlannerColumn{.name    = "bolt_size",
                  .what    = "a bolt size",
                  .example = "M16",
                  .another = "5/8-11",
                  .about   = "Metric size or diameter in inches with threads an inch."},
    PlannerColumn{.name    = "bolt_class",
                  .what    = "a property class or grade",
                  .example = "8.8",
                  .another = "grade5",
                  .about   = "Property class of metric bolts or SAE grade of inch bolts as on the head."},
    PlannerColumn{.name    = "bolt_torque",
                  .what    = "a torque with its unit",
                  .units   = kTorques,
                  .low     = "1Nm",
                  .high    = "5000Nm",
                  .example = "160Nm",
                  .another = "118lbft",
                  .about   = "Final torque of the mounting bolts."},
    PlannerColumn{.name    = "cap_torque",
                  .must    = false,
                  .when    = "on split housings and else left empty",
                  .what    = "a torque with its unit",
                  .units   = kTorques,
                  .low     = "1Nm",
                  .high    = "5000Nm",
                  .example = "60Nm",
                  .another = "44lbft",
                  .about   = "Torque of the cap bolts."},
    PlannerColumn{.name    = "misalignment_max",
                  .what    = "an angle with its unit",
                  .units   = "deg, turn",
                  .low     = "0.01deg",
                  .high    = "10deg",
                  .example = "2deg",
                  .about   = "Most misalignment the unit takes."},
    PlannerColumn{.name    = "grease",
                  .what    = "a mass with its unit",
                  .units   = "g, kg, oz",
                  .low     = "1g",
                  .high    = "20kg",
                  .example = "45g",
                  .about   = "First fill of grease."},
    PlannerColumn{.name    = "run_in_limit",
                  .what    = "a temperature with its unit",
                  .units   = "C, F",
                  .low     = "30C",
                  .high    = "200C",
                  .example = "90C",
                  .about   = "The run-in is stopped above it."},
    PlannerColumn{.name    = "run_in_rise",
                  .what    = "a temperature difference",
                  .units   = "K",
                  .low     = "1K",
                  .high    = "150K",
                  .example = "50K",
                  .about   = "Most rise over the air around while running in."},
    PlannerColumn{.name = "asks",
                  .must = false,
                  .when = "where the sheet wants them",
                  .what = "any of clearance_before, clearance_after, sleeve_travel, nut_torque with blanks "
                          "between",
                  .example = "sleeve_travel",
                  .another = "clearance_before clearance_after",
                  .about   = "Readings the sheet wants beside the usual ones."},
};

constexpr std::array kPeopleColumns{
    PlannerColumn{.name    = "badge",
                  .what    = "a badge of up to 24 letters, digits, - . _",
                  .example = "112",
                  .about   = "Badge number. No name is kept."},
    PlannerColumn{.name    = "role",
                  .choices = "fitter, supervisor, auditor or planner",
                  .example = "fitter",
                  .about   = "What the person may decide."},
    PlannerColumn{.name    = "pin",
                  .must    = false,
                  .when    = "for who decides",
                  .what    = "4 to 12 digits, or nothing",
                  .example = "2468",
                  .about   = "Kept only as a check that cannot be read back. Empty keeps the PIN there is."},
};

constexpr std::string_view kAsUnit = "the unit of the column unit or another of its kind";

constexpr std::array kInstrumentColumns{
    PlannerColumn{.name    = "tag",
                  .what    = "a tag of up to 24 letters, digits, - . _",
                  .example = "M-07",
                  .about   = "The plant's own tag as on the instrument."},
    PlannerColumn{.name    = "tool",
                  .choices = "micrometer, feeler, rule, caliper, torque_wrench, thermometer, dial, level, "
                             "grease_gun or vibration_meter",
                  .example = "micrometer",
                  .about   = "What it is."},
    PlannerColumn{.name    = "unit",
                  .choices = "mm, um, in, thou, deg, C, Nm, lb\u00b7ft, g or mm/s",
                  .example = "mm",
                  .about   = "Unit on its scale."},
    PlannerColumn{.name    = "low",
                  .what    = "a value with its unit",
                  .units   = kAsUnit,
                  .example = "25mm",
                  .about   = "Lower end of its range."},
    PlannerColumn{.name    = "high",
                  .what    = "a value with its unit",
                  .units   = kAsUnit,
                  .example = "50mm",
                  .about   = "Upper end of its range."},
    PlannerColumn{.name    = "resolution",
                  .what    = "the smallest step with its unit, above zero and below the range",
                  .units   = kAsUnit,
                  .example = "0.001mm",
                  .another = "1um",
                  .about   = "Last digit of a display or a readable part of a division."},
    PlannerColumn{.name    = "error_limit",
                  .what    = "the greatest permissible error with its unit, above zero and below the range",
                  .units   = kAsUnit,
                  .example = "0.004mm",
                  .another = "4um",
                  .about   = "Most it may be wrong by on its certificate."},
    PlannerColumn{.name    = "calibration_due",
                  .what    = "a day",
                  .example = "2027-03-31",
                  .about   = "Last day its calibration counts."},
};

constexpr std::array kJobColumns{
    PlannerColumn{.name    = "job",
                  .what    = "a number of up to 24 letters, digits, - . _",
                  .example = "2219",
                  .about   = "Number of the job. One row a position and the rows of one job together."},
    PlannerColumn{.name    = "title",
                  .what    = "what is worked on, in up to 80 characters",
                  .example = "Lime dryer fan 4",
                  .about   = "What the fitter reads on the job list. The same on every row of the job."},
    PlannerColumn{.name    = "asset",
                  .what    = "an asset tag of up to 24 letters, digits, - . _",
                  .example = "LDF-04",
                  .about   = "The machine. The same on every row of the job."},
    PlannerColumn{.name    = "due",
                  .what    = "a day",
                  .example = "2026-12-04",
                  .about   = "Day it must be done by. The same on every row of the job."},
    PlannerColumn{.name    = "old_bearing_out",
                  .must    = false,
                  .when    = "where it is yes",
                  .choices = "yes or no",
                  .example = "no",
                  .about   = "The job starts with taking out the old bearing. Empty means no."},
    PlannerColumn{.name    = "span",
                  .must    = false,
                  .when    = "on jobs of several positions and else left empty",
                  .what    = "the distance of the outer positions",
                  .units   = kLengths,
                  .low     = "50mm",
                  .high    = "50000mm",
                  .example = "1400mm",
                  .about   = "Distance of the outer positions along the shaft."},
    PlannerColumn{.name    = "rise",
                  .what    = "what the shaft runs warmer than it is mounted",
                  .units   = "K",
                  .low     = "-100K",
                  .high    = "300K",
                  .example = "35K",
                  .about   = "For the growth of the shaft."},
    PlannerColumn{.name    = "alpha",
                  .must    = false,
                  .when    = "where it is not 11.5ppm/K",
                  .what    = "the expansion of the shaft",
                  .units   = "ppm/K",
                  .low     = "5ppm/K",
                  .high    = "30ppm/K",
                  .example = "11.5ppm/K",
                  .about   = "Linear expansion of the shaft's steel. Empty means 11.5ppm/K."},
    PlannerColumn{.name    = "speed",
                  .must    = false,
                  .when    = "where it is known",
                  .what    = "a speed",
                  .units   = "rpm",
                  .low     = "0.1rpm",
                  .high    = "60000rpm",
                  .example = "980rpm",
                  .about   = "Speed of the shaft."},
    PlannerColumn{.name    = "run_in",
                  .must    = false,
                  .when    = "where it is not 4h",
                  .what    = "a time with its unit",
                  .units   = "h, min",
                  .low     = "15min",
                  .high    = "200h",
                  .example = "4h",
                  .about   = "How long the run-in is watched. Empty means 4h."},
    PlannerColumn{.name    = "position",
                  .what    = "a letter from A to Z",
                  .example = "A",
                  .about   = "Place on the shaft. The first row is A and the next B."},
    PlannerColumn{.name    = "unit",
                  .what    = "the code of a unit in the book",
                  .example = "PB-50-12",
                  .about   = "What is mounted there. Its sheet must be in the book."},
    PlannerColumn{.name    = "role",
                  .choices = "fixed or expansion",
                  .example = "fixed",
                  .about   = "How the position holds the shaft along its axis. Expansion wants a unit with "
                             "float_total."},
    PlannerColumn{.name    = "serial",
                  .must    = false,
                  .when    = "where it is known beforehand",
                  .what    = "a serial number of up to 24 letters, digits, - . _, or nothing",
                  .example = "S-104417",
                  .about   = "Serial number of the unit. Empty until it is read at the machine."},
};

/// A comment line is one cell for every spreadsheet: none of the signs that would split it.
std::string one_cell(std::string text)
{
    std::erase_if(text, [](char c) { return c == ',' || c == ';' || c == '\t' || c == '"'; });
    return text;
}

std::string comment_of(const PlannerColumn& column)
{
    std::string line = "# " + std::string(column.name) + ": ";
    line += column.must ? "needed" : "needed only " + std::string(column.when);
    line += ". Give " + wanted_of(column);
    if (!column.units.empty()) line += ". Unit " + std::string(column.units);
    if (!column.choices.empty() || line.find(column.example) == std::string::npos)
        line += ", such as " + std::string(column.example);
    return one_cell(line + ". " + std::string(column.about)) + "\n";
}

} // namespace

std::string_view name_of(PlannerFile file)
{
    switch (file) {
    case PlannerFile::units:
        return "units";
    case PlannerFile::people:
        return "people";
    case PlannerFile::instruments:
        return "instruments";
    case PlannerFile::jobs:
        return "jobs";
    }
    return "";
}

std::span<const PlannerColumn> columns_of(PlannerFile file)
{
    switch (file) {
    case PlannerFile::units:
        return kUnitColumns;
    case PlannerFile::people:
        return kPeopleColumns;
    case PlannerFile::instruments:
        return kInstrumentColumns;
    case PlannerFile::jobs:
        return kJobColumns;
    }
    return {};
}

const PlannerColumn* find_column(std::span<const PlannerColumn> columns, std::string_view name)
{
    const auto found = std::ranges::find(columns, name, &PlannerColumn::name);
    return found == columns.end() ? nullptr : &*found;
}

std::string wanted_of(const PlannerColumn& column)
{
    if (!column.choices.empty()) return std::string(column.choices);
    std::string wanted(column.what);
    if (!column.low.empty()) wanted += " from " + std::string(column.low) + " to " + std::string(column.high);
    if (column.what.find("nothing") == std::string_view::npos)
        wanted += ", such as " + std::string(column.example);
    if (!column.another.empty()) wanted += " or " + std::string(column.another);
    return wanted;
}

std::string header_row(PlannerFile file, bool only_must)
{
    std::string row;
    for (const PlannerColumn& column : columns_of(file))
        if (column.must || !only_must) row += (row.empty() ? "" : ",") + std::string(column.name);
    return row;
}

std::string template_text(PlannerFile file)
{
    std::string text = "# " + std::string(name_of(file)) +
                       " of the plant. Fill in rows below the header row. Lines that begin with # are not "
                       "read.\n";
    for (const PlannerColumn& column : columns_of(file))
        text += comment_of(column);
    return text + header_row(file) + "\n";
}

} // namespace engine
