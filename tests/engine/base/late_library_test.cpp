#include "engine/base/late_library.h"

#include <doctest/doctest.h>

#include <cmath>

TEST_SUITE("engine/base/late library")
{
    TEST_CASE("a function of a library that is opened late does what it does when linked")
    {
        auto library = engine::LateLibrary::open("libm.so.6");
        REQUIRE(library);
        double (*cube_root)(double) = nullptr;
        library->bind("cbrt", cube_root);
        REQUIRE(library->whole());
        CHECK(cube_root(27.0) == doctest::Approx(std::cbrt(27.0)).epsilon(1e-15));
    }

    TEST_CASE("a library that is not on the machine is named, and so is a function it lacks")
    {
        const auto nowhere = engine::LateLibrary::open("libwitnessmark-has-none.so.9");
        REQUIRE_FALSE(nowhere);
        CHECK(nowhere.error().fault == engine::Fault::unsupported);
        CHECK(nowhere.error().message.find("libwitnessmark-has-none.so.9") != std::string::npos);

        auto library              = engine::LateLibrary::open("libm.so.6");
        double (*no_such)(double) = nullptr;
        double (*there)(double)   = nullptr;
        REQUIRE(library);
        library->bind("no_such_function", no_such);
        library->bind("cbrt", there);
        const auto whole = library->whole();
        REQUIRE_FALSE(whole);
        CHECK(whole.error().message.find("no_such_function") != std::string::npos);
        CHECK((no_such == nullptr));
    }
}
