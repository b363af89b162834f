#include "field/kit/ledger.h"
#include "field/shell/offscreen_shell.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>

#include "gallery_pages.h"

using namespace field;
using look::FrameLedger;

namespace {

FrameLedger clean()
{
    FrameLedger ledger;
    ledger.screen = look::kTenInch.area();
    ledger.targets.push_back({"back", {4, 108, 21, 24}, true, "Back"});
    ledger.targets.push_back({"main", {112, 108, 100, 24}, true, "Go"});
    ledger.texts.push_back({"Back", 4.2F, {6, 118, 10, 4}, ledger.screen, look::Rect{4, 108, 21, 24}, false});
    return ledger;
}

std::string told(const FrameLedger& ledger)
{
    std::string all;
    for (const std::string& one : kit::complaints(ledger, kit::demands_at_machine(look::kTenInch)))
        all += one + "\n";
    return all;
}

look::Words english()
{
    auto words = look::Words::load_folder(std::filesystem::path(WM_SOURCE_DIR) / "assets/words");
    REQUIRE(words.has_value());
    return *words;
}

/// `say("reason." + name)` asks for a whole family: one word of it must be there.
bool answered(const look::Words& words, const std::string& id)
{
    if (!id.ends_with('.')) return words.has(id);
    const auto first = words.all().lower_bound(id);
    return first != words.all().end() && first->first.starts_with(id);
}

} // namespace

TEST_SUITE("field/kit ledger")
{
    TEST_CASE("a frame in order draws no complaint")
    {
        CHECK(told(clean()).empty());
    }

    TEST_CASE("small, crowded, doubled and lost targets are each named")
    {
        FrameLedger small = clean();
        small.targets.push_back({"tiny", {60, 20, 19, 24}, true, ""});
        CHECK(told(small).find("\"tiny\" is 19.0 x 24.0 mm") != std::string::npos);
        FrameLedger crowded = clean();
        crowded.targets.push_back({"near", {27, 108, 21, 24}, true, ""});
        CHECK(told(crowded).find("2.0 mm apart") != std::string::npos);
        FrameLedger twice = clean();
        twice.targets.push_back({"main", {4, 20, 21, 24}, true, ""});
        CHECK(told(twice).find("two targets are called \"main\"") != std::string::npos);
        FrameLedger lost = clean();
        lost.targets.push_back({"lost", {210, 20, 21, 24}, true, ""});
        CHECK(told(lost).find("leaves the glass") != std::string::npos);
    }

    TEST_CASE(
        "texts that lie on each other, are cut off, run out of their box or are too small are each named")
    {
        FrameLedger over = clean();
        over.texts.push_back({"Boo", 4.2F, {12, 119, 10, 4}, over.screen, {}, false});
        CHECK(told(over).find("\"Back\" and \"Boo\" lie on each other") != std::string::npos);
        FrameLedger cut = clean();
        cut.texts.push_back({"cut", 4.2F, {60, 20, 10, 4}, look::Rect{60, 20, 8, 4}, {}, false});
        CHECK(told(cut).find("is cut off") != std::string::npos);
        FrameLedger wide = clean();
        wide.texts.push_back({"wide", 4.2F, {60, 20, 30, 4}, wide.screen, look::Rect{58, 18, 30, 8}, false});
        CHECK(told(wide).find("runs out of its box") != std::string::npos);
        FrameLedger fine = clean();
        fine.texts.push_back({"fine print", 2.3F, {60, 20, 30, 4}, fine.screen, {}, false});
        CHECK(told(fine).find("less than 3.3 mm") != std::string::npos);
    }

    TEST_CASE("words that were shortened to fit are named, a prompt of dots alone is not")
    {
        FrameLedger cut = clean();
        cut.texts.push_back({"Wrong uni…", 4.2F, {60, 20, 30, 4}, cut.screen, {}, false});
        CHECK(told(cut).find("\"Wrong uni…\" is shortened") != std::string::npos);
        FrameLedger prompt = clean();
        prompt.texts.push_back({"…", 4.2F, {60, 20, 3, 4}, prompt.screen, {}, false});
        CHECK(told(prompt).empty());
    }

    TEST_CASE("words may lie on their own panel and on one inside it, and on no other")
    {
        FrameLedger own = clean();
        own.panels.push_back({4, 108, 21, 24});
        own.texts.back().panel = own.panels.back();
        CHECK(told(own).empty());
        FrameLedger card = own; // the card around the button
        card.panels.push_back({2, 100, 60, 34});
        CHECK(told(card).empty());
        FrameLedger foreign = clean();
        foreign.panels.push_back({4, 60, 60, 15});
        foreign.texts.push_back({"stray", 4.2F, {60, 62, 20, 4}, foreign.screen, {}, false});
        CHECK(told(foreign).find("\"stray\" lies on a panel that is not its own") != std::string::npos);
    }

    TEST_CASE("a letter that no font of its size has is found by drawing it")
    {
        auto opened = shell::open_offscreen({look::kTenInch, false, "test"});
        REQUIRE(opened.has_value());
        const auto  theme = look::make_theme(look::Light::day, look::Hand::right, 5.884F);
        FrameLedger ledger;
        (*opened)->set_raster(false);
        (*opened)->begin_frame();
        {
            kit::Ui ui({theme, (*opened)->type(), (*opened)->size(), ledger, {}, nullptr});
            ui.canvas().text({10, 40}, "\u8ef8", {look::Role::label, theme.palette.ink}); // a Chinese sign
            ui.canvas().text({10, 60}, "\u0141ukasz \u017d\u00fc\u0159 \u0416 \u03b1 ",
                             {look::Role::label, theme.palette.ink});
            ui.canvas().text({10, 80}, "Ji\u0159\u00ed", {look::Role::title, theme.palette.ink});
        }
        (*opened)->present(theme.palette.paper);
        REQUIRE(ledger.texts.size() == 3);
        CHECK(ledger.texts[0].gaps);
        CHECK_FALSE(ledger.texts[1].gaps);
        CHECK_FALSE(ledger.texts[2].gaps);
    }

    TEST_CASE("every part of the kit fits its glass in every light, both ways up, for both hands")
    {
        const look::Words words = english();
        for (const look::ScreenSize& screen :
             {look::kTenInch, look::kEightInchUpright, look::ScreenSize{1280, 720, 5.884F}})
            for (const look::Hand hand : {look::Hand::right, look::Hand::left}) {
                auto opened = shell::open_offscreen({screen, false, "test"});
                REQUIRE(opened.has_value());
                (*opened)->set_raster(false);
                const auto  theme = look::make_theme(look::Light::day, hand, screen.px_per_mm);
                FrameLedger ledger;
                for (const gallery::Page& page : gallery::pages()) {
                    (*opened)->begin_frame();
                    {
                        kit::Ui ui({theme, (*opened)->type(), (*opened)->size(), ledger, {}, &words});
                        page.draw(ui, {});
                    }
                    (*opened)->present(theme.palette.paper);
                    CAPTURE(page.name);
                    CAPTURE(screen.h_px);
                    for (const std::string& complaint :
                         kit::complaints(ledger, kit::demands_at_machine(screen)))
                        FAIL_CHECK(complaint);
                }
            }
        for (const std::string& id : words.missing())
            FAIL_CHECK("no words for " << id);
    }
}

