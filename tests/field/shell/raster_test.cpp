#include "field/look/theme.h"
#include "field/shell/offscreen_shell.h"
#include "field/shell/raster.h"

#include <doctest/doctest.h>
#include <imgui.h>

#include <filesystem>
#include <vector>

using namespace field;
using shell::Image;

namespace {

std::unique_ptr<shell::OffscreenShell> glass(int w, int h)
{
    auto opened = shell::open_offscreen({{w, h, 5.884F}, false, "test"});
    REQUIRE(opened.has_value());
    return std::move(*opened);
}

template <class Draw> Image frame(shell::OffscreenShell& shell, Draw draw)
{
    shell.begin_frame();
    ImDrawList* list = ImGui::GetForegroundDrawList();
    list->Flags      = ImDrawListFlags_AllowVtxOffset; // no soft edges: every pixel is in or out
    draw(*list);
    shell.present(look::hex(0x000000));
    return shell.image();
}

int grey(const Image& image, int x, int y)
{
    return image.rgba[(static_cast<std::size_t>(y) * static_cast<std::size_t>(image.w) +
                       static_cast<std::size_t>(x)) *
                      4];
}

int lit(const Image& image)
{
    int count = 0;
    for (int y = 0; y < image.h; ++y)
        for (int x = 0; x < image.w; ++x)
            count += grey(image, x, y) > 0 ? 1 : 0;
    return count;
}

} // namespace

