#include "engine/fit/nut_edge.h"

#include "engine/base/ranges.h"
#include "engine/fit/edge_points.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <bitset>
#include <cmath>
#include <numbers>

namespace engine {
namespace {

using Eigen::Matrix2f;
using EdgeVec = Eigen::Vector2f;

constexpr std::size_t kDirections   = 64;  // bins of the gradient's direction
constexpr int         kCell         = 2;   // px of the vote grid
constexpr int         kCentres      = 6;   // best centres that are tried
constexpr int         kTries        = 400; // ellipses about each of them
constexpr int         kBins         = 72;  // of the round, for coverage
constexpr float       kFlattestEdge = 0.6F;
constexpr float       kNear         = 3.0F; // px: a pair's middle from its centre
constexpr double      kLeastCover   = 0.5;
constexpr double kLeastDense = 0.35; // edge points per px of the round: grain of a picture gives under 0.1

struct Sizes {
    float least, most; ///< radius
};

struct Round { ///< an ellipse: centre + S (cos, sin)
    EdgeVec  centre  = EdgeVec::Zero();
    Matrix2f s       = Matrix2f::Identity();
    Matrix2f inverse = Matrix2f::Identity();
    float    major   = 0;
};

EdgeVec place_of(const EdgePoint& p)
{
    return {p.x, p.y};
}

/// Calls `visit(i, j)` for every pair with opposite gradients, as far apart as a diameter may be, that lies
/// along its gradients as far as a slant allows.
template <class Visit>
void each_pair(const std::vector<EdgePoint>& points, const Sizes& radius, const Visit& visit)
{
    std::array<std::vector<std::size_t>, kDirections> bins;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const float turn = std::atan2(points[i].down, points[i].along) / (2 * std::numbers::pi_v<float>);
        const auto  bin  = static_cast<std::size_t>((turn + 1) * static_cast<float>(kDirections));
        bins.at(bin % kDirections).push_back(i);
    }
    for (std::size_t b = 0; b < kDirections / 2; ++b)
        for (const std::size_t off : {kDirections / 2 - 1, kDirections / 2, kDirections / 2 + 1})
            for (const std::size_t i : bins.at(b))
                for (const std::size_t j : bins.at((b + off) % kDirections)) {
                    const EdgePoint &p = points[i], &q = points[j];
                    const float      dx = q.x - p.x, dy = q.y - p.y, far = dx * dx + dy * dy;
                    if (far < 4 * radius.least * radius.least || far > 4 * radius.most * radius.most)
                        continue;
                    const float along = dx * p.along + dy * p.down;
                    if (along * along > 0.7F * far) visit(i, j); // within 33 degrees
                }
}

struct Votes {
    int                width, height;
    std::vector<float> cells;

