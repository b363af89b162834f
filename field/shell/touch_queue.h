#pragma once
// Hands the finger to Dear ImGui one change a frame, so that a tap quicker than a frame is not lost.
// Only the first finger counts: a palm that joins in is ignored until every finger of the gesture is up.
#include <cstdint>
#include <deque>
#include <optional>

namespace field::shell {

/// What Dear ImGui is to see in one frame, in pixels.
struct PointerState {
    float       x_px{};
    float       y_px{};
    bool        down{};
    bool        present{}; ///< false: no pointer anywhere, nothing is hovered
    friend bool operator==(const PointerState&, const PointerState&) = default;
};

class TouchQueue {
  public:
    void down(std::int64_t finger, float x_px, float y_px);
    void move(std::int64_t finger, float x_px, float y_px);
    void up(std::int64_t finger);
    /// A mouse has a place without a button; a finger has not.
    void hover(float x_px, float y_px);
    void clear(); ///< drops what waits and lifts the finger (rotation, loss of focus)

    /// The state for the next frame: at most one of press, place-while-down, release, vanish.
    [[nodiscard]] PointerState next();
    [[nodiscard]] bool         waiting() const { return !steps_.empty(); }

  private:
    enum class Kind { down, move, up, gone, hover };
    struct Step {
        Kind  kind{Kind::gone};
        float x_px{};
        float y_px{};
    };
    std::deque<Step>            steps_;
    std::optional<std::int64_t> finger_;
    PointerState                now_;
};

} // namespace field::shell
