#pragma once
// Plays touches and keys of a script through the real app, without a display. Used by `rehearse`, by the
// walks in tests/ and by field/run where there is no display.
//
// A script is one command a line; `#` starts a comment. Names are the stable ids of targets.
//   tap NAME              finger down and up in the middle of the target; fails when it is not there or off
//   type TEXT             a tap on key.<character> for each character of our keypad or letters; turns to the
//   page
//                         of letters that has it
//   send TEXT             what a gauge or scanner that acts as a keyboard sends; \n ends it
//   turn FROM TO          drags the dial from one angle to another, degrees
//   photo                 tap photo, take, keep
//   expect TEXT           some text on the screen contains it
//   absent TEXT           none does
//   off NAME              the target is there and cannot act
//   shot NAME             writes NAME.png
//   wait SECONDS          time passes
//   exchange              one whole exchange with the shared folder
//   settle                waits until what runs beside the screen (folder, plant key) has come back
//   kill                  the program is killed (SIGKILL) and started again on the same book
//   include FILE          lines of another script, beside this one
// After every line the glass is looked at: clipped, shortened or overlapping text and small targets fail the
// script at its end.
#include "engine/base/result.h"
#include "field/look/theme.h"
#include "field/shell/offscreen_shell.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace field::app {

struct ScriptLine {
    std::string file;
    int         number = 0;
    std::string command, rest;
};

/// All lines, includes flattened. Faults: not_found, bad_input (unknown command, missing argument, include of
/// itself) with file and line.
[[nodiscard]] engine::Result<std::vector<ScriptLine>> read_script(const std::filesystem::path& file);

struct RehearsalSetup {
    std::filesystem::path      book, out;
    std::filesystem::path      shared;    ///< empty: none
    std::filesystem::path      plant_key; ///< empty: looked for beside the shared folder and on sticks
    look::ScreenSize           screen = look::kTenInch;
    std::optional<look::Light> light;
    std::string                badge;                 ///< who holds the tablet at the start; empty: asks
    std::int64_t               start_wall_ms = 0;     ///< of the script's clock
    bool                       pictures      = true;  ///< false: no shot is written
    bool                       every         = false; ///< a picture after every line, by its number
    std::string                camera        = "test";
    std::filesystem::path      camera_folder;              ///< pictures are picked up from here instead
    std::string                machine_name = "T-01";      ///< of a book that is made
    std::string                plant        = "saltmarsh"; ///< likewise; the demo's
};

/// Plays the lines. Each stretch up to a `kill` runs in a process of its own. Fails with Fault::refused and a
/// sentence naming file, line, what was wanted and what was on the screen.
[[nodiscard]] engine::Status rehearse(const std::vector<ScriptLine>& script, const RehearsalSetup& setup);

} // namespace field::app