    [[nodiscard]] float& at(int x, int y)
    {
        return cells[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                     static_cast<std::size_t>(x)];
    }
};

/// Best cells, each the sum of its neighbourhood; a chosen one clears what is around it.
std::vector<EdgeVec> best_cells(Votes votes)
{
    Votes sums{votes.width, votes.height, std::vector<float>(votes.cells.size())};
    for (int y = 1; y + 1 < votes.height; ++y)
        for (int x = 1; x + 1 < votes.width; ++x)
            for (int j = -1; j <= 1; ++j)
                for (int i = -1; i <= 1; ++i)
                    sums.at(x, y) += votes.at(x + i, y + j);
    std::vector<EdgeVec> best;
    while (best.size() < kCentres) {
        const auto top = std::max_element(sums.cells.begin(), sums.cells.end());
        if (!(*top > 0)) break;
        const auto place = static_cast<int>(top - sums.cells.begin());
        const int  x = place % sums.width, y = place / sums.width;
        best.emplace_back((static_cast<float>(x) + 0.5F) * kCell, (static_cast<float>(y) + 0.5F) * kCell);
        constexpr int kClear = 4;
        for (int j = std::max(0, y - kClear); j <= std::min(sums.height - 1, y + kClear); ++j)
            for (int i = std::max(0, x - kClear); i <= std::min(sums.width - 1, x + kClear); ++i)
                sums.at(i, j) = 0;
    }
    return best;
}

std::vector<EdgeVec> likely_centres(const EdgePoints& edges, const Sizes& radius,
                                    const std::optional<EdgeVec>& hint)
{
    Votes votes{edges.width / kCell + 1, edges.height / kCell + 1, {}};
    votes.cells.resize(static_cast<std::size_t>(votes.width) * static_cast<std::size_t>(votes.height));
    each_pair(edges.points, radius, [&](std::size_t i, std::size_t j) {
        const EdgeVec middle = (place_of(edges.points[i]) + place_of(edges.points[j])) / 2;
        if (hint && (middle - *hint).norm() > 0.5F * radius.most) return;
        votes.at(static_cast<int>(middle[0]) / kCell, static_cast<int>(middle[1]) / kCell) += 1;
    });
    return best_cells(std::move(votes));
}

/// For each centre the points one of whose pairs has it in the middle.
std::vector<std::vector<EdgePoint>> supporters(const EdgePoints& edges, const Sizes& radius,
                                               const std::vector<EdgeVec>& centres)
{
    std::vector<std::vector<char>> marked(centres.size(), std::vector<char>(edges.points.size()));
    each_pair(edges.points, radius, [&](std::size_t i, std::size_t j) {
        const EdgeVec middle = (place_of(edges.points[i]) + place_of(edges.points[j])) / 2;
        for (std::size_t c = 0; c < centres.size(); ++c)
            if ((middle - centres[c]).squaredNorm() < kNear * kNear) marked[c][i] = marked[c][j] = 1;
    });
    std::vector<std::vector<EdgePoint>> all(centres.size());
    for (std::size_t c = 0; c < centres.size(); ++c)
        for (std::size_t i = 0; i < edges.points.size(); ++i)
            if (marked[c][i] != 0) all[c].push_back(edges.points[i]);
    return all;
}

/// The ellipse about `centre` through three points.
std::optional<Round> through(const EdgeVec& centre, const std::array<EdgeVec, 3>& points)
{
    Eigen::Matrix3f rows;
    for (int i = 0; i < 3; ++i) {
        const EdgeVec p = points.at(static_cast<std::size_t>(i)) - centre;
        rows.row(i) << p[0] * p[0], 2 * p[0] * p[1], p[1] * p[1];
    }
    const Eigen::Vector3f m = rows.inverse() * Eigen::Vector3f::Ones();
    if (!m.allFinite() || !(m[0] > 0) || !(m[0] * m[2] > m[1] * m[1])) return std::nullopt;
    Matrix2f quadric;
    quadric << m[0], m[1], m[1], m[2];
    Eigen::SelfAdjointEigenSolver<Matrix2f> solver;
    solver.computeDirect(quadric);
    const EdgeVec values = solver.eigenvalues(); // 1 / axis squared, rising
    if (!(values[0] > 0) || values[0] < kFlattestEdge * kFlattestEdge * values[1]) return std::nullopt;
    return Round{centre, solver.operatorInverseSqrt(), solver.operatorSqrt(), 1 / std::sqrt(values[0])};
}

Round round_of(const PhotoEllipse& e)
{
    Eigen::Matrix2d s;
    s << e.xx_px, e.xy_px, e.xy_px, e.yy_px;
    return {EdgeVec(static_cast<float>(e.centre.x), static_cast<float>(e.centre.y)), s.cast<float>(),
            s.inverse().cast<float>(), static_cast<float>(e.major_px)};
}

/// Whether the point lies within `within` px of the round with a gradient along its normal; its bin then.
std::optional<int> bin_on(const Round& round, const EdgePoint& p, float within, float straight)
{
    const EdgeVec q      = round.inverse * (place_of(p) - round.centre);
    const float   radius = q.norm();
    if (!(radius > 0.5F) || radius > 1.5F) return std::nullopt;
    const EdgeVec on = q / radius;
    if (std::abs(radius - 1) * (round.s * on).norm() > within) return std::nullopt;
    const EdgeVec normal = (round.inverse * on).normalized();
    if (std::abs(normal[0] * p.along + normal[1] * p.down) < straight) return std::nullopt;
    const float turn = std::atan2(on[1], on[0]) / (2 * std::numbers::pi_v<float>);
    return static_cast<int>(std::floor((turn + 1) * kBins)) % kBins;
}

int covered(const Round& round, const std::vector<EdgePoint>& points, float within)
{
    std::bitset<kBins> bins;
    for (const EdgePoint& p : points)
        if (const auto bin = bin_on(round, p, within, 0.9F)) bins.set(static_cast<std::size_t>(*bin));
    return static_cast<int>(bins.count());
}

struct Search {
    const EdgePoints&      edges;
    Sizes                  radius{};
    std::optional<EdgeVec> nut_mark;
};

bool possible(const Round& round, const Search& search)
{
    if (round.major > search.radius.most || round.major * kFlattestEdge < search.radius.least * 0.5F)
        return false;
    if (!search.nut_mark) return true;
    const float at = (round.inverse * (*search.nut_mark - round.centre)).norm();
    return at > 0.55F && at < 1.15F;
}

/// A fixed sequence, so that the same photo always gives the same answer.
class Dice {
  public:
    std::size_t below(std::size_t count)
    {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return (state_ >> 33U) % count;
    }

