#pragma once
// Whether a text is the one canonical form of its values (FORMAT.md section 1), told by walking both side by
// side: nothing is printed, so it costs a few microseconds a line. Private to engine/book.
#include <simdjson.h>

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace engine {

// The profile, for whoever prints and whoever reads.
inline constexpr std::size_t  kMostKeys     = 64; ///< of one object
inline constexpr std::int64_t kLargestWhole = (std::int64_t{1} << 53) - 1;
[[nodiscard]] bool            is_field_key(std::string_view key); ///< [a-z0-9_]{1,24}

class OneForm {
  public:
    explicit OneForm(std::string_view text) : text_(text) {}

    [[nodiscard]] std::size_t at() const { return at_; } ///< bytes that fitted so far
    [[nodiscard]] bool        ended() const { return at_ == text_.size(); }

    /// The next bytes are these.
    [[nodiscard]] bool eat(std::string_view bytes);
    /// `"key":`, after a comma when another key stood `before` it: that one must be the smaller.
    [[nodiscard]] bool key(std::string_view key, std::string_view before);
    /// A value of the profile, `depth` containers around it.
    [[nodiscard]] bool value(simdjson::dom::element value, int depth);

  private:
    [[nodiscard]] bool object(simdjson::dom::object object, int depth);
    [[nodiscard]] bool array(simdjson::dom::array array, int depth);
    [[nodiscard]] bool string(std::string_view string);
    [[nodiscard]] bool whole(std::int64_t number);

    std::string_view text_;
    std::size_t      at_ = 0;
};

/// The text taken apart, by a parser of this thread: what it hands out is good until the next one is asked
/// for. None: not JSON. Too little memory: std::bad_alloc.
[[nodiscard]] bool take_apart(std::string_view text, simdjson::dom::element& into);

} // namespace engine
