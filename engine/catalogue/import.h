#pragma once
// Planner's CSV in: all or nothing. Every fault of the file is told, each with file, line, column name, the
// value found and what would be right; nothing is taken while one is left.
#include "engine/base/csv.h"
#include "engine/catalogue/catalogue.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

struct ImportFault {
    std::string file;
    int         line = 0;
    std::string column;
    std::string value;  ///< as found; empty for an empty cell and for a PIN, which is never repeated
    std::string wrong;  ///< "cannot be read"
    std::string wanted; ///< "a length with its unit, such as 50mm"
};

/// "units.csv:7, column turn_max: '80deg' is less than turn_min 90deg; give an angle above it."
[[nodiscard]] std::string sentence(const ImportFault& fault);

template <class T> struct Imported {
    std::vector<T>           items; ///< empty when faults is not
    std::vector<ImportFault> faults;
};

/// Makes the check string of a PIN (engine/book/seal.h, pin_check_of); handed in, so that this room knows no
/// cryptography. Called only when the whole file is without fault: it is slow on purpose.
using PinSeal = std::function<Result<std::string>(std::string_view pin)>;

/// Columns code, revision, mount (pillow_block | flange), split_housing (yes | no), shaft, bearing_bore,
/// raceway, seat_width, taper (1:12), pitch, slots, tangs, turn_min, turn_max, seat_class, seat_form,
/// clearance_group, clearance_{before,after}_{low,high}, shim, float_total, bolts, bolt_size, bolt_class,
/// bolt_torque, cap_torque, misalignment_max, grease, run_in_limit, run_in_rise, asks (names split by `;`).
[[nodiscard]] Imported<UnitSheet> import_units(const CsvTable& table);
/// Columns badge, role, pin (4 to 12 digits, or empty).
[[nodiscard]] Imported<Person> import_people(const CsvTable& table, const PinSeal& seal_pin);
/// Columns tag, tool, unit, low, high, resolution, error_limit, calibration_due.
[[nodiscard]] Imported<Instrument> import_instruments(const CsvTable& table);
/// Columns job, title, asset, due, old_bearing_out, span, rise (15K), alpha (11.5ppm/K), speed (980rpm),
/// run_in, position, unit, role, serial. One row a position; rows of one job stand together and agree in
/// their job columns. Units must be known; a job number the plant knows already must keep its positions.
[[nodiscard]] Imported<Job> import_jobs(const CsvTable& table, const Catalogue& known);

} // namespace engine
