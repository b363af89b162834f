// "Your own plant in ten minutes" of README.md, played as it is written there.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;

/// The lines a reader would type: those set in by four spaces.
std::string commands_of(const std::string& section)
{
    std::istringstream in(support::text_of(fs::path(WM_SOURCE_DIR) / "README.md"));
    std::string        line, commands;
    bool               inside = false;
    while (std::getline(in, line)) {
        if (line.rfind("## ", 0) == 0) inside = line == "## " + section;
        if (inside && line.rfind("    ", 0) == 0) commands += line.substr(4) + "\n";
    }
    return commands;
}

} // namespace

TEST_SUITE("walk/readme")
{
    TEST_CASE("your own plant in ten minutes goes as it is written: from plant new to a countersigned job")
    {
        const support::TempFolder folder;
        const fs::path            source = folder.path() / "source";
        fs::create_directories(source / "build/release/field");
        fs::create_directories(folder.path() / "tmp");
        fs::create_symlink(WM_PROGRAM, source / "build/release/field/witnessmark");
        for (const char* part : {"assets", "tests"})
            fs::create_directory_symlink(fs::path(WM_SOURCE_DIR) / part, source / part);
        const std::string commands = commands_of("Your own plant in ten minutes");
        REQUIRE(commands.find("plant new") != std::string::npos);
        std::ofstream(folder.path() / "play.sh")
            << "set -euo pipefail\nexport TMPDIR='" << (folder.path() / "tmp").string() << "'\ncd '"
            << source.string() << "'\n"
            << commands << "cp -r . '" << (folder.path() / "plant").string() << "'\n";
        const auto played =
            support::run_shell("bash '" + (folder.path() / "play.sh").string() + "'", folder.path());
        REQUIRE_MESSAGE(played.code == 0, played.says);

        const std::string office = " --book '" + (folder.path() / "plant/office.book").string() + "'";
        const auto        listed = support::run("enrol list --json" + office, folder.path());
        REQUIRE(listed.code == 0);
        const auto list = nlohmann::json::parse(listed.out);
        CHECK(list["machines"].size() == 2);
        CHECK(list["set_aside"].empty());
        const auto review     = support::run("review --json" + office, folder.path());
        const auto shift      = nlohmann::json::parse(review.out);
        bool       signed_off = false;
        for (const auto& job : shift["jobs"])
            if (job["job"] == "2219" && job.contains("review")) signed_off = job["review"]["countersigned"];
        CHECK_MESSAGE(signed_off, review.says);
    }
}
