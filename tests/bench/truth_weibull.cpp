// Bounds of a life from few failures, on lives drawn by the standard library.
#include "engine/evidence/population/weibull.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/bench/truth.h"

namespace truth {
namespace {

struct Held {
    int count = 0, shape = 0, scale = 0, b10 = 0, proven_wrongly = 0;
};

/// `failed` of `total` machines, the rest still running when the last one failed.
std::vector<engine::LifeRecord> fleet(std::mt19937_64& dice, int failed, int total, double shape)
{
    std::weibull_distribution<double> life(shape, 8000);
    std::vector<double>               hours;
    for (int i = 0; i < total; ++i)
        hours.push_back(life(dice));
    std::ranges::sort(hours);
    std::vector<engine::LifeRecord> records;
    for (int i = 0; i < total; ++i)
        records.push_back(
            {"", engine::Hours{hours[static_cast<std::size_t>(std::min(i, failed - 1))]}, i < failed, 1});
    return records;
}

double share(int part, int whole)
{
    return 100.0 * part / std::max(1, whole);
}

} // namespace

std::vector<Row> weibull(int cases, unsigned seed)
{
    std::mt19937_64  dice(seed);
    std::vector<Row> rows;
    for (const int censored : {0, 1}) {
        Held held;
        for (int i = 0; i < cases; ++i) {
            const int    failed = 5 + i % 6;
            const double shape  = i % 3 == 0 ? 0.8 : i % 3 == 1 ? 1.0 : 2.5;
            const auto   fit    = engine::fit_weibull(fleet(dice, failed, failed * (1 + censored), shape));
            if (!fit) continue;
            const double tenth = 8000 * std::pow(std::log(1 / 0.9), 1 / shape);
            ++held.count;
            held.shape += fit->shape_low <= shape && shape <= fit->shape_high ? 1 : 0;
            held.scale += fit->scale_low.value <= 8000 && 8000 <= fit->scale_high.value ? 1 : 0;
            held.b10 += fit->b10_low.value <= tenth && tenth <= fit->b10_high.value ? 1 : 0;
            if (shape == 1.0) held.proven_wrongly += fit->reading.find("told from 1") == std::string::npos;
        }
        const std::string which =
            censored == 0 ? ", 5 to 10 failures" : ", 5 to 10 failures, as many still running";
        rows.push_back({"weibull: shape held by its bounds" + which, share(held.shape, held.count), 93, 97});
        rows.push_back({"weibull: scale held by its bounds" + which, share(held.scale, held.count), 93, 97});
        rows.push_back({"weibull: B10 held by its bounds" + which, share(held.b10, held.count), 93, 97});
        rows.push_back({"weibull: chance called wear or early failure" + which,
                        share(held.proven_wrongly, cases / 3), 0, 7});
    }
    return rows;
}

} // namespace truth
