#include "engine/book/body.h"

#include <nlohmann/json.hpp>

#include <mutex>
#include <string>
#include <utility>

namespace engine {

struct Body::Inside {
    std::shared_ptr<const nlohmann::json> value;
    std::string                           text; ///< of which `value` is made, once
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
        std::string().swap(inside.text);
    });
    return *inside.value;
}

} // namespace engine
