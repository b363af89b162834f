#include "field/kit/ui.h"

#include <imgui.h>

#include <utility>

namespace field::kit {
namespace {

ImDrawList& open_window(const look::ScreenSize& screen)
{
    ImGui::SetNextWindowPos(ImVec2(0, 0));
    ImGui::SetNextWindowSize(ImVec2(static_cast<float>(screen.w_px), static_cast<float>(screen.h_px)));
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0, 0));
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 0);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 0);
    ImGui::Begin("glass", nullptr,
                 ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoBackground |
                     ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav |
                     ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoScrollWithMouse);
    return *ImGui::GetWindowDrawList();
}

look::FrameLedger& emptied(look::FrameLedger& ledger, const look::Rect& screen)
{
    ledger.clear();
    ledger.screen = screen;
    return ledger;
}

} // namespace

Ui::Ui(Frame frame)
    : frame_(std::move(frame)), areas_(areas_for(frame_.screen, frame_.theme.hand)),
      canvas_(open_window(frame_.screen), frame_.theme, frame_.type,
              emptied(frame_.ledger, frame_.screen.area()))
{
    canvas_.rect(frame_.screen.area(), palette().paper);
}

Ui::~Ui()
{
    ImGui::End();
    ImGui::PopStyleVar(3);
}

Touch Ui::hit(std::string_view id, const look::Rect& rect, const HitOptions& options)
{
    frame_.ledger.targets.push_back({std::string(id), rect, options.enabled, options.says});
    if (!options.enabled || deaf_) return {};
    const auto px = [this](float mm) { return canvas_.px(mm); };
    ImGui::SetCursorScreenPos(ImVec2(px(rect.x), px(rect.y)));
    ImGui::PushButtonRepeat(options.repeat == Repeat::while_held);
    Touch touch;
    touch.tapped = ImGui::InvisibleButton(std::string(id).c_str(), ImVec2(px(rect.w), px(rect.h)));
    touch.down   = ImGui::IsItemActive();
    ImGui::PopButtonRepeat();
    return touch;
}

std::optional<look::Point> Ui::drag(std::string_view id, const look::Rect& rect)
{
    if (!hit(id, rect).down) return std::nullopt;
    const ImVec2 at = ImGui::GetIO().MousePos;
    return look::Point{canvas_.mm(at.x), canvas_.mm(at.y)};
}

std::string Ui::say(std::string_view id) const
{
    return say(id, {});
}

std::string Ui::say(std::string_view id, std::initializer_list<std::string_view> put_in) const
{
    static const look::Words none;
    return (frame_.words != nullptr ? *frame_.words : none).say(id, put_in);
}

bool Ui::touched() const
{
    return ImGui::IsMouseClicked(0);
}

bool Ui::touched_in(const look::Rect& rect) const
{
    const ImVec2 at = ImGui::GetIO().MousePos;
    return touched() && rect.contains(look::Point{canvas_.mm(at.x), canvas_.mm(at.y)});
}

std::string Ui::take_typed()
{
    return std::exchange(frame_.typed, {});
}

} // namespace field::kit
