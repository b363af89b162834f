#pragma once
// Settings beside the book, as JSON. Not part of the record.
#include "field/screens/fitter/settings.h"

#include <filesystem>

namespace field::app {

/// A file that is not there or cannot be read gives the defaults: settings are never worth a refusal.
[[nodiscard]] screens::Settings load_settings(const std::filesystem::path& file);
[[nodiscard]] engine::Status    save_settings(const std::filesystem::path& file,
                                              const screens::Settings&     settings);

} // namespace field::app
