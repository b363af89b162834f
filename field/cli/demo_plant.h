#pragma once
// The invented plant of assets/demo, read into a new book.
#include "engine/book/book.h"

#include <filesystem>

namespace field::cli {

struct DemoPlant {
    std::vector<engine::Job> jobs; ///< open jobs of the plant, templates of its history
};

/// Imports people, instruments, units and jobs. Fails with the sentence of the first fault of a file.
[[nodiscard]] engine::Result<DemoPlant> found_plant(engine::Book& book, const std::filesystem::path& folder);

} // namespace field::cli
