#pragma once
// The angle between the mark on the shaft and the mark on the nut, from a photo taken at a slant. The round
// edge of the nut shows as an ellipse; the map that makes it a circle again makes angles true.
//   ellipse   direct least squares of Fitzgibbon, Pilu and Fisher in the numerically sound form of Halir and
//             Flusser (1998) (from memory); edge points are first centred and scaled
//   rectify   q = S^-1 (p - c): the ellipse becomes the unit circle (exact for a camera far away)
//   close up  a circle's centre is not the centre of its ellipse. Where the centre is tapped the projective
//             map that keeps the unit circle and brings the tapped point to its middle is used (a translation
//             of Klein's disc): exact at any distance, for marks in the plane of the edge
//   tilt      acos(minor / major)
//   parallax  the shaft's end stands before or behind the nut's face. Seen at a slant its mark shifts along
//   the
//             short axis by height x tan(tilt), in nut radii. The side is unknown: it is uncertainty, unless
//             the centre of the shaft's end is tapped as well; its mark is then seen from there
// Uncertainty (standard): parallax, taps, edge points (covariance of the ellipse), and without a tapped
// centre the shift that a camera of usual field of view makes at this size and tilt, of unknown sign. Pixels:
// x to the right, y down, the middle of the first pixel is (0, 0).
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <array>
#include <optional>
#include <span>

namespace engine {

struct Pixel {
    double x = 0, y = 0; ///< px, -1e5..1e5
};

struct PhotoEllipse {
    Pixel   centre;
    double  major_px = 0, minor_px = 0; ///< half axes
    Degrees direction;                  ///< of the major axis, from x towards y, 0..180
    double  rms_px = 0;                 ///< of the points about the ellipse
    /// S = (xx xy; xy yy), symmetric: points of the edge are centre + S (cos, sin).
    double                 xx_px = 0, xy_px = 0, yy_px = 0;
    std::array<double, 25> covariance{}; ///< px squared, of centre x, y, xx, xy, yy
};

/// `u_point_px`: standard uncertainty of a point, 0.01..1000; the spread of the points is taken when it is
/// larger. Fails: Fault::bad_input for fewer than 5 points, points on a line or on no ellipse, an ellipse
/// flatter than 1 : 5; Fault::out_of_range.
[[nodiscard]] Result<PhotoEllipse> fit_ellipse(std::span<const Pixel> edge, double u_point_px);

struct NutMarks {
    Pixel                shaft_mark, nut_mark;
    std::optional<Pixel> centre;             ///< of the nut, in the plane of its edge
    double               u_tap_px       = 0; ///< standard; 0: 0.6 % of the half axis, half of a painted mark
    int                  image_width_px = 0; ///< the larger side; 0: not known, a close-up is assumed
    std::optional<Pixel> shaft_centre;       ///< of the shaft's end, in the plane of its mark
    /// How far the shaft's end may stand from the plane of the nut's edge, in nut radii, in 95 of 100 (common
    /// practice); 0: both marks in one plane; 0..1.
    double height = 0.2;
};

inline constexpr Degrees kMostSlant{20}; ///< beyond it a photo is too far off the axis (common practice)

struct NutAngle {
    Degrees angle;           ///< clockwise as seen, from the shaft mark to the nut mark, 0 up to below 360
    Degrees tilt;            ///< of the nut's face against the picture
    Degrees u;               ///< standard uncertainty of the angle
    Degrees parallax;        ///< the part of it that the height of the shaft's end has
    bool    slanted = false; ///< tilt above kMostSlant: take the photo again, from the front
};

/// Marks lie between 0.1 and 3 half axes from the centre, a tapped centre within 0.6 of the middle of the
/// ellipse. Tilt up to 60 degrees. Fails: Fault::bad_input, Fault::out_of_range.
[[nodiscard]] Result<NutAngle> angle_on_photo(const PhotoEllipse& edge, const NutMarks& marks);

} // namespace engine
