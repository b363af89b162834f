// Every word a screen asks for is in the files of words, and none is too long to read with gloves on.
#include <doctest/doctest.h>

#include <fstream>
#include <regex>
#include <sstream>

#include "tests/field/screens/screens_support.h"

namespace fs = std::filesystem;

namespace {

constexpr std::size_t kLongest = 85; ///< characters of an instruction: shared rule of the screens

std::string text_of(const fs::path& file)
{
    std::ifstream      in(file);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// What stands between the brackets that open at `open`.
std::string inside_brackets(const std::string& text, std::size_t open)
{
    int depth = 0;
    for (std::size_t i = open; i < text.size(); ++i) {
        if (text[i] == '(') ++depth;
        if (text[i] == ')' && --depth == 0) return text.substr(open + 1, i - open - 1);
    }
    return "";
}

/// Whole ids among the literals of say(...); the first or last part of a sum is not one.
std::vector<std::string> ids_said(const std::string& source)
{
    static const std::regex  whole(R"re("([a-z_0-9]+(\.[a-z_0-9]+)+)"\s*(.))re");
    std::vector<std::string> ids;
    for (std::size_t at = source.find("say("); at != std::string::npos; at = source.find("say(", at + 4)) {
        const std::string inside = inside_brackets(source, at + 3) + ")";
        for (std::sregex_iterator it(inside.begin(), inside.end(), whole), end; it != end; ++it)
            if ((*it)[3] != "+") ids.push_back((*it)[1]);
    }
    return ids;
}

std::size_t characters(const std::string& utf8)
{
    return static_cast<std::size_t>(
        std::count_if(utf8.begin(), utf8.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

void check_word(const std::string& id, const std::string& who)
{
    if (!support::words().has(id)) FAIL_CHECK(who << " says '" << id << "', which assets/words do not have");
}

template <class Visit> void each_source(const char* folder, Visit visit)
{
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(WM_SOURCE_DIR) / folder))
        if (entry.path().extension() == ".cpp")
            visit(entry.path().filename().string(), text_of(entry.path()));
}

/// First captures of a pattern in every source of a folder.
std::vector<std::string> captured(const char* folder, const std::string& pattern)
{
    const std::regex         wanted(pattern);
    std::vector<std::string> all;
    each_source(folder, [&](const std::string&, const std::string& text) {
        for (std::sregex_iterator it(text.begin(), text.end(), wanted), end; it != end; ++it)
            all.push_back((*it)[1]);
    });
    return all;
}

} // namespace

TEST_SUITE("field/screens words")
{
    TEST_CASE("the scan tells whole ids from parts of one")
    {
        CHECK(ids_said(R"(say("a.b"))") == std::vector<std::string>{"a.b"});
        CHECK(ids_said(R"(say(x ? "a.b" : "a.c"))") == std::vector<std::string>{"a.b", "a.c"});
        CHECK(ids_said(R"(say("a.b." + key))").empty());
    }

    TEST_CASE("every word a screen says is in the files of words")
    {
        std::size_t said = 0;
        each_source("field", [&](const std::string& name, const std::string& text) {
            for (const std::string& id : ids_said(text))
                check_word(id, name), ++said;
        });
        CHECK(said > 100);
    }

    TEST_CASE("every step has its title, act, next, short and done words")
    {
        REQUIRE_FALSE(support::procedure().steps.empty());
        for (const engine::Step& step : support::procedure().steps)
            for (const char* which : {"title", "do", "next", "short", "done"})
                check_word("step." + step.key + "." + which, "the procedure");
    }

    TEST_CASE("every ask, option and caution of the procedure has words")
    {
        for (const engine::Step& step : support::procedure().steps) {
            if (step.caution) check_word("caution." + step.caution->text_id, step.key);
            for (const engine::Ask& ask : step.asks) {
                check_word("ask." + step.key + "." + ask.name, step.key);
                for (const engine::Option& option : ask.options)
                    check_word("option." + step.key + "." + ask.name + "." + option.value, step.key);
            }
        }
    }

    TEST_CASE("every figure an assessment comes to has words")
    {
        const auto figures = captured("engine/procedure", R"re(\bfigure\("([a-z_0-9]+)")re");
        CHECK(figures.size() > 10);
        for (const std::string& key : figures)
            check_word("figure." + key, "an assessment");
    }

    TEST_CASE("every reason a screen offers has words")
    {
        std::size_t found = 0;
        for (const std::string& list : captured("field/screens", R"re(k[A-Za-z]*Reasons\{([^}]*)\})re")) {
            const std::regex one(R"re("([a-z_]+)")re");
            for (std::sregex_iterator it(list.begin(), list.end(), one), end; it != end; ++it, ++found)
                check_word("reason." + (*it)[1].str(), "a screen");
        }
        CHECK(found > 10);
    }

    TEST_CASE("no text is longer than 85 characters")
    {
        for (const auto& [id, text] : support::words().all())
            if (characters(text) > kLongest)
                FAIL_CHECK("'" << id << "' has " << characters(text) << " characters: " << text);
    }
}
