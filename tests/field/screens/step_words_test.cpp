// Every step, ask, option, caution and rule has its words, and they are short enough for a glove and a
// glance.
#include "engine/procedure/rules.h"
#include "field/look/words.h"

#include <doctest/doctest.h>

#include "tests/support/job_plant.h"

using namespace engine;

namespace {

const field::look::Words& words()
{
    static const auto read =
        *field::look::Words::load(std::filesystem::path(WM_SOURCE_DIR) / "assets" / "words" / "steps.toml");
    return read;
}

} // namespace

TEST_SUITE("field/screens/words of the steps")
{
    TEST_CASE("everything the procedure names can be said")
    {
        const auto said = [](const std::string& id) { CHECK_MESSAGE(words().has(id), id); };
        for (const Step& step : support::procedure().steps) {
            for (const char* const part : {".title", ".do", ".next", ".short"})
                said("step." + step.key + part);
            said("rule." + step.rule);
            if (step.caution) said("caution." + step.caution->text_id);
            for (const Ask& ask : step.asks) {
                said("ask." + step.key + "." + ask.name);
                for (const Option& option : ask.options)
                    said("option." + step.key + "." + ask.name + "." + option.value);
            }
        }
    }

    TEST_CASE("an instruction has at most 85 characters")
    {
        for (const auto& [id, text] : words().all()) {
            const std::string& which = id; // a lambda of clang 14 holds no structured binding
            if (which.starts_with("step.")) CHECK_MESSAGE(text.size() <= 85, which);
        }
    }

    TEST_CASE("the rule a refusal names is the rule the screen shows")
    {
        for (const auto& [id, text] : words().all()) {
            if (!id.starts_with("rule.")) continue;
            const std::string&     which = id;
            const RuleWords* const rule  = rule_words(which.substr(5));
            REQUIRE_MESSAGE(rule != nullptr, which);
            CHECK(std::string(rule->clause).substr(1) + "." == text.substr(1));
            CHECK(rule->number >= 1);
            CHECK(rule->number <= 10);
        }
    }
}
