#pragma once
// The invented plant of assets/demo, read into a new book.
#include "engine/book/book.h"

#include <filesystem>

namespace field::cli {

struct DemoPlant {
    std::vector<engine::Job> jobs; ///< open jobs of the plant, templates of its history
};

inline constexpr const char* kDemoPlanner = "401"; ///< of assets/demo/people.csv
inline constexpr const char* kDemoPassphrase =
    "invented demo plant"; ///< of its plant key: it protects nothing

/// The same way as a plant of one's own: plant key, planner 401 with PIN and key, this machine as planner's;
/// and the key of supervisor 205. Faults as share::found.
[[nodiscard]] engine::Status found_demo(engine::Book& book, const std::filesystem::path& key_file,
                                        const engine::Clock& clock);
/// What planner 401 brings in, signed where the plant is enrolled.
[[nodiscard]] engine::Result<std::vector<engine::Draft>> as_demo_planner(const engine::Book&        book,
                                                                         std::vector<engine::Draft> drafts);

/// Imports people, instruments, units and jobs. Fails with the sentence of the first fault of a file.
[[nodiscard]] engine::Result<DemoPlant> found_plant(engine::Book& book, const std::filesystem::path& folder);

} // namespace field::cli
