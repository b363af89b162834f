#pragma once
// Things to write into a book under test.
#include "engine/book/catalogue_codec.h"
#include "engine/book/entry.h"

#include <nlohmann/json.hpp>

#include <memory>
#include <string>

inline engine::Draft draft(const char* kind, nlohmann::json body)
{
    return {"417", kind, "", "", "", {}, std::make_shared<const nlohmann::json>(std::move(body))};
}

inline engine::Draft reading(const std::string& job, const std::string& pos, const std::string& step,
                             int value)
{
    return {"417",
            engine::kind::reading,
            job,
            pos,
            step,
            {},
            std::make_shared<const nlohmann::json>(nlohmann::json{{"ask", step}, {"value", value}})};
}
