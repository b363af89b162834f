#pragma once
// What `enrol` does, apart from how it is asked on the command line.
#include "engine/book/book.h"

#include <nlohmann/json_fwd.hpp>

#include <optional>
#include <string>

namespace field::cli {

/// "WM1:<plant>:<name>:<64 hex>": what a machine or person shows, as text or QR code.
struct EnrolCode {
    std::string plant, name, key;
    bool        person = false; ///< "WM1P:": name is the badge
};
[[nodiscard]] std::string               text_of(const EnrolCode& code);
[[nodiscard]] engine::Result<EnrolCode> enrol_code(const std::string& text);

/// A secret from a file's first line, or typed at the terminal without being shown.
[[nodiscard]] engine::Result<std::string> secret_from(const std::string& file, const std::string& what);

/// The next statement, signed and taken into the book.
[[nodiscard]] engine::Status say(engine::Book& book, const engine::MachineKey& key, const std::string& kind,
                                 nlohmann::json body, std::int64_t now_ms);

/// The machine of the roster or book that `text` names: 64 hex, its first 16 of the hash, or its name.
[[nodiscard]] engine::Result<std::string> machine_named(const engine::Book& book, const std::string& text);

} // namespace field::cli
