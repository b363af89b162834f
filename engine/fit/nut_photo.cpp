#include "engine/fit/nut_photo.h"

#include "engine/base/ranges.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace engine {
namespace {

using Vec = Eigen::Vector2d;
using Eigen::Matrix2d;
using Eigen::Matrix3d;
using Matrix5d = Eigen::Matrix<double, 5, 5>;

constexpr double kFlattest = 0.2; // minor over major
constexpr double kDegree   = 180 / std::numbers::pi;
constexpr double kTapShare = 0.006;
constexpr double kFocal = 0.8; // focal length over the larger side: about 64 degrees of view, common practice
constexpr double kCloseUp        = 0.2; // nut radius over distance when nothing is known
constexpr double kMostTilt       = 60;
constexpr double kHeightCoverage = 2; // the height is told for 95 of 100
constexpr double kLargest        = 1e5;

std::optional<Failure> bad_pixel(const Pixel& p, std::string_view what)
{
    const Range range{-kLargest, kLargest, "px", 0};
    if (auto bad = out_of(range, p.x, std::string(what) + " (x)")) return bad;
    return out_of(range, p.y, std::string(what) + " (y)");
}

Failure no_ellipse()
{
    return failure(Fault::bad_input, "The points do not lie on the round edge of a nut; take five or more, "
                                     "spread all round it.");
}

struct Scaled {
    Vec              middle;
    double           scale = 1;
    Eigen::MatrixX2d points; ///< centred, of size about 1
};

Scaled scaled(std::span<const Pixel> edge)
{
    Scaled s;
    s.points.resize(static_cast<Eigen::Index>(edge.size()), 2);
    for (std::size_t i = 0; i < edge.size(); ++i)
        s.points.row(static_cast<Eigen::Index>(i)) << edge[i].x, edge[i].y;
    s.middle = s.points.colwise().mean().transpose();
    s.points.rowwise() -= s.middle.transpose();
    s.scale = std::sqrt(s.points.squaredNorm() / static_cast<double>(edge.size()));
    if (s.scale > 0) s.points /= s.scale;
    return s;
}

/// Conic a x^2 + b xy + c y^2 + d x + e y + f = 0 with 4ac - b^2 > 0; none when the points allow no ellipse.
std::optional<Eigen::Matrix<double, 6, 1>> direct_fit(const Eigen::MatrixX2d& p)
{
    Eigen::MatrixX3d square(p.rows(), 3), linear(p.rows(), 3);
    square << p.col(0).cwiseAbs2(), p.col(0).cwiseProduct(p.col(1)), p.col(1).cwiseAbs2();
    linear << p.col(0), p.col(1), Eigen::VectorXd::Ones(p.rows());
    const Matrix3d                   s1 = square.transpose() * square;
    const Matrix3d                   s2 = square.transpose() * linear;
    const Matrix3d                   s3 = linear.transpose() * linear;
    const Eigen::FullPivLU<Matrix3d> lu(s3);
    if (!lu.isInvertible()) return std::nullopt;
    const Matrix3d t = -lu.solve(s2.transpose());
    const Matrix3d m = s1 + s2 * t;
    Matrix3d       reduced; // inverse of the constraint matrix times m
    reduced << m.row(2) / 2, -m.row(1), m.row(0) / 2;
    const Eigen::EigenSolver<Matrix3d> solver(reduced);
    for (int i = 0; i < 3; ++i) {
        const Eigen::Vector3d v = solver.eigenvectors().col(i).real();
        if (!(4 * v[0] * v[2] - v[1] * v[1] > 0)) continue;
        Eigen::Matrix<double, 6, 1> conic;
        conic << v, t * v;
        return conic;
    }
    return std::nullopt;
}

/// S of the header; none when the conic is no real ellipse.
struct Shape {
    Vec      centre;
    Matrix2d s;
};

std::optional<Shape> shape_of(const Eigen::Matrix<double, 6, 1>& conic)
{
    Matrix2d quadric;
    quadric << conic[0], conic[1] / 2, conic[1] / 2, conic[2];
    const Vec    linear(conic[3], conic[4]);
    const Vec    centre = -0.5 * quadric.inverse() * linear;
    const double level  = -(conic[5] + 0.5 * linear.dot(centre));
    // Points obey (p-c)' M (p-c) = 1.
    const Eigen::SelfAdjointEigenSolver<Matrix2d> solver(quadric / level);
    if (!(solver.eigenvalues().minCoeff() > 0) || !centre.allFinite()) return std::nullopt;
    return Shape{centre, solver.operatorInverseSqrt()};
}

/// Distance from the edge along its normal, first order, and its slopes by centre and S.
struct Distance {
    double                      value{};
    Eigen::Matrix<double, 5, 1> slope;
};

Distance distance_of(const Vec& point, const Shape& shape)
{
    const Matrix2d inverse = shape.s.inverse();
    const Vec      q       = inverse * (point - shape.centre);
    const double   radius  = std::max(q.norm(), 1e-12);
    const Vec      on      = q / radius; // nearest by angle on the unit circle
    const Vec      normal  = (inverse * on).normalized();
    Distance       d;
    d.value = (point - shape.centre - shape.s * on).dot(normal);
    d.slope << normal[0], normal[1], normal[0] * on[0], normal[0] * on[1] + normal[1] * on[0],
        normal[1] * on[1];
    return d;
}

PhotoEllipse in_pixels(const Shape& unit, const Scaled& from, double u_point_px)
{
    const Shape  shape{from.middle + from.scale * unit.centre, from.scale * unit.s};
    PhotoEllipse e;
    e.centre = {shape.centre[0], shape.centre[1]};
    e.xx_px = shape.s(0, 0), e.xy_px = shape.s(0, 1), e.yy_px = shape.s(1, 1);
    const Eigen::SelfAdjointEigenSolver<Matrix2d> axes(shape.s);
    e.minor_px     = axes.eigenvalues()[0];
    e.major_px     = axes.eigenvalues()[1];
    const Vec    v = axes.eigenvectors().col(1);
    const double a = std::atan2(v[1], v[0]) * kDegree;
    e.direction    = Degrees{std::fmod(a + 360, 180)};

    Matrix5d normal = Matrix5d::Zero();
    double   sum    = 0;
    for (Eigen::Index i = 0; i < from.points.rows(); ++i) {
        const Distance d = distance_of(from.middle + from.scale * from.points.row(i).transpose(), shape);
        normal += d.slope * d.slope.transpose();
        sum += d.value * d.value;
    }
    const auto count = static_cast<double>(from.points.rows());
    e.rms_px         = std::sqrt(sum / count);
    const double u   = std::max(u_point_px, count > 5 ? std::sqrt(sum / (count - 5)) : 0.0);
    // A little on the diagonal: points of a short arc leave some of it loose, not endless.
    const Matrix5d covariance = u * u * (normal + 1e-6 * count * Matrix5d::Identity()).inverse();
    for (Eigen::Index i = 0; i < 25; ++i)
        e.covariance.at(static_cast<std::size_t>(i)) = covariance(i / 5, i % 5);
    return e;
}

/// All that the angle hangs on: ellipse 0..4, shaft mark 5 6, nut mark 7 8, middle of the disc 9 10 (where it
/// is not tapped: in units of the circle; where it is: px).
using Inputs = Eigen::Matrix<double, 11, 1>;

/// Direction of a point seen from `middle`, after Klein's translation that brings it to the centre.
double seen_from(const Vec& middle, const Vec& q)
{
    const double away = middle.norm();
    if (away < 1e-12) return std::atan2(q[1], q[0]);
    const Vec    along = middle / away, across(-along[1], along[0]);
    const double x = q.dot(along), y = q.dot(across);
    const Vec    moved = (x - away) * along + y * std::sqrt(1 - away * away) * across;
    return std::atan2(moved[1], moved[0]); // the common divisor 1 - away x is positive before the horizon
}

double turned(const Inputs& in, bool tapped)
{
    Matrix2d s;
    s << in[2], in[3], in[3], in[4];
    const Matrix2d inverse = s.inverse();
    const Vec      centre  = in.head<2>();
    Vec            middle  = in.tail<2>();
    if (tapped) middle = inverse * (middle - centre);
    const double from = seen_from(middle, inverse * (in.segment<2>(5) - centre));
    const double to   = seen_from(middle, inverse * (in.segment<2>(7) - centre));
    return to - from;
}

double wrapped(double radians)
{
    return std::remainder(radians, 2 * std::numbers::pi);
}

/// Change of the angle with each input, by differences.
/// `own_centre`: the shaft's mark goes along with the centre of the nut, being counted from its own.
Inputs slopes_of(const Inputs& in, const PhotoEllipse& edge, bool tapped, bool own_centre)
{
    Inputs       slope   = Inputs::Zero();
    const double step_px = 1e-4 * edge.major_px;
    for (Eigen::Index i = 0; i < in.size(); ++i) {
        const double step = !tapped && i >= 9 ? 1e-4 : step_px;
        Inputs       up = in, down = in;
        up[i] += step, down[i] -= step;
        const Eigen::Index first = tapped ? 9 : 0; // of the nut's centre
        if (own_centre && (i == first || i == first + 1))
            up[5 + i - first] += step, down[5 + i - first] -= step;
        slope[i] = wrapped(turned(up, tapped) - turned(down, tapped)) / (2 * step);
    }
    return slope;
}

/// Standard uncertainty in radians: parts in quadrature, the ellipse with its covariance.
double spread(const Inputs& slope, const Inputs& u, const PhotoEllipse& edge, bool tapped)
{
    const Eigen::Map<const Matrix5d> covariance(edge.covariance.data());
    const double                     shape = slope.head<5>().dot(covariance * slope.head<5>());
    const Inputs                     parts = slope.cwiseProduct(u);
    // A shift of unknown sign along one direction is one part, two taps are two.
    const double middle = tapped ? parts.tail<2>().squaredNorm() : std::pow(parts.tail<2>().sum(), 2);
    return std::sqrt(std::max(shape, 0.0) + parts.segment<4>(5).squaredNorm() + middle);
}

/// What the height of the shaft's end may do, in radians: a shift along the short axis by height x sin(tilt).
double parallax_of(const Inputs& slope, const PhotoEllipse& edge, const NutMarks& marks, double tilt)
{
    if (marks.shaft_centre) return 0;
    const double turn  = edge.direction.value / kDegree;
    const double shift = marks.height / kHeightCoverage * std::sin(tilt) * edge.major_px;
    return std::abs(shift * (slope[6] * std::cos(turn) - slope[5] * std::sin(turn)));
}

std::optional<Failure> bad_marks(const PhotoEllipse& edge, const NutMarks& marks)
{
    if (auto bad = bad_pixel(marks.shaft_mark, "mark on the shaft")) return bad;
    if (auto bad = bad_pixel(marks.nut_mark, "mark on the nut")) return bad;
    if (marks.centre)
        if (auto bad = bad_pixel(*marks.centre, "centre")) return bad;
    if (marks.shaft_centre)
        if (auto bad = bad_pixel(*marks.shaft_centre, "centre of the shaft")) return bad;
    if (auto bad = out_of({0, 1, "nut radii", 1}, marks.height, "height of the shaft's end")) return bad;
    if (auto bad = out_of({0, 1000, "px", 0}, marks.u_tap_px, "uncertainty of a tap")) return bad;
    if (auto bad = out_of({0, kLargest, "px", 0}, marks.image_width_px, "width of the picture")) return bad;
    if (auto bad = out_of({1, kLargest, "px", 0}, edge.major_px, "half axis of the edge")) return bad;
    if (auto bad = out_of({edge.major_px * std::cos(kMostTilt / kDegree), edge.major_px, "px", 1},
                          edge.minor_px, "short half axis of the edge (tilt up to 60 degrees)"))
        return bad;
    return std::nullopt;
}

/// 0.1 to 3 half axes from the middle the angle is seen from.
std::optional<Failure> bad_distance(const Vec& q, const Vec& middle, std::string_view what)
{
    const double away = (q - middle).norm();
    if (away >= 0.1 && away <= 3 && q.dot(middle) < 0.9) return std::nullopt; // short of the horizon
    return failure(Fault::bad_input, "The " + std::string(what) + " lies " +
                                         (away < 0.1 ? "too near to the centre of" : "too far from") +
                                         " the nut; tap the mark again.");
}

} // namespace

