#pragma once
// What an entry says, as a JSON object.
#include <nlohmann/json_fwd.hpp>

#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace engine {

/// Most lines of a book pass through without anybody asking what they say: a body read from a line is kept as
/// its text, and taken apart when it is first asked for. Copies share it; any thread may ask.
class Body {
  public:
    Body() = default; ///< none
    // NOLINTNEXTLINE(google-explicit-constructor): a draft is written with the object itself
    Body(std::shared_ptr<const nlohmann::json> value);
    /// Text that is known to be one JSON object.
    [[nodiscard]] static Body of_text(std::string_view text);

    /// The text under a key, without taking all apart; none: no such key, or no text there.
    [[nodiscard]] std::optional<std::string> text_at(const char* key) const;
    [[nodiscard]] explicit                   operator bool() const { return inside_ != nullptr; }
    [[nodiscard]] const nlohmann::json&      operator*() const; ///< only of one that is there
    [[nodiscard]] const nlohmann::json*      operator->() const { return &**this; }

  private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

} // namespace engine
