// Pictures picked up from a folder: the right one, its bytes untouched.
#include "field/camera/folder_camera.h"

#include <doctest/doctest.h>

#include <chrono>
#include <fstream>

#include "tests/support/fake_camera.h"
#include "tests/support/temp_folder.h"

using namespace field::camera;
using engine::Fault;

namespace {

/// Writes a picture and sets its age, so that "newest" does not hang on the speed of the machine.
void put(const std::filesystem::path& file, const std::vector<unsigned char>& bytes, int second)
{
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    std::filesystem::last_write_time(file, std::filesystem::file_time_type{} + std::chrono::seconds(second));
}

std::vector<std::string> names(const std::vector<std::filesystem::path>& files)
{
    std::vector<std::string> list;
    for (const auto& file : files)
        list.push_back(file.filename().string());
    return list;
}

} // namespace

TEST_SUITE("field/camera/folder")
{
    TEST_CASE("the newest picture that came after the start is taken, byte for byte, once")
    {
        support::TempFolder folder;
        put(folder / "old.jpg", support::numbered_jpeg(1), 100);
        FolderCamera camera(folder.path());
        CHECK_FALSE(camera.shoot());
        REQUIRE(camera.start());

        const auto none = camera.shoot();
        REQUIRE_FALSE(none);
        CHECK(none.error().fault == Fault::not_found);
        CHECK(none.error().message.find("There is no new picture in ") == 0);
        CHECK(camera.latest() == nullptr);

        put(folder / "b.jpg", support::numbered_jpeg(2), 300);
        put(folder / "a.JPEG", support::numbered_jpeg(3), 200);
        put(folder / "note.txt", support::numbered_jpeg(4), 400);
        put(folder / ".c.jpg", support::numbered_jpeg(5), 400); // a copy under way, as some programs name it
        REQUIRE(camera.latest() != nullptr);
        CHECK(camera.latest()->picture.width == 160);
        CHECK(camera.latest()->sequence == 1);
        const auto first = camera.shoot();
        REQUIRE(first);
        CHECK(first->jpeg == support::numbered_jpeg(2));
        CHECK(first->source == "folder file b.jpg");
        CHECK(camera.latest()->sequence == 2);
        const auto second = camera.shoot();
        REQUIRE(second);
        CHECK(second->jpeg == support::numbered_jpeg(3));
        CHECK_FALSE(camera.shoot());
        CHECK(std::filesystem::exists(folder / "b.jpg"));

        put(folder / "b.jpg", support::numbered_jpeg(6), 500); // the camera used the name again
        const auto third = camera.shoot();
        REQUIRE(third);
        CHECK(third->jpeg == support::numbered_jpeg(6));
    }

    TEST_CASE("waiting pictures are listed newest first and one may be chosen")
    {
        support::TempFolder folder;
        put(folder / "x.jpg", support::numbered_jpeg(1), 100);
        put(folder / "y.jpg", support::numbered_jpeg(2), 200);
        FolderCamera camera(folder.path());
        REQUIRE(camera.start());
        CHECK(names(camera.waiting()) == std::vector<std::string>{"y.jpg", "x.jpg"});
        const auto chosen = camera.take(folder / "x.jpg");
        REQUIRE(chosen);
        CHECK(chosen->jpeg == support::numbered_jpeg(1));
        CHECK(names(camera.waiting()) == std::vector<std::string>{"y.jpg"});
        CHECK_FALSE(camera.take(folder / "z.jpg"));
        CHECK_FALSE(camera.take(folder / "../y.txt"));
    }

    TEST_CASE("a picture still being copied is waited for, and that is said")
    {
        support::TempFolder folder;
        FolderCamera        camera(folder.path());
        REQUIRE(camera.start());
        auto half = support::numbered_jpeg(9);
        half.resize(half.size() / 2);
        put(folder / "n.jpg", half, 100);
        CHECK(camera.waiting().empty());
        CHECK(camera.latest() == nullptr);
        const auto early = camera.shoot();
        REQUIRE_FALSE(early);
        CHECK(early.error().fault == Fault::corrupt);
        CHECK(early.error().message.find("The picture n.jpg has no end: it is still being copied") == 0);
        put(folder / "n.jpg", support::numbered_jpeg(9), 101);
        const auto whole = camera.shoot();
        REQUIRE(whole);
        CHECK(whole->jpeg == support::numbered_jpeg(9));
    }

    TEST_CASE("a file that only looks like a picture is refused by name and not taken")
    {
        support::TempFolder folder;
        FolderCamera        camera(folder.path());
        REQUIRE(camera.start());
        put(folder / "bad.jpg", {0xff, 0xd8, 1, 2, 3, 0xff, 0xd9}, 100);
        const auto refused = camera.shoot();
        REQUIRE_FALSE(refused);
        CHECK(refused.error().fault == Fault::corrupt);
        CHECK(refused.error().message ==
              "The picture bad.jpg in the folder is not a whole JPEG; take it again.");
        CHECK(camera.waiting().size() == 1);
    }

    TEST_CASE("a folder that is not there, or goes away, is told")
    {
        support::TempFolder folder;
        CHECK(make_camera({"", folder / "none"})->start().error().message ==
              "There is no picture folder " + (folder / "none").string() +
                  "; make it or start with another --camera-folder DIR.");
        std::filesystem::create_directory(folder / "card");
        const auto camera = make_camera({"", folder / "card"});
        REQUIRE(camera->start());
        std::filesystem::remove(folder / "card");
        const auto gone = camera->shoot();
        REQUIRE_FALSE(gone);
        CHECK(gone.error().fault == Fault::not_found);
        CHECK(camera->latest() == nullptr);
    }
}
