#pragma once
// How far a check came before it was stopped, in a small file of the user's: nothing is ever written beside
// what is checked. What it says is not trusted: the engine hashes the bytes again before it takes a proof
// over.
#include "engine/book/book.h"

#include <filesystem>
#include <set>
#include <string>

namespace field::cli {

struct CheckState {
    engine::CheckedSoFar  book;
    std::set<std::string> segments; ///< of a shared folder: SHA-256 of files whose signatures were verified
};

/// The place for what is checked at `what`: below the user's state folder (XDG_STATE_HOME).
[[nodiscard]] std::filesystem::path check_state_file(const std::filesystem::path& what);
/// Empty when there is none, or none that can be read: the check then begins at the beginning.
[[nodiscard]] CheckState     load_check_state(const std::filesystem::path& file);
[[nodiscard]] engine::Status save_check_state(const std::filesystem::path& file, const CheckState& state);

} // namespace field::cli