  private:
    std::uint64_t state_ = 20240611;
};

std::optional<Round> best_round(const Search& search, const std::optional<EdgeVec>& hint)
{
    const auto           centres = likely_centres(search.edges, search.radius, hint);
    const auto           support = supporters(search.edges, search.radius, centres);
    std::optional<Round> best;
    float                best_score = 0;
    Dice                 dice;
    for (std::size_t c = 0; c < centres.size(); ++c) {
        const auto& points = support[c];
        if (points.size() < 20) continue;
        for (int i = 0; i < kTries; ++i) {
            const auto pick  = [&] { return place_of(points[dice.below(points.size())]); };
            const auto round = through(centres[c], {pick(), pick(), pick()});
            if (!round || !possible(*round, search)) continue;
            // Of two rounds alike covered the larger is the nut, the smaller its bore.
            const float score =
                static_cast<float>(covered(*round, points, 2.5F)) + 8 * round->major / search.radius.most;
            if (score > best_score) best_score = score, best = round;
        }
    }
    return best;
}

struct Refined {
    PhotoEllipse       ellipse;
    std::vector<Pixel> points;
    Round              round;
};

/// Fits through the edge points near the round, nearer each time.
std::optional<Refined> refined(const EdgePoints& edges, Round round)
{
    std::optional<Refined> last;
    for (const float within : {3.0F, 2.0F, 1.5F, 1.2F}) {
        std::vector<Pixel> points;
        for (const EdgePoint& p : edges.points)
            if (bin_on(round, p, within, 0.94F)) points.push_back({p.x, p.y});
        const auto fit = fit_ellipse(points, 0.2);
        if (!fit) return std::nullopt;
        round = round_of(*fit);
        last  = Refined{*fit, std::move(points), round};
    }
    return last;
}

Pixel in_photo(const Pixel& p, int scale)
{
    return {(p.x + 0.5) * scale - 0.5, (p.y + 0.5) * scale - 0.5};
}

std::optional<EdgeVec> in_reduced(const std::optional<Pixel>& p, int scale)
{
    if (!p) return std::nullopt;
    return EdgeVec(static_cast<float>((p->x + 0.5) / scale - 0.5),
                   static_cast<float>((p->y + 0.5) / scale - 0.5));
}

Failure nothing_round()
{
    return failure(Fault::not_found,
                   "No round edge of a nut stands out in the photo; tap five or more points of "
                   "it, or take the photo again with the whole nut in view.");
}

std::optional<Failure> bad_image(const GreyImage& image)
{
    const Range side{64, 20'000, "px", 0};
    if (auto bad = out_of(side, image.width, "width of the photo")) return bad;
    if (auto bad = out_of(side, image.height, "height of the photo")) return bad;
    if (image.pixels.size() == static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height))
        return std::nullopt;
    return failure(Fault::bad_input, "The photo's pixels do not fill its width and height.");
}

std::optional<Failure> bad_hint(const GreyImage& image, const std::optional<Pixel>& p, std::string_view what)
{
    if (!p) return std::nullopt;
    if (auto bad = out_of({0, image.width - 1.0, "px", 0}, p->x, std::string(what) + " (x)")) return bad;
    return out_of({0, image.height - 1.0, "px", 0}, p->y, std::string(what) + " (y)");
}

} // namespace

Result<FoundEdge> find_nut_edge(const GreyImage& image, const EdgeHints& hints)
{
    if (auto bad = bad_image(image)) return *bad;
    if (auto bad = bad_hint(image, hints.centre, "centre")) return *bad;
    if (auto bad = bad_hint(image, hints.nut_mark, "mark on the nut")) return *bad;
    const EdgePoints edges   = edge_points(image);
    const auto       shorter = static_cast<float>(std::min(edges.width, edges.height));
    const Search     search{edges,
                        {shorter / 16, 0.55F * static_cast<float>(std::max(edges.width, edges.height))},
                        in_reduced(hints.nut_mark, edges.scale)};
    const auto       round = best_round(search, in_reduced(hints.centre, edges.scale));
    if (!round) return nothing_round();
    const auto fine = refined(edges, *round);
    if (!fine || !possible(fine->round, search)) return nothing_round();

    FoundEdge found;
    found.coverage      = static_cast<double>(covered(fine->round, edges.points, 1.5F)) / kBins;
    const double length = std::numbers::pi * (fine->ellipse.major_px + fine->ellipse.minor_px);
    const auto   count  = static_cast<double>(fine->points.size());
    if (found.coverage < kLeastCover || count < kLeastDense * length) return nothing_round();
    found.points.reserve(fine->points.size());
    for (const Pixel& p : fine->points)
        found.points.push_back(in_photo(p, edges.scale));
    const auto ellipse = fit_ellipse(found.points, 0.2 * edges.scale);
    if (!ellipse) return nothing_round();
    found.ellipse = *ellipse;
    return found;
}

} // namespace engine
