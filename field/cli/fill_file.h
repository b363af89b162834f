#pragma once
// The file `fill` reads: a job's deeds in order, as acts for the workbench. The format is described in
// `fill --help`.
#include "engine/procedure/act.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace field::cli {

struct NamedPhoto {
    engine::StepRef at;
    std::string     ask;
    std::string     file; ///< as written in the file of readings
};

struct Deed {
    std::string                           actor;
    std::variant<engine::Act, NamedPhoto> what; ///< a photo's bytes are read when its turn comes
};

struct FillItem {
    std::size_t       number = 0; ///< 1-based place in "steps", for complaints
    std::string       name;       ///< "step turn at A", "back_off at B"
    engine::StepRef   at;         ///< empty key where the item is not a step
    std::string       actor;
    std::vector<Deed> deeds; ///< in the order in which they are carried out
    bool              close = false;
};

struct FillFile {
    std::string           job;
    std::vector<FillItem> items;
};

/// Fault::bad_input naming the item, the key and what would be right. All or nothing: nothing is carried out
/// from a file with a fault.
[[nodiscard]] engine::Result<FillFile> parse_fill(std::string_view text);

/// "49.970 mm" -> the number as typed and its unit. A number without a unit is refused.
[[nodiscard]] engine::Result<engine::Entered> entered_from(std::string_view text);

/// The whole text of the format, as `fill --help` prints it.
[[nodiscard]] std::string_view fill_format();

} // namespace field::cli
