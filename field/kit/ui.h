#pragma once
// What a screen gets to draw on and to be touched through: one Ui a frame.
#include "field/kit/areas.h"
#include "field/look/canvas.h"
#include "field/look/words.h"

#include <optional>
#include <string>
#include <string_view>

namespace field::kit {

enum class Repeat { no, while_held }; ///< while_held: again every 150 ms after 500 ms, for nudge keys

struct HitOptions {
    bool        enabled{true};
    Repeat      repeat{Repeat::no};
    std::string says; ///< the words on the target, for scripts
};

/// What a finger did to a target since the last frame.
struct Touch {
    bool     tapped{}; ///< went down and up inside it (or repeats)
    bool     down{};   ///< a finger rests on it: draw it pressed
    explicit operator bool() const { return tapped; }
};

class Ui {
  public:
    /// Opens the frame's only window over the whole glass. `typed` is what a gauge or scanner that acts as a
    /// keyboard sent since the last frame. The ledger is cleared and filled anew; it must outlive the Ui.
    struct Frame {
        const look::Theme& theme;
        const look::Type&  type;
        look::ScreenSize   screen;
        look::FrameLedger& ledger;
        std::string        typed;
        const look::Words* words{}; ///< without it every word shows its id
        std::string        note;    ///< said at the top of every screen: "invented demo plant"
    };
    explicit Ui(Frame frame);
    ~Ui();
    Ui(const Ui&)            = delete;
    Ui& operator=(const Ui&) = delete;

    [[nodiscard]] look::Canvas&           canvas() { return canvas_; }
    [[nodiscard]] const look::Theme&      theme() const { return frame_.theme; }
    [[nodiscard]] const look::Palette&    palette() const { return frame_.theme.palette; }
    [[nodiscard]] const look::ScreenSize& screen() const { return frame_.screen; }
    [[nodiscard]] const ScreenAreas&      areas() const { return areas_; }
    [[nodiscard]] bool                    portrait() const { return areas_.portrait; }
    [[nodiscard]] bool left_handed() const { return frame_.theme.hand == look::Hand::left; }

    /// A place to tap. `id` is stable from frame to frame and the same in every language.
    Touch hit(std::string_view id, const look::Rect& rect, const HitOptions& options = {});
    /// A place to drag in: where the finger is, in mm, while it is down; it may leave the box once it began
    /// inside.
    std::optional<look::Point> drag(std::string_view id, const look::Rect& rect);

    /// The words of an id, in the language of the tablet.
    [[nodiscard]] std::string say(std::string_view id) const;
    [[nodiscard]] std::string say(std::string_view id, std::initializer_list<std::string_view> put_in) const;

    [[nodiscard]] const std::string& note() const { return frame_.note; }

    /// Nothing drawn from here on takes the touch of this frame: it was meant for what stood there before.
    void ignore_touch() { deaf_ = true; }

    /// A finger came down in this frame, anywhere.
    [[nodiscard]] bool touched() const;
    [[nodiscard]] bool touched_in(const look::Rect& rect) const;

    /// Text from a wired gauge or scanner; handed out once.
    [[nodiscard]] std::string take_typed();

  private:
    Frame        frame_;
    ScreenAreas  areas_;
    look::Canvas canvas_;
    bool         deaf_{};
};

} // namespace field::kit
