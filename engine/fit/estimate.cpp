#include "engine/fit/estimate.h"

#include "engine/base/ranges.h"
#include "engine/metrology/instrument.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace engine {
namespace {

constexpr int    kUnknowns = 5, kMostRows = 10;
constexpr int    kS = 0, kC0 = 1, kZ = 2, kM = 3, kF = 4; // see the header
constexpr double kInterval = 1.959964;                    // 95 % of the normal distribution
constexpr double kGross    = 3.290527;                    // 99.9 %
constexpr double kEqual    = 0.02; // of |w|: two suspects that close cannot be told apart
// Readings can only be so alike before their difference is the last digits of a double.
constexpr double kUncheckable = 1e-6;

// 95 % points of chi-square, NIST/SEMATECH e-Handbook 1.3.6.7.4 (from memory; the scipy test has them too).
constexpr std::array kChi95{0.0, 3.841459, 5.991465, 7.814728, 9.487729, 11.070498, 12.591587};

using Normal   = Eigen::Matrix<double, kUnknowns, kUnknowns>;
using State    = Eigen::Matrix<double, kUnknowns, 1>;
using Jacobian = Eigen::Matrix<double, Eigen::Dynamic, kUnknowns, Eigen::ColMajor, kMostRows, kUnknowns>;
using Values   = Eigen::Matrix<double, Eigen::Dynamic, 1, Eigen::ColMajor, kMostRows, 1>;

enum class Kind { turn, sleeve, before, after, torque, zero, model, friction };

struct Row {
    Kind             kind;
    std::string_view name;
    double           value, u;
};

struct Model {
    double           pitch;
    double           taken_per_mm;       ///< r
    double           torque_per_mm  = 0; ///< q
    double           friction_share = 0.1;
    std::vector<Row> rows;
};

double predicted(const Model& model, Kind kind, const State& x)
{
    switch (kind) {
    case Kind::turn:
        return 360 * x[kS] / model.pitch - x[kZ];
    case Kind::sleeve:
        return x[kS] - model.pitch * x[kZ] / 360;
    case Kind::before:
        return x[kC0];
    case Kind::after:
        return x[kC0] - (1 + x[kM]) * model.taken_per_mm * x[kS];
    case Kind::torque:
        return (1 + x[kF]) * model.torque_per_mm * x[kS];
    case Kind::zero:
        return x[kZ];
    case Kind::model:
        return x[kM];
    case Kind::friction:
        return x[kF];
    }
    return 0;
}

/// Derivatives of the prediction by the unknowns.
State slope(const Model& model, Kind kind, const State& x)
{
    State g = State::Zero();
    switch (kind) {
    case Kind::turn:
        g[kS] = 360 / model.pitch, g[kZ] = -1;
        break;
    case Kind::sleeve:
        g[kS] = 1, g[kZ] = -model.pitch / 360;
        break;
    case Kind::before:
        g[kC0] = 1;
        break;
    case Kind::after:
        g[kC0] = 1, g[kS] = -(1 + x[kM]) * model.taken_per_mm, g[kM] = -model.taken_per_mm * x[kS];
        break;
    case Kind::torque:
        g[kS] = (1 + x[kF]) * model.torque_per_mm, g[kF] = model.torque_per_mm * x[kS];
        break;
    case Kind::zero:
        g[kZ] = 1;
        break;
    case Kind::model:
        g[kM] = 1;
        break;
    case Kind::friction:
        g[kF] = 1;
        break;
    }
    return g;
}

struct Check {
    Range            range;
    double           value;
    std::string_view what;
};

template <class Unit>
void add_checks(std::vector<Check>& checks, const std::optional<Read<Unit>>& read, const Range& value,
                const Range& u, std::pair<std::string_view, std::string_view> names)
{
    if (!read) return;
    checks.push_back({value, read->value.value, names.first});
    checks.push_back({u, read->u.value, names.second});
}

std::optional<Failure> bad_ranges(const FitReadings& r)
{
    const Range        turn{0, 1440, "degrees", 0}, u_turn{0.01, 180, "degrees", 2};
    const Range        gap{0, 2, "mm", 0}, u_gap{0.0005, 1, "mm", 4};
    std::vector<Check> checks;
    checks.reserve(20);
    add_checks(checks, r.angle, turn, u_turn, {"angle of the nut", "uncertainty of the angle"});
    add_checks(checks, r.nut_photo, turn, u_turn, {"angle on the photo", "uncertainty of the photo"});
    add_checks(checks, r.sleeve_travel, {0, 30, "mm", 0}, {0.001, 10, "mm", 3},
               {"travel of the sleeve", "uncertainty of the sleeve travel"});
    add_checks(checks, r.clearance_before, gap, u_gap,
               {"clearance before", "uncertainty of the clearance before"});
    add_checks(checks, r.clearance_after, gap, u_gap,
               {"clearance after", "uncertainty of the clearance after"});
    add_checks(checks, r.nut_torque, {0, 200'000, "N.m", 0}, {0.01, 100'000, "N.m", 2},
               {"nut torque", "uncertainty of the nut torque"});
    add_checks(checks, std::optional(r.zero), {-360, 360, "degrees", 0}, u_turn,
               {"zero error", "uncertainty of zero"});
    checks.push_back({{0.001, 0.5, "", 3}, r.model_share, "uncertainty share of the ring model"});
    checks.push_back({{0.02, 0.5, "", 2}, r.friction_low, "lower friction"});
    checks.push_back({{0.02, 0.5, "", 2}, r.friction_high, "upper friction"});
    if (r.delivered_low) checks.push_back({gap, r.delivered_low->value, "lower clearance as delivered"});
    if (r.delivered_high) checks.push_back({gap, r.delivered_high->value, "upper clearance as delivered"});
    if (r.left_low) checks.push_back({gap, r.left_low->value, "lower limit of the clearance left"});
    if (r.left_high) checks.push_back({gap, r.left_high->value, "upper limit of the clearance left"});
    for (const Check& check : checks)
        if (auto bad = out_of(check.range, check.value, check.what)) return bad;
    return std::nullopt;
}

std::optional<Failure> bad_order(const FitReadings& r)
{
    const auto wrong = [](const std::string& what) {
        return failure(Fault::bad_input,
                       "The limits of " + what + " are the wrong way round: the lower one comes first.");
    };
    if (r.delivered_low.has_value() != r.delivered_high.has_value())
        return failure(Fault::bad_input, "Only one limit of the clearance as delivered is given; give both.");
    if (r.delivered_low && *r.delivered_low >= *r.delivered_high) return wrong("the clearance as delivered");
    if (r.left_low && r.left_high && *r.left_low > *r.left_high) return wrong("the clearance left");
    if (r.friction_low >= r.friction_high) return wrong("friction");
    return std::nullopt;
}

std::optional<Failure> too_little(const FitReadings& r)
{
    const bool turned = r.angle || r.nut_photo || r.sleeve_travel || r.nut_torque;
    const bool before = r.clearance_before || r.delivered_low;
    if ((turned && (before || r.clearance_after)) || (before && r.clearance_after)) return std::nullopt;
    return failure(Fault::bad_input,
                   "These readings do not tell both the travel and the clearance; give an angle, a travel or "
                   "a torque with one clearance, or the clearance before and after.");
}

/// What the photo shows, with the whole turns of the angle read.
double unwrapped(const FitReadings& r)
{
    const double shown = r.nut_photo->value.value;
    return r.angle ? shown + 360 * std::round((r.angle->value.value - shown) / 360) : shown;
}

void add_readings(Model& model, const FitReadings& r)
{
    auto& rows = model.rows;
    rows.reserve(kMostRows);
    const auto add = [&rows](Kind kind, std::string_view name, const auto& read) {
        if (read) rows.push_back({kind, name, read->value.value, read->u.value});
    };
    rows.push_back({Kind::zero, "zero", r.zero.value.value, r.zero.u.value});
    add(Kind::after, "clearance_after", r.clearance_after);
    add(Kind::before, "clearance_before", r.clearance_before);
    if (!r.clearance_before && r.delivered_low)
        rows.push_back({Kind::before, "delivered", (*r.delivered_low + *r.delivered_high).value / 2,
                        standard_of_half_width((*r.delivered_high - *r.delivered_low).value / 2)});
    add(Kind::torque, "nut_torque", r.nut_torque);
    add(Kind::sleeve, "sleeve_travel", r.sleeve_travel);
    if (r.nut_photo) rows.push_back({Kind::turn, "nut_photo", unwrapped(r), r.nut_photo->u.value});
    add(Kind::turn, "angle", r.angle);
    rows.push_back({Kind::model, "", 0, r.model_share});
    rows.push_back({Kind::friction, "", 0, model.friction_share});
}

/// Torque at the middle of the friction range, and the range as a share of it.
Status add_torque(Model& model, Taper unit, const FitReadings& r)
{
    if (!r.nut_torque) return Unit{};
    if (!(unit.width.value > 0))
        return failure(Fault::bad_input, "A nut torque says nothing without the width of the ring; give it.");
    std::array<double, 3> torque{};
    const std::array      friction{r.friction_low, (r.friction_low + r.friction_high) / 2, r.friction_high};
    for (std::size_t i = 0; i < torque.size(); ++i) {
        unit.friction = friction.at(i);
        const auto up = draw_up_by_travel(unit, Millimetres{0.1});
        if (!up) return up.failure();
        torque.at(i) = up->nut_torque->value * 10;
    }
    model.torque_per_mm  = torque[1];
    model.friction_share = standard_of_half_width((torque[2] - torque[0]) / 2) / torque[1];
    return Unit{};
}

Result<Model> model_of(const Taper& unit, const FitReadings& readings)
{
    if (auto bad = bad_ranges(readings)) return *bad;
    if (auto bad = bad_order(readings)) return *bad;
    if (auto bad = too_little(readings)) return *bad;
    // The relation is a straight line, so that a small travel gives the slope.
    const auto up = draw_up_by_travel(unit, Millimetres{0.1});
    if (!up) return up.failure();
    Model model{.pitch = unit.pitch.value, .taken_per_mm = up->clearance_taken.value * 10, .rows = {}};
    if (auto torque = add_torque(model, unit, readings); !torque) return torque.failure();
    add_readings(model, readings);
    return model;
}

double value_of(const Model& model, Kind kind, double otherwise)
{
    for (const Row& row : model.rows)
        if (row.kind == kind) return row.value;
    return otherwise;
}

/// A start from the readings themselves.
State first_guess(const Model& model)
{
    const double after = value_of(model, Kind::after, -1), before = value_of(model, Kind::before, -1);
    const double sleeve = value_of(model, Kind::sleeve, -1);
    const double turn   = value_of(model, Kind::turn, -1) * model.pitch / 360;
    State        x      = State::Zero();
    x[kZ]               = value_of(model, Kind::zero, 0);
    if (turn >= 0)
        x[kS] = turn;
    else if (sleeve >= 0)
        x[kS] = sleeve;
    else if (after >= 0 && before >= 0)
        x[kS] = (before - after) / model.taken_per_mm;
    else
        x[kS] = value_of(model, Kind::torque, 0) / model.torque_per_mm;
    x[kC0] = before >= 0 ? before : after + model.taken_per_mm * x[kS];
    return x;
}

struct Fitted {
    State    x          = State::Zero();
    Normal   covariance = Normal::Zero();
    Jacobian slopes;    ///< rows over their uncertainty
    Values   residuals; ///< over their uncertainty
};

void linearise(const Model& model, const State& x, Fitted& at)
{
    const auto rows = static_cast<Eigen::Index>(model.rows.size());
    at.slopes.resize(rows, kUnknowns);
    at.residuals.resize(rows);
    for (Eigen::Index i = 0; i < rows; ++i) {
        const Row& row   = model.rows[static_cast<std::size_t>(i)];
        at.slopes.row(i) = slope(model, row.kind, x).transpose() / row.u;
        at.residuals[i]  = (row.value - predicted(model, row.kind, x)) / row.u;
    }
}

Result<Fitted> fitted(const Model& model)
{
    Fitted fit;
    fit.x                    = first_guess(model);
    bool          settled    = false;
    constexpr int kMostSteps = 60;
    for (int step = 0; step < kMostSteps && !settled; ++step) {
        linearise(model, fit.x, fit);
        const State move = fit.slopes.colPivHouseholderQr().solve(fit.residuals);
        fit.x += move;
        settled = (fit.slopes * move).norm() < 1e-9;
    }
    if (!settled || !fit.x.allFinite())
        return failure(Fault::bad_input, "The readings contradict each other so much that no state of the "
                                         "ring explains them; read them again.");
    linearise(model, fit.x, fit);
    fit.covariance = (fit.slopes.transpose() * fit.slopes).inverse();
    return fit;
}

/// Normalised residuals of what can be wrong: the readings and zero, in the order they are named in.
std::vector<FitResidual> residuals_of(const Model& model, const Fitted& fit)
{
    std::vector<FitResidual> all;
    for (std::size_t i = 0; i < model.rows.size(); ++i) {
        if (model.rows[i].name.empty()) continue;
        const auto   row      = static_cast<Eigen::Index>(i);
        const double leverage = (fit.slopes.row(row) * fit.covariance * fit.slopes.row(row).transpose())(0);
        const double free     = 1 - leverage;
        all.push_back({model.rows[i].name, free > kUncheckable ? fit.residuals[row] / std::sqrt(free) : 0.0});
    }
    return all;
}

void name_misfit(FitEstimate& estimate)
{
    double worst = 0;
    for (const FitResidual& r : estimate.residuals)
        worst = std::max(worst, std::abs(r.normalised));
    if (estimate.dof < 1 || (estimate.consistent && worst < kGross)) return;
    for (const FitResidual& r : estimate.residuals) {
        if (std::abs(r.normalised) < worst * (1 - kEqual)) continue;
        if (estimate.misfit.empty())
            estimate.misfit = r.name;
        else
            estimate.or_else.push_back(r.name);
    }
}

void judge(FitEstimate& estimate, const FitReadings& readings)
{
    if (!readings.left_low && !readings.left_high) return;
    IntegerLimits limits;
    if (readings.left_low) limits.low = to_dum(*readings.left_low);
    if (readings.left_high) limits.high = to_dum(*readings.left_high);
    const Micrometres half = to_micrometres((estimate.high - estimate.low) / 2);
    const Verdict     all  = decide(to_dum(estimate.clearance_left), u_to_dum(half), limits);
    estimate.verdict       = estimate.misfit.empty() ? all : worst(all, Verdict::undecided);
}

} // namespace

