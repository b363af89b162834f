#pragma once
// What every shell shares: the Dear ImGui context, the baked letters, the finger, and how many frames are
// owed.
#include "engine/base/result.h"
#include "field/look/type.h"
#include "field/shell/touch_queue.h"

#include <atomic>
#include <memory>
#include <string>
#include <utility>

struct ImGuiContext;

namespace field::shell {

inline constexpr int kFramesPerEvent = 3; ///< press, its look, and what settles after it

class Context {
  public:
    [[nodiscard]] static engine::Result<std::unique_ptr<Context>> make(const look::ScreenSize& screen);
    ~Context();
    Context(const Context&)            = delete;
    Context& operator=(const Context&) = delete;

    /// Another size or scale of glass: true in the result when the letters were baked anew and must be
    /// uploaded.
    [[nodiscard]] engine::Result<bool>    resize(const look::ScreenSize& screen);
    [[nodiscard]] const look::ScreenSize& screen() const { return screen_; }
    [[nodiscard]] const look::Type&       type() const { return *type_; }

    TouchQueue touch;

    /// Hands size, time and finger to Dear ImGui; call after a backend's own new frame.
    void feed(float seconds);

    void owe() { owed_ = kFramesPerEvent; }
    void drawn()
    {
        if (woken_.exchange(false)) owe();
        owed_ -= owed_ > 0 ? 1 : 0;
    }
    void               wake() { woken_ = true; } ///< from any thread: frames are owed
    [[nodiscard]] bool frame_due() const { return owed_ > 0 || woken_ || touch.waiting() || finger_down_; }
    [[nodiscard]] bool finger_down() const { return finger_down_; }

    void                      type_text(const std::string& text) { typed_ += text; }
    [[nodiscard]] std::string take_text() { return std::exchange(typed_, {}); }

  private:
    explicit Context(const look::ScreenSize& screen) : screen_(screen) {}

    look::ScreenSize  screen_;
    const look::Type* type_{};
    ImGuiContext*     imgui_{};
    std::string       typed_;
    int               owed_{kFramesPerEvent};
    std::atomic<bool> woken_{false};
    bool              finger_down_{};
};

} // namespace field::shell
