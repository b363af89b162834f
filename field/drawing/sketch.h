#pragma once
// What a drawing is before it meets a screen: an ordered list of fills, hatches, lines and words in
// millimetres of screen. Nothing here knows a window or a colour value, so a drawing can be tested, painted
// on the tablet and put on paper from the same list.
#include "engine/base/numbers.h"
#include "field/drawing/plane.h"

#include <functional>
#include <string>
#include <variant>
#include <vector>

namespace field::drawing {

/// Meaning of a colour; the theme decides the value.
enum class Tone {
    ground,       ///< what the drawing lies on
    panel,        ///< a lighter field
    ink,          ///< words and arrows that matter
    soft,         ///< secondary words
    rule,         ///< thin help lines
    edge,         ///< visible edges of metal
    steel,        ///< metal seen or cut
    steel_dark,   ///< metal that must stand off from its neighbour
    steel_light,  ///< metal nearest to the eye
    hatch,        ///< section lines
    bronze,       ///< the adapter sleeve
    mark,         ///< layout blue: the part to touch, what has been done
    mark_soft,    ///< a field of layout blue
    inside,       ///< allowed
    inside_soft,  ///< allowed, as a field
    watch,        ///< undecided
    outside,      ///< not allowed
    outside_soft, ///< not allowed, as a field
    on_mark       ///< words on layout blue
};

enum class Lean { right, left }; ///< 45 degree section lines, rising to the right or to the left
enum class Dash { solid, dashed, centre };

struct Pen {
    Tone   tone     = Tone::edge;
    double width_mm = 0.35;
    Dash   dash     = Dash::solid;
};
inline constexpr Pen kEdge{Tone::edge, 0.35, Dash::solid};
inline constexpr Pen kThin{Tone::edge, 0.2, Dash::solid};
inline constexpr Pen kCentre{Tone::edge, 0.25, Dash::centre};
inline constexpr Pen kHeavy{Tone::mark, 0.9, Dash::solid};
inline constexpr Pen kHeavyThin{Tone::mark, 0.5, Dash::solid};

/// On a tablet at the machine capitals are 3.3, 4.2 and 5 mm high; the type in use says so.
enum class Letters { label, instruction, title };

enum class Side { left, middle, right }; ///< which side of the words stands at the point

struct Lettering {
    Letters letters = Letters::label;
    bool    bold    = false;
    Tone    tone    = Tone::ink;
    Side    side    = Side::middle;
};

struct Fill {
    Outline outline; ///< closed, may be concave, does not cross itself
    Tone    tone = Tone::steel;
};
struct Hatch {
    Outline outline;              ///< closed, may be concave
    Lean    lean   = Lean::right; ///< neighbours in a section lean the other way
    double  gap_mm = 1.1;
    Tone    tone   = Tone::hatch;
};
struct Line {
    Outline points;
    bool    closed = false;
    Pen     pen;
};
struct Words {
    std::string text;
    Box         box; ///< the room the words take; they are centred in its height
    Letters     letters = Letters::label;
    bool        bold    = false;
    Tone        tone    = Tone::ink;
};
using Item = std::variant<Fill, Hatch, Line, Words>;

/// The letters in use: how wide words come out and how high capitals are, in millimetres of screen.
struct Metrics {
    std::function<double(const std::string& text, Letters letters, bool bold)> width;
    double label_cap_mm = 3.3, instruction_cap_mm = 4.2, title_cap_mm = 5.0;
};
/// Metrics by a mean letter: for geometry that is worked out where no font is at hand.
[[nodiscard]] Metrics rough_metrics();

class Sketch {
  public:
    Sketch(const Box& area, Metrics metrics) : area_(area), metrics_(std::move(metrics)) {}

    void fill(Outline outline, Tone tone);
    void hatch(Outline outline, Lean lean, double gap_mm = 1.1, Tone tone = Tone::hatch);
    void line(Outline points, Pen pen);
    void loop(Outline points, Pen pen);
    /// A solid body: filled, edged.
    void body(const Outline& outline, Tone tone, Pen pen = kEdge);
    /// A cut body: filled, hatched, edged.
    void cut(const Outline& outline, Tone tone, Lean lean, Pen pen = kEdge);
    /// Arrow along the points with its head at the last one.
    void arrow(Outline points, Pen pen, double head_mm = 3.0);

    /// Words with the middle of their height at the point. They are moved, at most, as far as it takes to
    /// stay in the area.
    Box words(const std::string& text, Point at, const Lettering& how);
    /// Words at the first of the points where they meet no other words and stay in the area; nothing is
    /// written when there is no such point. True when written.
    bool words_where_free(const std::string& text, const std::vector<Point>& at, const Lettering& how);
    [[nodiscard]] Box    box_of(const std::string& text, Point at, const Lettering& how) const;
    [[nodiscard]] double width_of(const std::string& text, const Lettering& how) const;
    [[nodiscard]] double cap(Letters letters) const; ///< height of a capital, mm
    [[nodiscard]] double row(Letters letters) const; ///< height of a line with descenders and air, mm
    [[nodiscard]] bool   is_free(const Box& box) const;

    [[nodiscard]] const Box&               area() const { return area_; }
    [[nodiscard]] const std::vector<Item>& items() const { return items_; }

  private:
    Box               area_;
    Metrics           metrics_;
    std::vector<Item> items_;
    std::vector<Box>  taken_;
};

using engine::fixed;

} // namespace field::drawing
