#include "engine/book/body.h"

#include "engine/book/one_form.h"

#include <nlohmann/json.hpp>

#include <mutex>
#include <utility>

namespace engine {

struct Body::Inside {
    std::shared_ptr<const nlohmann::json> value;
    std::string                           text; ///< of which `value` is made, once; empty: it was given
    std::once_flag                        made;
};

Body::Body(std::shared_ptr<const nlohmann::json> value)
{
    if (value == nullptr) return;
    inside_        = std::make_shared<Inside>();
    inside_->value = std::move(value);
    std::call_once(inside_->made, [] {});
}

Body Body::of_text(std::string_view text)
{
    Body body;
    body.inside_       = std::make_shared<Inside>();
    body.inside_->text = text;
    return body;
}

const nlohmann::json& Body::operator*() const
{
    Inside& inside = *inside_;
    std::call_once(inside.made, [&inside] {
        inside.value =
            std::make_shared<const nlohmann::json>(nlohmann::json::parse(inside.text, nullptr, false));
    });
    return *inside.value;
}

std::optional<std::string> Body::text_at(const char* key) const
{
    if (inside_ == nullptr) return std::nullopt;
    if (inside_->text.empty()) {
        const auto found = inside_->value->find(key);
        if (found == inside_->value->end() || !found->is_string()) return std::nullopt;
        return found->get<std::string>();
    }
    simdjson::dom::element whole;
    std::string_view       found;
    if (!take_apart(inside_->text, whole) || whole.at_key(key).get(found) != simdjson::SUCCESS)
        return std::nullopt;
    return std::string(found);
}

} // namespace engine