TEST_SUITE("field/shell raster")
{
    TEST_CASE("a right triangle of 8 pixels covers the pixels whose middles it holds")
    {
        const auto  shell = glass(16, 16);
        const Image image = frame(*shell, [](ImDrawList& list) {
            list.AddTriangleFilled(ImVec2(0, 0), ImVec2(8, 0), ImVec2(0, 8), IM_COL32_WHITE);
        });
        // The slanted edge runs through the middles of x + y = 7; it is neither top nor left, so those stay
        // dark: 7 + 6 + .. + 1 = 28 (top-left rule as in the Direct3D 11 and OpenGL rasterisation rules).
        CHECK(lit(image) == 28);
        CHECK(grey(image, 0, 0) == 255);
        CHECK(grey(image, 6, 0) == 255);
        CHECK(grey(image, 7, 0) == 0);
        CHECK(grey(image, 0, 7) == 0);
    }

    TEST_CASE("two triangles with a common edge share no pixel and leave none, in either winding")
    {
        const auto  shell = glass(32, 32);
        const Image image = frame(*shell, [](ImDrawList& list) {
            const ImU32 half = IM_COL32(255, 255, 255, 128);
            list.AddTriangleFilled(ImVec2(1, 2), ImVec2(30, 5), ImVec2(4, 29), half);
            list.AddTriangleFilled(ImVec2(30, 5), ImVec2(4, 29), ImVec2(28, 31), half);
        });
        for (int y = 0; y < 32; ++y)
            for (int x = 0; x < 32; ++x)
                CHECK((grey(image, x, y) == 0 || grey(image, x, y) == 128)); // 192 where both had drawn
        CHECK(lit(image) > 400);
    }

    TEST_CASE("the clip box cuts on whole pixels")
    {
        const auto  shell = glass(16, 16);
        const Image image = frame(*shell, [](ImDrawList& list) {
            list.PushClipRect(ImVec2(4, 4), ImVec2(8, 6));
            list.AddRectFilled(ImVec2(0, 0), ImVec2(16, 16), IM_COL32_WHITE);
            list.PopClipRect();
        });
        CHECK(lit(image) == 8);
        CHECK(grey(image, 4, 4) == 255);
        CHECK(grey(image, 8, 4) == 0);
    }

    TEST_CASE("a picture is shown pixel by pixel at its own size")
    {
        const auto shell = glass(16, 16);
        const auto texture =
            shell->upload({2, 2, {10, 0, 0, 255, 20, 0, 0, 255, 30, 0, 0, 255, 40, 0, 0, 255}});
        REQUIRE(texture.has_value());
        const Image image = frame(*shell, [&](ImDrawList& list) {
            // NOLINTNEXTLINE(performance-no-int-to-ptr)
            list.AddImage(reinterpret_cast<ImTextureID>(texture->id), ImVec2(3, 3), ImVec2(5, 5));
        });
        CHECK(grey(image, 3, 3) == 10);
        CHECK(grey(image, 4, 3) == 20);
        CHECK(grey(image, 3, 4) == 30);
        CHECK(grey(image, 4, 4) == 40);
        CHECK(lit(image) == 4);
        CHECK_FALSE(shell->upload({2, 2, {1, 2, 3}}).has_value());
    }

    TEST_CASE("more corners than a 16-bit index can count are all drawn")
    {
        const auto  shell = glass(300, 80);
        const Image image = frame(*shell, [](ImDrawList& list) {
            for (int i = 0; i < 20000; ++i) { // 80 000 corners
                const auto x   = static_cast<float>(i % 300);
                const int  row = i / 300;
                const auto y   = static_cast<float>(row);
                list.AddRectFilled(ImVec2(x, y), ImVec2(x + 1, y + 1), IM_COL32_WHITE);
            }
        });
        CHECK(lit(image) == 20000);
    }

    TEST_CASE("the same frame twice gives the same pixels, letters included")
    {
        const auto draw = [](ImDrawList& list) {
            list.Flags |= ImDrawListFlags_AntiAliasedFill | ImDrawListFlags_AntiAliasedLines;
            list.AddCircleFilled(ImVec2(40.3F, 30.7F), 20, IM_COL32(27, 75, 155, 200));
            list.AddText(ImVec2(5, 5), IM_COL32_WHITE, "262\xC2\xB0 to go");
        };
        const auto one   = glass(120, 80);
        const auto first = frame(*one, draw).rgba;
        CHECK(frame(*one, draw).rgba == first);
    }

    TEST_CASE("a frame drawn over another is what it would be on a fresh glass")
    {
        // Squares that did not change are left alone, so each kind of change is drawn over the frame before
        // it.
        struct Frame {
            float       at      = 70.3F;
            ImU32       colour  = IM_COL32(27, 75, 155, 200);
            const char* said    = "262\xC2\xB0 to go";
            float       cut     = 200;
            bool        reverse = false;
        };
        const auto draw = [](const Frame& f) {
            return [f](ImDrawList& list) {
                list.Flags |= ImDrawListFlags_AntiAliasedFill | ImDrawListFlags_AntiAliasedLines;
                list.PushClipRect(ImVec2(0, 0), ImVec2(f.cut, 140));
                const auto disc = [&](float x, ImU32 colour) {
                    list.AddCircleFilled(ImVec2(x, 66.7F), 50, colour);
                };
                disc(f.reverse ? 100.5F : f.at, f.reverse ? IM_COL32_WHITE : f.colour);
                disc(f.reverse ? f.at : 100.5F, f.reverse ? f.colour : IM_COL32_WHITE);
                list.AddText(ImVec2(5, 5), IM_COL32_WHITE, f.said);
                list.PopClipRect();
            };
        };
        const std::vector<Frame> frames{{70.4F}, // less than a pixel
                                        {70.4F, IM_COL32(27, 75, 155, 201)},
                                        {70.4F, IM_COL32(27, 75, 155, 201), "261\xC2\xB0 to go"},
                                        {.cut = 64},
                                        {.cut = 65},
                                        {.cut = 65, .reverse = true},
                                        {}};
        std::vector<Image>       fresh; // one glass at a time
        for (const Frame& one : frames)
            fresh.push_back(frame(*glass(200, 140), draw(one)));
        const auto over = glass(200, 140);
        (void)frame(*over, draw({}));
        for (std::size_t i = 0; i < frames.size(); ++i) {
            CHECK(frame(*over, draw(frames[i])).rgba == fresh[i].rgba);
            CHECK((i == 0 || fresh[i].rgba != fresh[i - 1].rgba));
        }
    }

    TEST_CASE("another ground, another picture and letters of another size reach every pixel")
    {
        const auto show = [](shell::OffscreenShell& shell, std::uintptr_t texture, look::Colour ground) {
            shell.begin_frame();
            ImDrawList* list = ImGui::GetForegroundDrawList();
            // NOLINTNEXTLINE(performance-no-int-to-ptr)
            list->AddImage(reinterpret_cast<ImTextureID>(texture), ImVec2(0, 0), ImVec2(9, 9));
            list->AddText(ImVec2(30, 30), IM_COL32_WHITE, "0.062");
            shell.present(ground);
            return shell.image();
        };
        const look::Colour black = look::hex(0x000000);
        Image              large;
        {
            const auto shell = glass(200, 140);
            REQUIRE(shell->set_scale(8.0F));
            large = show(*shell, 0, black);
        }
        const auto  shell = glass(200, 140);
        const Image plain = show(*shell, 0, black);
        const Image dawn  = show(*shell, 0, look::hex(0x404040));
        for (int y = 0; y < dawn.h; ++y)
            for (int x = 0; x < dawn.w; ++x)
                CHECK(grey(dawn, x, y) >= 0x40);
        const auto grey_one  = shell->upload({1, 1, {90, 90, 90, 255}});
        const auto light_one = shell->upload({1, 1, {180, 180, 180, 255}});
        REQUIRE((grey_one && light_one));
        CHECK(grey(show(*shell, grey_one->id, black), 4, 4) == 90);
        CHECK(grey(show(*shell, light_one->id, black), 4, 4) == 180);
        shell->release(*light_one);
        CHECK(grey(show(*shell, light_one->id, black), 4, 4) == 0);
        CHECK(show(*shell, 0, black).rgba == plain.rgba);
        REQUIRE(shell->set_scale(8.0F));
        CHECK(show(*shell, 0, black).rgba == large.rgba);
        CHECK(large.rgba != plain.rgba);
    }

    TEST_CASE("a picture is written as PNG, and an impossible path says so")
    {
        const auto file = std::filesystem::temp_directory_path() / "witnessmark_raster_test.png";
        CHECK(shell::write_png(file, {1, 1, {1, 2, 3, 255}}).has_value());
        CHECK(std::filesystem::file_size(file) > 50);
        std::filesystem::remove(file);
        CHECK_FALSE(shell::write_png("/nowhere/at/all.png", {1, 1, {1, 2, 3, 255}}).has_value());
        CHECK_FALSE(shell::write_png(file, {}).has_value());
    }
}
