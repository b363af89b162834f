#pragma once
// Reads the body of an entry key by key; the first key that is not as it must be is remembered. Inner to
// facts_codec.
#include "engine/book/entry.h"

#include <nlohmann/json.hpp>

#include <optional>

namespace engine {

class BodyReader {
  public:
    explicit BodyReader(const Entry& entry);

    [[nodiscard]] std::string                 text(const char* key); ///< must be there
    [[nodiscard]] std::string                 text_or(const char* key, const std::string& otherwise);
    [[nodiscard]] std::int64_t                whole(const char* key); ///< must be there
    [[nodiscard]] std::optional<std::int64_t> maybe_whole(const char* key);
    [[nodiscard]] bool                        flag(const char* key); ///< must be there
    [[nodiscard]] const nlohmann::json&       object(const char* key);

    void               complain(const char* key, const std::string& what);
    [[nodiscard]] bool good() const { return fault_.empty(); }
    /// "Entry 0123456789ab (reading): key si is not a whole number."
    [[nodiscard]] Failure failure() const;

  private:
    [[nodiscard]] const nlohmann::json* get(const char* key) const;

    const Entry*   entry_;
    nlohmann::json nothing_ = nlohmann::json::object();
    std::string    fault_;
};

} // namespace engine
