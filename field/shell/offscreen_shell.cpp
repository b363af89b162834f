#include "field/shell/offscreen_shell.h"

#include "field/shell/context.h"
#include "field/shell/raster.h"

#include <imgui.h>
#include <stb_image_write.h>

#include <utility>

namespace field::shell {
namespace {

constexpr std::uintptr_t kLetters = 1; // texture ids: 1 is the font atlas, pictures follow

class Offscreen final : public OffscreenShell {
  public:
    explicit Offscreen(std::unique_ptr<Context> context) : context_(std::move(context))
    {
        ImGui::GetIO().BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
        take_letters();
    }

    bool poll(std::chrono::milliseconds) override { return context_->frame_due(); }
    void wake() override { context_->wake(); }
    void begin_frame() override
    {
        context_->feed(frame_seconds_);
        ImGui::NewFrame();
    }
    void present(look::Colour ground) override
    {
        ImGui::Render();
        if (raster_) rasteriser_.draw(*ImGui::GetDrawData(), ground, textures_, image_);
        context_->drawn();
    }
    [[nodiscard]] bool             quit() const override { return quit_; }
    [[nodiscard]] look::ScreenSize size() const override { return context_->screen(); }

    engine::Status set_scale(float px_per_mm) override
    {
        look::ScreenSize screen = context_->screen();
        screen.px_per_mm        = px_per_mm;
        auto baked              = context_->resize(screen);
        if (!baked) return baked.failure();
        if (*baked) take_letters();
        return engine::Unit{};
    }
    [[nodiscard]] const look::Type& type() const override { return context_->type(); }
    [[nodiscard]] std::string       take_text() override { return context_->take_text(); }

    [[nodiscard]] engine::Result<look::Texture> upload(const Image& picture) override
    {
        const auto bytes = static_cast<std::size_t>(picture.w) * static_cast<std::size_t>(picture.h) * 4;
        if (picture.w <= 0 || picture.h <= 0 || picture.rgba.size() != bytes)
            return engine::failure(engine::Fault::bad_input, "The picture to show is empty or cut short.");
        textures_[next_texture_] = {picture.w, picture.h, 4, picture.rgba};
        return look::Texture{next_texture_++, picture.w, picture.h};
    }
    void release(look::Texture texture) override
    {
        if (texture.id != kLetters) textures_.erase(texture.id);
    }

    void touch_down(look::Point at) override { context_->touch.down(1, px(at.x), px(at.y)); }
    void touch_move(look::Point at) override { context_->touch.move(1, px(at.x), px(at.y)); }
    void touch_up() override
    {
        context_->touch.up(1);
        context_->owe();
    }
    void type_text(const std::string& text) override
    {
        context_->type_text(text);
        context_->owe();
    }
    void                       ask_to_quit() override { quit_ = true; }
    void                       set_raster(bool on) override { raster_ = on; }
    [[nodiscard]] const Image& image() const override { return image_; }
    void                       set_frame_time(float seconds) override { frame_seconds_ = seconds; }

  private:
    [[nodiscard]] float px(float mm) const { return mm * context_->screen().px_per_mm; }

    void take_letters()
    {
        ImFontAtlas&   atlas  = *ImGui::GetIO().Fonts;
        unsigned char* pixels = nullptr;
        int            w = 0, h = 0;
        atlas.GetTexDataAsAlpha8(&pixels, &w, &h);
        const auto bytes    = static_cast<std::size_t>(w) * static_cast<std::size_t>(h);
        textures_[kLetters] = {w, h, 1, std::vector<std::uint8_t>(pixels, pixels + bytes)};
        rasteriser_.forget();
        // NOLINTNEXTLINE(performance-no-int-to-ptr): a texture id is a pointer in this version of Dear ImGui
        atlas.SetTexID(reinterpret_cast<ImTextureID>(kLetters));
    }

    std::unique_ptr<Context> context_;
    SoftTextures             textures_;
    std::uintptr_t           next_texture_{kLetters + 1};
    Image                    image_;
    Raster                   rasteriser_;
    float                    frame_seconds_{1.0F / 60.0F};
    bool                     raster_{true};
    bool                     quit_{};
};

} // namespace

engine::Result<std::unique_ptr<OffscreenShell>> open_offscreen(const Options& options)
{
    auto context = Context::make(options.screen);
    if (!context) return context.failure();
    return std::unique_ptr<OffscreenShell>(std::make_unique<Offscreen>(std::move(*context)));
}

engine::Status write_png(const std::filesystem::path& file, const Image& image)
{
    if (image.w <= 0 || image.h <= 0)
        return engine::failure(engine::Fault::bad_input, "There is no picture to write yet.");
    if (stbi_write_png(file.string().c_str(), image.w, image.h, 4, image.rgba.data(), image.w * 4) == 0)
        return engine::failure(engine::Fault::io, "The picture " + file.string() + " could not be written.");
    return engine::Unit{};
}

} // namespace field::shell