Result<PhotoEllipse> fit_ellipse(std::span<const Pixel> edge, double u_point_px)
{
    if (edge.size() < 5)
        return failure(Fault::bad_input,
                       "The edge of the nut needs five points or more, spread all round it.");
    if (auto bad = out_of({0.01, 1000, "px", 2}, u_point_px, "uncertainty of an edge point")) return *bad;
    for (const Pixel& p : edge)
        if (auto bad = bad_pixel(p, "edge point")) return *bad;
    const Scaled points = scaled(edge);
    if (!(points.scale > 0)) return no_ellipse();
    const auto conic = direct_fit(points.points);
    if (!conic) return no_ellipse();
    const auto shape = shape_of(*conic);
    if (!shape) return no_ellipse();
    const PhotoEllipse e = in_pixels(*shape, points, u_point_px);
    if (!(e.minor_px >= kFlattest * e.major_px) || !(e.major_px < 10 * kLargest)) return no_ellipse();
    return e;
}

Result<NutAngle> angle_on_photo(const PhotoEllipse& edge, const NutMarks& marks)
{
    if (auto bad = bad_marks(edge, marks)) return *bad;
    Inputs in;
    in << edge.centre.x, edge.centre.y, edge.xx_px, edge.xy_px, edge.yy_px, marks.shaft_mark.x,
        marks.shaft_mark.y, marks.nut_mark.x, marks.nut_mark.y, 0, 0;
    const bool tapped = marks.centre.has_value();
    if (tapped) in[9] = marks.centre->x, in[10] = marks.centre->y;
    if (marks.shaft_centre) { // the shaft's mark as it stands to its own centre
        const Pixel nut = marks.centre.value_or(edge.centre);
        in[5] += nut.x - marks.shaft_centre->x, in[6] += nut.y - marks.shaft_centre->y;
    }

    Matrix2d s;
    s << in[2], in[3], in[3], in[4];
    const Matrix2d inverse = s.inverse();
    const Vec      middle  = tapped ? Vec(inverse * (in.tail<2>() - in.head<2>())) : Vec(Vec::Zero());
    if (middle.norm() > 0.6)
        return failure(Fault::bad_input,
                       "The centre lies too far from the middle of the edge; tap it again.");
    if (auto bad = bad_distance(inverse * (in.segment<2>(5) - in.head<2>()), middle, "mark on the shaft"))
        return *bad;
    if (auto bad = bad_distance(inverse * (in.segment<2>(7) - in.head<2>()), middle, "mark on the nut"))
        return *bad;

    const double tilt = std::acos(std::min(1.0, edge.minor_px / edge.major_px));
    const double tap  = marks.u_tap_px > 0 ? marks.u_tap_px : kTapShare * edge.major_px;
    Inputs       u    = Inputs::Constant(tap);
    if (marks.shaft_centre) u[5] = u[6] = std::sqrt(2.0) * tap;
    if (!tapped) {
        // The unknown shift lies along the short axis: there the circle's centre is off its ellipse's.
        const double close =
            marks.image_width_px > 0 ? edge.major_px / (kFocal * marks.image_width_px) : kCloseUp;
        const double turn  = edge.direction.value / kDegree;
        const double shift = std::min(close, 0.5) * std::sin(tilt);
        u[9]               = -shift * std::sin(turn);
        u[10]              = shift * std::cos(turn);
    }
    NutAngle found;
    found.tilt         = Degrees{tilt * kDegree};
    found.slanted      = found.tilt > kMostSlant;
    const Inputs slope = slopes_of(in, edge, tapped, marks.shaft_centre.has_value());
    found.parallax     = Degrees{parallax_of(slope, edge, marks, tilt) * kDegree};
    found.u            = Degrees{std::hypot(spread(slope, u, edge, tapped) * kDegree, found.parallax.value)};
    const double seen  = std::fmod(wrapped(turned(in, tapped)) * kDegree + 360, 360);
    found.angle        = Degrees{seen < 360 ? seen : 0}; // a hair below nothing rounds to a full turn
    return found;
}

} // namespace engine
