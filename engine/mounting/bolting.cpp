#include "engine/mounting/bolting.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <array>
#include <cmath>
#include <cstdlib>
#include <numbers>

namespace engine {
namespace {

const Result<OwnTable>& threads()
{
    static const Result<OwnTable> table = own_table("bolt_threads");
    return table;
}

const Result<OwnTable>& classes(bool inch)
{
    static const Result<OwnTable> metric = own_table("bolt_class_metric");
    static const Result<OwnTable> sae    = own_table("bolt_grade_sae");
    return inch ? sae : metric;
}

std::string shown(std::string_view text)
{
    return "'" + std::string(text.substr(0, 32)) + "'";
}

Failure no_class(const BoltThread& thread, std::string_view bolt_class)
{
    return failure(Fault::bad_input,
                   shown(bolt_class) + " is not a bolt class for " + thread.size + "; give " +
                       (thread.inch ? "grade2, grade5 or grade8." : "4.6 to 12.9, such as 8.8."));
}

struct NamedLube {
    std::string_view name;
    double           k;
    std::string_view source;
    double           low, high; ///< of the published values: black finish 0.30, lubricated 0.18 [SHIG9-T8-15]
};
constexpr std::array kLubes{
    NamedLube{"dry", 0.20, "plain, dry [METRICTORQ] [STRIPMETAL], to 0.30 [SHIG9-T8-15]", 0.20, 0.30},
    NamedLube{"oiled", 0.15, "lightly oiled [METRICTORQ] [STRIPMETAL], to 0.18 [SHIG9-T8-15]", 0.15, 0.18},
    NamedLube{"anti-seize", 0.12, "anti-seize paste [SHIG9-T8-15] [STRIPMETAL]", 0.12, 0.12},
};

std::int64_t mnm(double newton_metres)
{
    return std::llround(newton_metres * 1000);
}

} // namespace

Result<BoltThread> bolt_thread(std::string_view size)
{
    const auto& table = threads();
    if (!table) return table.failure();
    for (std::size_t row = 0; row < table->rows(); ++row) {
        if (table->text(row, "size") != size) continue;
        const auto diameter = table->number(row, "diameter_mm");
        const auto pitch    = table->number(row, "pitch_mm");
        const auto area     = table->number(row, "stress_area_mm2");
        if (!diameter || !pitch || !area) break;
        BoltThread thread;
        thread.size        = table->text(row, "size");
        thread.diameter    = Millimetres{*diameter};
        thread.pitch       = ThreadPitch{*pitch};
        thread.stress_area = SquareMillimetres{*area};
        thread.inch        = table->text(row, "series").starts_with("UN");
        thread.source      = "[" + table->text(row, "source") + "]";
        return thread;
    }
    return failure(Fault::bad_input,
                   shown(size) + " is not a bolt size kept here; give a metric size M6 to M39, a fine "
                                 "one such as M16x1.5, or an inch size with its threads, UNC or UNF, "
                                 "such as 5/8-11.");
}

Result<SquareMillimetres> stress_area(Millimetres diameter, ThreadPitch pitch, bool inch)
{
    if (const auto bad = out_of({1, 100, "mm", 0}, diameter.value, "bolt diameter")) return *bad;
    if (const auto bad = out_of({0.1, diameter.value / 2, "mm", 2}, pitch.value, "pitch of the bolt"))
        return *bad;
    const double stressed = diameter.value - (inch ? 0.9743 : 0.9382) * pitch.value;
    return SquareMillimetres{std::numbers::pi / 4 * stressed * stressed};
}

Result<ProofStress> proof_stress(const BoltThread& thread, std::string_view bolt_class)
{
    const auto& table = classes(thread.inch);
    if (!table) return table.failure();
    std::string_view name = bolt_class;
    if (thread.inch && name.substr(0, 5) == "grade") name.remove_prefix(5);
    const std::string_view column = thread.inch ? "grade" : "property_class";
    bool                   known  = false;
    for (std::size_t row = 0; row < table->rows(); ++row) {
        if (table->text(row, column) != name) continue;
        known            = true;
        const auto least = table->number(row, "d_min_mm");
        const auto most  = table->number(row, "d_max_mm");
        const auto proof = table->number(row, "proof_MPa"), tensile = table->number(row, "tensile_min_MPa");
        if (!least || !most || !proof || !tensile) continue;
        if (thread.diameter.value >= *least - 1e-3 && thread.diameter.value <= *most + 1e-3)
            return ProofStress{Megapascals{*proof}, Megapascals{*tensile},
                               "[" + table->text(row, "source") + "]"};
    }
    if (!known) return no_class(thread, bolt_class);
    return failure(Fault::bad_input, "Class " + std::string(name) + " is not made in the size " +
                                         thread.size + "; read the class on the bolt head again.");
}

Result<NutFactor> lube_factor(std::string_view lube)
{
    for (const NamedLube& known : kLubes)
        if (known.name == lube) return NutFactor{known.k, std::string(known.source), known.low, known.high};
    const auto k = parse_number(lube);
    if (!k)
        return failure(Fault::bad_input, shown(lube) +
                                             " is not a state of lubrication kept here; give dry, oiled, "
                                             "anti-seize or the nut factor K itself, such as 0.18.");
    if (const auto bad = out_of({0.08, 0.5, "", 2}, *k, "nut factor K")) return *bad;
    return NutFactor{*k, "nut factor as given"};
}

Result<double> nut_factor_by_friction(const BoltThread& thread, double thread_friction,
                                      double collar_friction)
{
    constexpr Range kFriction{0.02, 0.6, "", 2};
    if (const auto bad = out_of(kFriction, thread_friction, "friction in the thread")) return *bad;
    if (const auto bad = out_of(kFriction, collar_friction, "friction under the head")) return *bad;
    if (const auto bad = stress_area(thread.diameter, thread.pitch, thread.inch); !bad) return bad.failure();
    const double d = thread.diameter.value, d2 = d - 0.649519 * thread.pitch.value;
    const double lead = thread.pitch.value / (std::numbers::pi * d2);
    const double rub  = thread_friction / std::cos(std::numbers::pi / 6);
    return d2 / (2 * d) * (lead + rub) / (1 - rub * lead) + 0.625 * collar_friction;
}

Result<Tightening> tightening(const BoltThread& thread, Megapascals proof, double k, double share_of_proof)
{
    if (const auto bad = out_of({1, 100, "mm", 0}, thread.diameter.value, "bolt diameter")) return *bad;
    if (const auto bad = out_of({0.5, 10'000, "mm2", 1}, thread.stress_area.value, "stress area"))
        return *bad;
    if (const auto bad = out_of({50, 2000, "MPa", 0}, proof.value, "proof stress")) return *bad;
    if (const auto bad = out_of({0.08, 0.5, "", 2}, k, "nut factor K")) return *bad;
    if (const auto bad = out_of({0.1, 0.9, "", 1}, share_of_proof, "share of the proof load")) return *bad;
    const double newtons = share_of_proof * proof.value * thread.stress_area.value;
    return Tightening{Kilonewtons{newtons / 1000}, NewtonMetres{k * newtons * thread.diameter.value / 1000}};
}

Result<PreloadRange> preload_range(const BoltThread& thread, Megapascals proof, const NutFactor& factor,
                                   double share_of_proof)
{
    const auto load = tightening(thread, proof, factor.k, share_of_proof);
    if (!load) return load.failure();
    const double least  = (factor.k_low > 0 ? factor.k_low : factor.k) * (1 - kBoltScatter);
    const double most   = (factor.k_high > 0 ? factor.k_high : factor.k) * (1 + kBoltScatter);
    const double at_one = load->preload.value * factor.k; // preload times K: what the torque fixes
    PreloadRange range{Kilonewtons{at_one / most}, Kilonewtons{at_one / least}};
    range.over_proof = range.high.value * 1000 > proof.value * thread.stress_area.value;
    return range;
}

std::vector<Pass> tightening_passes(int bolts)
{
    if (bolts >= 12) return {{0.2, false}, {0.4, false}, {0.8, false}, {1.0, false}, {1.0, true}};
    return {{0.3, false}, {0.6, false}, {1.0, false}, {1.0, true}};
}

Result<std::vector<int>> cross_order(int bolts)
{
    if (const auto bad = out_of({2, 24, "", 0}, bolts, "number of bolts")) return *bad;
    // Halve while even: the rest is a star of an odd number (or one bolt), then every start is followed by
    // its opposite on the way back up.
    int odd = bolts;
    while (odd % 2 == 0)
        odd /= 2;
    std::vector<int> order;
    order.reserve(static_cast<std::size_t>(bolts));
    const int step = odd == 1 ? 1 : (odd - 1) / 2;
    for (int i = 0; i < odd; ++i)
        order.push_back(i * step % odd + 1);
    for (int count = odd; count < bolts; count *= 2) {
        std::vector<int> paired;
        paired.reserve(2 * order.size());
        for (const int start : order) {
            paired.push_back(start);
            paired.push_back(start + count);
        }
        order = std::move(paired);
    }
    return order;
}

Result<Verdict> torque_verdict(const TorqueCheck& check)
{
    if (const auto bad = out_of({0.1, 10'000, "N.m", 1}, check.wanted.value, "torque wanted")) return *bad;
    if (const auto bad = out_of({0, 20'000, "N.m", 0}, check.read.value, "torque read")) return *bad;
    if (const auto bad = out_of({1, 30, "%", 0}, check.tolerance_percent, "tolerance of the torque"))
        return *bad;
    if (const auto bad = out_of({0, 20, "%", 0}, check.wrench_percent, "error of the wrench")) return *bad;
    const double room = check.wanted.value * check.tolerance_percent / 100;
    return decide(mnm(check.read.value), mnm(check.read.value * check.wrench_percent / 100),
                  {mnm(check.wanted.value - room), mnm(check.wanted.value + room)});
}

} // namespace engine
