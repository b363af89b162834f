#include "field/shell/shell.h"

#include <doctest/doctest.h>

#include <cstdlib>

using namespace field::shell;

TEST_SUITE("field/shell windows")
{
    TEST_CASE("without a display the tablet and the desk say so in one sentence and do not end the program")
    {
        unsetenv("DISPLAY");
        unsetenv("WAYLAND_DISPLAY");
        setenv("SDL_VIDEODRIVER", "dummy", 1); // a display without OpenGL
        const auto tablet = open_tablet({});
        REQUIRE_FALSE(tablet.has_value());
        CHECK(tablet.error().message.find("rehearse") != std::string::npos);
        setenv("SDL_VIDEODRIVER", "no-such-driver", 1);
        const auto nothing = open_tablet({});
        REQUIRE_FALSE(nothing.has_value());
        CHECK(nothing.error().message.starts_with("There is no display"));
        const auto desk = open_desk({});
        REQUIRE_FALSE(desk.has_value());
        CHECK(desk.error().message.starts_with("There is no display"));
    }
}
