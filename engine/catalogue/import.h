#pragma once
// Planner's CSV in: all or nothing. Every fault of the file is told, each with file, line, column name, the
// value found and what would be right; nothing is taken while one is left.
#include "engine/base/csv.h"
#include "engine/catalogue/catalogue.h"

#include <vector>

namespace engine {

struct ImportFault {
    std::string file;
    int         line = 0;
    std::string column;
    std::string value;
    std::string wanted; ///< "a length with its unit, such as 50mm"
};

/// "units.csv:7, column turn_max: '80deg' is less than turn_min 90deg; give an angle above it."
[[nodiscard]] std::string sentence(const ImportFault& fault);

template <class T> struct Imported {
    std::vector<T>           items; ///< empty when faults is not
    std::vector<ImportFault> faults;
};

[[nodiscard]] Imported<UnitSheet>  import_units(const CsvTable& table);
[[nodiscard]] Imported<Person>     import_people(const CsvTable& table);
[[nodiscard]] Imported<Instrument> import_instruments(const CsvTable& table);
/// One row a position; rows of one job stand together and agree in their job columns. Units must be known.
[[nodiscard]] Imported<Job> import_jobs(const CsvTable& table, const Catalogue& known);

} // namespace engine
