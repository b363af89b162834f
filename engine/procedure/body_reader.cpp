#include "engine/procedure/body_reader.h"

namespace engine {

BodyReader::BodyReader(const Entry& entry) : entry_(&entry)
{
    if (!entry.said.body || !entry.said.body->is_object()) fault_ = "it has no body";
}

const nlohmann::json* BodyReader::get(const char* key) const
{
    if (!good()) return nullptr;
    const auto found = entry_->said.body->find(key);
    return found == entry_->said.body->end() ? nullptr : &*found;
}

void BodyReader::complain(const char* key, const std::string& what)
{
    if (good()) fault_ = "key " + std::string(key) + " " + what;
}

std::string BodyReader::text(const char* key)
{
    const nlohmann::json* const value = get(key);
    if (value != nullptr && value->is_string()) return value->get<std::string>();
    complain(key, "is not a text");
    return {};
}

std::string BodyReader::text_or(const char* key, const std::string& otherwise)
{
    return get(key) == nullptr ? otherwise : text(key);
}

std::int64_t BodyReader::whole(const char* key)
{
    const nlohmann::json* const value = get(key);
    if (value != nullptr && value->is_number_integer()) return value->get<std::int64_t>();
    complain(key, "is not a whole number");
    return 0;
}

std::optional<std::int64_t> BodyReader::maybe_whole(const char* key)
{
    if (get(key) == nullptr) return std::nullopt;
    return whole(key);
}

bool BodyReader::flag(const char* key)
{
    const nlohmann::json* const value = get(key);
    if (value != nullptr && value->is_boolean()) return value->get<bool>();
    complain(key, "is not true or false");
    return false;
}

const nlohmann::json& BodyReader::object(const char* key)
{
    const nlohmann::json* const value = get(key);
    if (value != nullptr && value->is_object()) return *value;
    complain(key, "is not an object");
    return nothing_;
}

Failure BodyReader::failure() const
{
    return engine::failure(Fault::corrupt, "Entry " + entry_->id.substr(0, 12) + " (" + entry_->said.kind +
                                               ") does not count: " + fault_ + ".");
}

} // namespace engine