TEST_SUITE("field/look words")
{
    TEST_CASE("every id that the code asks for has its words")
    {
        const look::Words words = english();
        const std::regex  asked(R"rx(\bsay\(\s*"([a-z0-9_.]+)")rx");
        int               found = 0;
        for (const auto& entry :
             std::filesystem::recursive_directory_iterator(std::filesystem::path(WM_SOURCE_DIR) / "field")) {
            if (entry.path().extension() != ".cpp") continue;
            std::ifstream      in(entry.path());
            std::ostringstream text;
            text << in.rdbuf();
            const std::string source = text.str();
            for (std::sregex_iterator it(source.begin(), source.end(), asked), end; it != end; ++it, ++found)
                if (!answered(words, (*it)[1].str()))
                    FAIL_CHECK(entry.path().filename().string() << " asks for \"" << (*it)[1].str() << "\"");
        }
        CHECK(found > 10);
    }

    TEST_CASE("places are filled, an unknown id is shown in brackets and remembered")
    {
        auto words = look::Words::parse("[a]\nb = \"{0} of {1}\"\n", "test.toml");
        REQUIRE(words.has_value());
        CHECK(words->say("a.b", {"1", "2"}) == "1 of 2");
        CHECK(words->say("a.c") == "[a.c]");
        CHECK(words->missing().contains("a.c"));
    }

    TEST_CASE("a damaged file names its line, a missing one its name")
    {
        const auto damaged = look::Words::parse("[a]\nb = \n", "test.toml");
        REQUIRE_FALSE(damaged.has_value());
        CHECK(damaged.error().message.find("test.toml, line 2") != std::string::npos);
        CHECK_FALSE(look::Words::load("/nowhere/xx.toml").has_value());
    }
}
