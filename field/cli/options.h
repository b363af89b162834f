#pragma once
// Options several commands share.
#include "engine/base/result.h"
#include "field/look/geometry.h"
#include "field/look/theme.h"

#include <optional>
#include <string>

namespace field::cli {

/// "1280x800" on the 10.1 inch glass, "800x1280" on the 8 inch one; other sizes keep 5.884 px/mm.
[[nodiscard]] engine::Result<look::ScreenSize> screen_from(const std::string& size);
/// "day", "dim", "glare"; anything else: none.
[[nodiscard]] std::optional<look::Light> light_from(const std::string& theme);

} // namespace field::cli
