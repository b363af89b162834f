#pragma once
// A sheet to draw on, in millimetres from the top left corner of the glass. Hides ImDrawList and the
// differences between its versions. Everything lands on whole pixels where that makes edges crisp.
#include "field/look/geometry.h"
#include "field/look/ledger.h"
#include "field/look/theme.h"
#include "field/look/type.h"

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

struct ImDrawList;

namespace field::look {

inline constexpr float kCorner = 2.0F; ///< radius of buttons and cards, mm

struct Stroke {
    Colour colour;
    float  width_mm{0.35F};
};
/// Part of a circle; angles read like a clock (0 at the top, clockwise), `to_deg` above `from_deg`.
struct Arc {
    Point centre;
    float radius_mm{};
    float from_deg{0};
    float to_deg{360};
};
struct Dash {
    float on_mm{1.6F};
    float off_mm{1.2F};
};
/// Section lines at 45 degrees, anchored to multiples of the gap so that they stand still while parts move.
struct Hatch {
    Stroke stroke;
    float  gap_mm{1.6F};
    bool   leans_left{false}; ///< neighbours in a section lean the other way
};

enum class Across { left, centre, right }; ///< which part of the text stands at the given x
enum class Upright {
    baseline,
    middle,
    top
}; ///< `middle`: half the height of a capital; `top`: top of a capital

struct TextStyle {
    Role    role{Role::label};
    Colour  colour;
    Across  across{Across::left};
    Upright upright{Upright::baseline};
};

/// A picture on the graphics side; 0 is none. Made by the shell's upload().
struct Texture {
    std::uintptr_t id{};
    int            w_px{};
    int            h_px{};
    explicit       operator bool() const { return id != 0; }
};

class Canvas {
  public:
    Canvas(ImDrawList& list, const Theme& theme, const Type& type, FrameLedger& ledger);

    [[nodiscard]] const Theme&   theme() const { return theme_; }
    [[nodiscard]] const Palette& palette() const { return theme_.palette; }

    void line(Point from, Point to, Stroke stroke);
    void polyline(std::span<const Point> points, Stroke stroke);
    void outline(std::span<const Point> points, Stroke stroke); ///< closed
    void fill(std::span<const Point> polygon, Colour colour);   ///< any simple polygon, either winding
    void shape(std::span<const Point> polygon, Colour colour, Stroke edge)
    {
        fill(polygon, colour), outline(polygon, edge);
    }
    void rect(const Rect& r, Colour colour, float corner_mm = 0);
    void frame(const Rect& r, Stroke stroke, float corner_mm = 0); ///< the stroke lies inside the box
    void circle(Point centre, float radius_mm, Colour colour);
    void circle_line(Point centre, float radius_mm, Stroke stroke);
    void arc(const Arc& arc, Stroke stroke); ///< a wide stroke makes a band; ends are cut square
    void dashed(std::span<const Point> points, Stroke stroke, Dash dash = {});
    void dashed(Point from, Point to, Stroke stroke, Dash dash = {});
    void centre_line(Point from, Point to, Colour colour); ///< long and short dashes, thin
    void hatch(std::span<const Point> polygon, const Hatch& hatch);
    void arrow(Point from, Point to, Stroke stroke); ///< filled head, for a motion to make
    /// A measure between two places with both arrowheads and its text above the middle; level or upright.
    void dimension(Point from, Point to, std::string_view words, Role role = Role::label);
    /// A name with a thin line to a dot on the part. The text ends or starts at `at`, on the side of the
    /// part.
    void leader(Point part, Point at, std::string_view words, Across side);
    void image(Texture texture, const Rect& r); ///< fills the box, cut to keep its proportions

    /// Returns the width in mm.
    float text(Point at, std::string_view text, const TextStyle& style);
    /// As text(), cut off with an ellipsis when it is wider than `room_mm`.
    float text_fitted(Point at, std::string_view text, const TextStyle& style, float room_mm);
    /// Lines broken at spaces to the width of the box, the first capital touching its top. Returns the height
    /// used.
    float               text_wrapped(const Rect& box, std::string_view text, const TextStyle& style);
    [[nodiscard]] float wrapped_height_mm(float width_mm, std::string_view text, Role role) const;
    [[nodiscard]] float text_width(std::string_view text, Role role) const;
    [[nodiscard]] float cap_mm(Role role) const { return type_.cap_mm(role); }
    [[nodiscard]] float line_mm(Role role) const { return type_.cap_mm(role) * 1.74F; } ///< from line to line

    void push_clip(const Rect& r);
    void pop_clip();
    /// Texts drawn until pop_owner() must stay inside this box; the ledger remembers it.
    void push_owner(const Rect& r) { owners_.push_back(r); }
    void pop_owner() { owners_.pop_back(); }
    /// The same box is the ground of its own words until pop_panel(): nobody else's may lie on it.
    void push_panel(const Rect& r);
    void pop_panel() { panels_.pop_back(); }

    [[nodiscard]] float px(float mm) const { return mm * theme_.px_per_mm; }
    [[nodiscard]] float mm(float px) const { return px / theme_.px_per_mm; }

  private:
    void record(Point origin_px, std::string_view text, Role role);
    void stroke_px(std::span<const Point> points, Stroke stroke, bool closed);
    void pattern(std::span<const Point> points, Stroke stroke, std::span<const float> marks_mm);
    void band(const std::vector<Point>& one, const std::vector<Point>& other, Colour colour, bool closed);
    void arrow_head(Point tip, Point from, Colour colour, float length_mm);

    ImDrawList&       list_;
    const Theme&      theme_;
    const Type&       type_;
    FrameLedger&      ledger_;
    std::vector<Rect> clips_;
    std::vector<Rect> owners_;
    std::vector<Rect> panels_;
};

/// A drawing shares its area with readings in its corners; a panel carries its own words only.
enum class Ground { panel, open };

/// Keeps texts inside a box for the life of a scope.
class Owner {
  public:
    Owner(Canvas& canvas, const Rect& box, Ground ground = Ground::panel) : canvas_(canvas), ground_(ground)
    {
        canvas_.push_owner(box);
        if (ground_ == Ground::panel) canvas_.push_panel(box);
    }
    ~Owner()
    {
        canvas_.pop_owner();
        if (ground_ == Ground::panel) canvas_.pop_panel();
    }
    Owner(const Owner&)            = delete;
    Owner& operator=(const Owner&) = delete;

  private:
    Canvas& canvas_;
    Ground  ground_;
};

} // namespace field::look
