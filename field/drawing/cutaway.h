#pragma once
// Half section through the mounted unit: what the fitter cannot see while turning the nut. True proportions
// from the sheet; only taper, clearance and seat gap are drawn larger, by the constants of bearing_section.h.
#include "field/drawing/bearing_section.h"
#include "field/drawing/sketch.h"

#include <optional>

namespace field::drawing {

enum class CutFocus { none, seat, contact_faces, nut, tab, feeler_gap, seals };
enum class CutTool { none, blade, feeler, hook_spanner, marker, grease_gun };
/// The one motion of the step: sleeve pulled out towards the nut, ring pushed up the sleeve, unit slid on.
enum class CutMotion { none, sleeve_out, ring_up, slide_on };

struct CutawayWords {
    std::string outer = "outer", inner = "inner", sleeve = "sleeve", nut = "nut", shaft = "shaft",
                washer = "tab";
};

struct CutawayPicture {
    BearingData  bearing;
    bool         flange   = false; ///< flange unit: plate on the side away from the nut
    bool         tab_bent = false;
    CutFocus     focus    = CutFocus::none;
    CutTool      tool     = CutTool::none;
    CutMotion    motion   = CutMotion::none;
    std::string  motion_says; ///< beside the arrow, for example "1.09 mm"; may be empty
    CutawayWords words;
};

[[nodiscard]] Sketch sketch(const CutawayPicture& picture, const Box& area, const Metrics& metrics);

/// The tool in hand, drawn at the part of the section where it works (cutaway_tools.cpp).
void cut_tool(Sketch& sketch, CutTool tool, const BearingSection& section, const Frame& frame);

} // namespace field::drawing
