#pragma once
// One file of the procedure into rows. Inner to the procedure room.
#include "engine/procedure/step.h"
#include "engine/procedure/toml_reader.h"

namespace engine {

struct ReadStep {
    Step        step;
    std::string file;
    std::size_t line       = 0; ///< of the row
    std::size_t needs_line = 0;
};

/// Rows and, where the file states it, the version. Everything that is wrong goes to `complaints`.
void read_rows(const std::filesystem::path& file, std::vector<ReadStep>& rows, std::string& version,
               Complaints& complaints);

} // namespace engine
