#pragma once
// A passphrase or PIN for a command.
#include "engine/base/result.h"

#include <string>

namespace field::cli {

/// A secret from a file's first line, or typed at the terminal without being shown.
[[nodiscard]] engine::Result<std::string> secret_from(const std::string& file, const std::string& what);

} // namespace field::cli
