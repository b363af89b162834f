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
    std::string column; ///< empty: the whole row
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

// The columns stand in columns.h. Rows whose cells are all blank are passed over.
[[nodiscard]] Imported<UnitSheet>  import_units(const CsvTable& file);
[[nodiscard]] Imported<Person>     import_people(const CsvTable& file, const PinSeal& seal_pin);
[[nodiscard]] Imported<Instrument> import_instruments(const CsvTable& file);
/// One row a position; rows of one job stand together and agree in their job columns. Units must be known; a
/// job number the plant knows already must keep its positions.
[[nodiscard]] Imported<Job> import_jobs(const CsvTable& file, const Catalogue& known);

} // namespace engine