Result<FitEstimate> estimate_fit(const Taper& unit, const FitReadings& readings)
{
    const auto model = model_of(unit, readings);
    if (!model) return model.failure();
    const auto fit = fitted(*model);
    if (!fit) return fit.failure();

    const State& x = fit->x;
    FitEstimate  estimate;
    estimate.travel       = Millimetres{x[kS]};
    estimate.u_travel     = Millimetres{std::sqrt(fit->covariance(kS, kS))};
    estimate.zero_error   = Degrees{x[kZ]};
    estimate.u_zero_error = Degrees{std::sqrt(fit->covariance(kZ, kZ))};
    // Left: what a reading after would be, without its own error.
    const State g            = slope(*model, Kind::after, x);
    estimate.clearance_left  = Millimetres{predicted(*model, Kind::after, x)};
    estimate.clearance_taken = Millimetres{x[kC0]} - estimate.clearance_left;
    estimate.chi_square      = fit->residuals.squaredNorm();
    estimate.dof             = static_cast<int>(model->rows.size()) - kUnknowns;
    estimate.chi_limit       = kChi95.at(static_cast<std::size_t>(estimate.dof));
    estimate.consistent      = estimate.dof < 1 || estimate.chi_square <= estimate.chi_limit;
    estimate.residuals       = residuals_of(*model, *fit);
    name_misfit(estimate);

    const double widened      = estimate.consistent ? 1 : std::sqrt(estimate.chi_square / estimate.dof);
    const double u            = widened * std::sqrt((g.transpose() * fit->covariance * g)(0));
    estimate.u_clearance_left = Millimetres{u};
    estimate.low              = estimate.clearance_left - Millimetres{kInterval * u};
    estimate.high             = estimate.clearance_left + Millimetres{kInterval * u};
    judge(estimate, readings);
    return estimate;
}

} // namespace engine
