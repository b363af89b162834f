#pragma once
#include <string>

namespace share {

/// README.txt of the shared folder: what it is, and how to verify a line by hand.
[[nodiscard]] std::string readme_text();

} // namespace share
