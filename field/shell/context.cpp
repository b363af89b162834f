#include "field/shell/context.h"

#include <imgui.h>

#include <cfloat>
#include <vector>

namespace field::shell {
namespace {

/// Letters baked for one kind of glass. Baking takes tens of milliseconds and the result is the same for
/// every window, so each kind is baked once a process.
struct Baked {
    float       px_per_mm{};
    bool        hand_held{};
    ImFontAtlas atlas;
    look::Type  type;
};

std::vector<std::unique_ptr<Baked>>& shelf()
{
    static std::vector<std::unique_ptr<Baked>> baked;
    return baked;
}

engine::Result<Baked*> letters_for(const look::ScreenSize& screen)
{
    for (const auto& b : shelf())
        if (b->px_per_mm == screen.px_per_mm && b->hand_held == screen.hand_held()) return b.get();
    auto fresh       = std::make_unique<Baked>();
    fresh->px_per_mm = screen.px_per_mm;
    fresh->hand_held = screen.hand_held();
    auto type        = look::Type::build(fresh->atlas, screen);
    if (!type) return type.failure();
    fresh->type = *type;
    shelf().push_back(std::move(fresh));
    return shelf().back().get();
}

void set_up_imgui()
{
    ImGuiIO& io       = ImGui::GetIO();
    io.IniFilename    = nullptr;
    io.LogFilename    = nullptr;
    io.KeyRepeatDelay = 0.5F;
    io.KeyRepeatRate  = 0.15F;
    io.ConfigFlags |= ImGuiConfigFlags_NoMouseCursorChange;
    ImGuiStyle& style                = ImGui::GetStyle();
    style.AntiAliasedLinesUseTex     = true;
    style.CircleTessellationMaxError = 0.1F;
    style.WindowMinSize              = ImVec2(1, 1);
    style.DisplaySafeAreaPadding     = ImVec2(0, 0);
}

} // namespace

engine::Result<std::unique_ptr<Context>> Context::make(const look::ScreenSize& screen)
{
    auto letters = letters_for(screen);
    if (!letters) return letters.failure();
    std::unique_ptr<Context> context(new Context(screen));
    context->type_  = &(*letters)->type;
    context->imgui_ = ImGui::CreateContext(&(*letters)->atlas);
    ImGui::SetCurrentContext(context->imgui_);
    set_up_imgui();
    return context;
}

Context::~Context()
{
    if (imgui_ != nullptr) ImGui::DestroyContext(imgui_);
}

engine::Result<bool> Context::resize(const look::ScreenSize& screen)
{
    const bool same = screen.px_per_mm == screen_.px_per_mm && screen.hand_held() == screen_.hand_held();
    if (screen != screen_) {
        touch.clear();
        owe();
    }
    screen_ = screen;
    if (same) return false;
    auto letters = letters_for(screen);
    if (!letters) return letters.failure();
    type_                = &(*letters)->type;
    ImGui::GetIO().Fonts = &(*letters)->atlas;
    return true;
}

void Context::feed(float seconds)
{
    ImGuiIO& io            = ImGui::GetIO();
    io.DisplaySize         = ImVec2(static_cast<float>(screen_.w_px), static_cast<float>(screen_.h_px));
    io.DeltaTime           = seconds > 0 ? seconds : 1.0F / 60.0F;
    const PointerState now = touch.next();
    finger_down_           = now.down;
    const float x          = now.present ? now.x_px : -FLT_MAX;
    const float y          = now.present ? now.y_px : -FLT_MAX;
#if IMGUI_VERSION_NUM >= 18700
    io.AddMousePosEvent(x, y);
    io.AddMouseButtonEvent(0, now.down);
#else
    io.MousePos     = ImVec2(x, y);
    io.MouseDown[0] = now.down;
#endif
}

} // namespace field::shell
