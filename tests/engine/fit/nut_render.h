#pragma once
// A nut photographed at a slant, drawn by the test: an exact camera (every pixel's ray meets the plane of the
// nut's face), a disc with slots, bore and thread, a washer and a housing behind it, then blur and noise.
#include "engine/fit/nut_edge.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

namespace support {

struct NutScene {
    int      width = 800, height = 600;     ///< px
    double   tilt_deg = 0, heading_deg = 0; ///< how far the face is turned away, and to which side
    double   roll_deg  = 20;                ///< where the shaft mark stands
    double   angle_deg = 90;                ///< from the shaft mark to the nut mark, clockwise as seen
    double   radius_px = 180;               ///< of the nut, face on
    double   distance  = 12;                ///< of the camera, in nut radii
    double   off_x = 0, off_y = 0;          ///< of the nut's centre from the middle of the picture, px
    double   noise = 4;                     ///< grey levels, standard
    int      blur  = 1;                     ///< px each way
    unsigned seed  = 1;
};

struct NutPicture {
    std::vector<std::uint8_t> pixels;
    engine::Pixel             centre, shaft_mark, nut_mark; ///< exact
    engine::GreyImage         image() const { return {pixels, width, height}; }
    int                       width = 0, height = 0;
};

class NutRenderer {
  public:
    explicit NutRenderer(const NutScene& scene) : s_(scene)
    {
        const double t = radians(s_.tilt_deg), h = radians(s_.heading_deg);
        // The face turns by t about the axis (cos h, sin h, 0) in the picture plane.
        const double c = std::cos(t), k = 1 - c, x = std::cos(h), y = std::sin(h), w = std::sin(t);
        const double m[3][2] = {{c + x * x * k, x * y * k}, {x * y * k, c + y * y * k}, {-y * w, x * w}};
        for (int i = 0; i < 3; ++i)
            u_[i] = m[i][0], v_[i] = m[i][1];
        focal_ = s_.radius_px * s_.distance;
    }

    /// Where a point of the face (in nut radii) falls.
    engine::Pixel project(double a, double b) const
    {
        const double x = a * u_[0] + b * v_[0], y = a * u_[1] + b * v_[1];
        const double z = s_.distance + a * u_[2] + b * v_[2];
        return {focal_ * x / z + middle_x(), focal_ * y / z + middle_y()};
    }

    NutPicture picture() const
    {
        NutPicture p;
        p.width = s_.width, p.height = s_.height;
        p.centre           = project(0, 0);
        const double shaft = radians(s_.roll_deg), nut = radians(s_.roll_deg + s_.angle_deg);
        p.shaft_mark = project(0.5 * std::cos(shaft), 0.5 * std::sin(shaft));
        p.nut_mark   = project(0.85 * std::cos(nut), 0.85 * std::sin(nut));
        std::vector<float> grey(static_cast<std::size_t>(s_.width) * static_cast<std::size_t>(s_.height));
        std::size_t        i = 0;
        for (int y = 0; y < s_.height; ++y)
            for (int x = 0; x < s_.width; ++x)
                grey[i++] = static_cast<float>(seen(x, y));
        for (int pass = 0; pass < 2 && s_.blur > 0; ++pass)
            box(grey);
        std::mt19937                     dice(s_.seed);
        std::normal_distribution<double> noise(0, s_.noise);
        p.pixels.reserve(grey.size());
        for (const float value : grey)
            p.pixels.push_back(static_cast<std::uint8_t>(
                std::clamp(static_cast<double>(value) + (s_.noise > 0 ? noise(dice) : 0), 0.0, 255.0)));
        return p;
    }

  private:
    static double radians(double degrees) { return degrees * std::numbers::pi / 180; }
    double        middle_x() const { return s_.width / 2.0 + s_.off_x; }
    double        middle_y() const { return s_.height / 2.0 + s_.off_y; }

    double seen(double px, double py) const
    {
        // Ray (dx, dy, 1) meets the plane through (0, 0, distance) spanned by u and v.
        const double dx = (px - middle_x()) / focal_, dy = (py - middle_y()) / focal_;
        const double a1 = u_[0] - dx * u_[2], b1 = v_[0] - dx * v_[2], c1 = dx * s_.distance;
        const double a2 = u_[1] - dy * u_[2], b2 = v_[1] - dy * v_[2], c2 = dy * s_.distance;
        const double det = a1 * b2 - a2 * b1;
        return shade((c1 * b2 - c2 * b1) / det, (a1 * c2 - a2 * c1) / det, px, py);
    }

    double shade(double a, double b, double px, double py) const
    {
        const double r = std::hypot(a, b), turn = std::atan2(b, a);
        const double from_nut = turn - radians(s_.roll_deg + s_.angle_deg);
        if (r < 0.62) { // shaft end and thread
            const double mark = std::remainder(turn - radians(s_.roll_deg), 2 * std::numbers::pi);
            if (r > 0.35 && std::abs(mark) * r < 0.03) return 235;
            return r < 0.55 ? 120 + 12 * std::sin(40 * a) : 70;
        }
        if (r < 1) { // the nut's face with four slots
            const double slot = std::remainder(from_nut - 0.6, std::numbers::pi / 2);
            if (r > 0.86 && std::abs(slot) < 0.12) return 60;
            const double mark = std::remainder(from_nut, 2 * std::numbers::pi);
            if (r > 0.7 && std::abs(mark) * r < 0.03) return 240;
            return 165 + 20 * a;
        }
        const double tang = std::remainder(turn * 13, 2 * std::numbers::pi);
        if (r < 1.12 && std::abs(tang) < 1.2) return 95; // washer
        if (r < 1.7) return 45 + 10 * b;                 // housing
        return 80 + 25 * std::sin(px / 37) + 25 * std::sin(py / 23 + px / 90);
    }

    void box(std::vector<float>& grey) const
    {
        const std::vector<float> in(grey);
        const auto               at = [&](int x, int y) {
            x = std::clamp(x, 0, s_.width - 1), y = std::clamp(y, 0, s_.height - 1);
            return in[static_cast<std::size_t>(y) * static_cast<std::size_t>(s_.width) +
                      static_cast<std::size_t>(x)];
        };
        std::size_t i = 0;
        for (int y = 0; y < s_.height; ++y)
            for (int x = 0; x < s_.width; ++x) {
                float sum = 0;
                for (int k = -s_.blur; k <= s_.blur; ++k)
                    sum += at(x + k, y) + at(x, y + k);
                grey[i++] = sum / static_cast<float>(2 * (2 * s_.blur + 1));
            }
    }

    NutScene s_;
    double   u_[3]{}, v_[3]{};
    double   focal_ = 1;
};

} // namespace support
