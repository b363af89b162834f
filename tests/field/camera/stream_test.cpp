// The moving test picture through the real pipeline, and what is said when there is no camera.
#include "engine/book/photos.h"
#include "field/camera/camera.h"

#include <doctest/doctest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <thread>

#include "tests/support/fake_camera.h"
#include "tests/support/temp_folder.h"

using namespace field::camera;

namespace {

bool is_whole_jpeg(const std::vector<unsigned char>& jpeg)
{
    return jpeg.size() > 100 && jpeg[0] == 0xff && jpeg[1] == 0xd8 && jpeg[jpeg.size() - 2] == 0xff &&
           jpeg.back() == 0xd9 && decode_jpeg(jpeg, 64, 64).has_value();
}

std::size_t threads_of_this_program()
{
    const std::filesystem::directory_iterator tasks("/proc/self/task");
    return static_cast<std::size_t>(std::distance(begin(tasks), end(tasks)));
}

} // namespace

TEST_SUITE("field/camera/stream")
{
    TEST_CASE("the test picture gives previews that go on and photos that all differ")
    {
        const auto camera = make_camera({"test", {}});
        CHECK(camera->latest() == nullptr);
        REQUIRE(camera->start());
        const auto first = camera->latest();
        REQUIRE(first != nullptr);
        CHECK(first->picture.width <= kPreviewWidth);
        CHECK(first->picture.height <= kPreviewHeight);
        // 1280 x 720 keeps its shape.
        CHECK(first->picture.width * 9 == first->picture.height * 16);
        CHECK(first->picture.rgba.size() == 4U * static_cast<std::size_t>(first->picture.width) *
                                                static_cast<std::size_t>(first->picture.height));

        std::set<std::vector<unsigned char>> photos;
        for (int i = 0; i < 4; ++i) {
            auto shot = camera->shoot();
            REQUIRE(shot);
            CHECK(shot->source == "test picture");
            CHECK(is_whole_jpeg(shot->jpeg));
            photos.insert(shot->jpeg);
        }
        CHECK(photos.size() == 4);

        std::shared_ptr<const Frame> later;
        for (int i = 0; i < 100; ++i) {
            later = camera->latest();
            if (later->sequence > first->sequence) break;
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
        CHECK(later->sequence > first->sequence);
        CHECK(first->sequence == 1); // a frame once handed out does not change
    }

    TEST_CASE("a photo is of now: what waited before the button was pressed is not taken")
    {
        const auto camera = make_camera({"test", {}});
        REQUIRE(camera->start());
        std::this_thread::sleep_for(std::chrono::milliseconds(200)); // one picture waits, older ones are gone
        const auto begun = std::chrono::steady_clock::now();
        REQUIRE(camera->shoot());
        CHECK(std::chrono::steady_clock::now() - begun < std::chrono::seconds(2));
    }

    TEST_CASE("a stopped camera leaves no thread behind, refuses photos, and can be started again")
    {
        {
            const auto warm =
                make_camera({"test", {}}); // GStreamer's own pool of threads is not this camera's
            REQUIRE(warm->start());
        }
        const std::size_t before = threads_of_this_program();
        for (int round = 0; round < 3; ++round) {
            const auto camera = make_camera({"test", {}});
            REQUIRE(camera->start());
            REQUIRE(camera->start()); // twice is once
            camera->stop();
            camera->stop();
            CHECK(camera->latest() == nullptr);
            const auto shot = camera->shoot();
            REQUIRE_FALSE(shot);
            CHECK(shot.error().fault == engine::Fault::refused);
            REQUIRE(camera->start());
            CHECK(camera->shoot());
        } // destroyed while running
        for (int i = 0; i < 50 && threads_of_this_program() > before; ++i)
            std::this_thread::sleep_for(std::chrono::milliseconds(20)); // the kernel clears up a moment later
        CHECK(threads_of_this_program() <= before);
    }

    TEST_CASE("without a camera one clear sentence is said")
    {
        const auto camera  = make_camera({"/dev/video-none", {}});
        const auto missing = camera->start();
        REQUIRE_FALSE(missing);
        CHECK(missing.error().fault == engine::Fault::not_found);
        CHECK(missing.error().message == "There is no camera at /dev/video-none; plug one in or start with "
                                         "--camera test or --camera-folder DIR.");
        CHECK(camera->latest() == nullptr);
        CHECK_FALSE(camera->shoot());
    }

    TEST_CASE("a file that is no camera gives no picture, and says so")
    {
        support::TempFolder folder;
        const auto          file = folder / "not-a-camera";
        std::ofstream(file) << "x";
        const auto camera = make_camera({file.string(), {}});
        const auto silent = camera->start();
        REQUIRE_FALSE(silent);
        CHECK(silent.error().fault == engine::Fault::io);
        CHECK(silent.error().message.find("The camera at " + file.string() +
                                          " gives no picture; check that") == 0);
        CHECK(silent.error().context != "");
    }

    TEST_CASE("the camera of the tests gives numbered pictures, the same on every run")
    {
        support::FakeCamera camera(7);
        CHECK_FALSE(camera.shoot());
        REQUIRE(camera.start());
        REQUIRE(camera.latest() != nullptr);
        CHECK(camera.latest()->picture.width == 160);
        const auto one = camera.shoot();
        const auto two = camera.shoot();
        REQUIRE(one);
        REQUIRE(two);
        CHECK(one->jpeg == support::numbered_jpeg(7));
        CHECK(two->jpeg == support::numbered_jpeg(8));
        CHECK(one->jpeg != two->jpeg);
        CHECK(is_whole_jpeg(one->jpeg));
        camera.unplug();
        CHECK_FALSE(camera.shoot());
    }
}
