#include "engine/running/vibration.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <cmath>

namespace engine {
namespace {

/// Decided in whole um/s, so that a boundary is met exactly.
std::int64_t um_s(double mm_s)
{
    return std::llround(mm_s * 1000);
}

char zone_of(std::int64_t rms_um_s, const std::array<MmPerSecond, 3>& boundaries)
{
    char zone = 'A';
    for (const MmPerSecond boundary : boundaries)
        if (rms_um_s > um_s(boundary.value)) ++zone;
    return zone;
}

} // namespace

Result<Support> support_from(std::string_view name)
{
    if (name == "rigid") return Support::rigid;
    if (name == "flexible") return Support::flexible;
    return failure(Fault::bad_input, "'" + std::string(name.substr(0, 32)) +
                                         "' is not a kind of support; give rigid or flexible.");
}

Result<VibrationFigures> vibration_zone(const VibrationCase& machine)
{
    if (const auto bad = out_of({0, 200, "mm/s", 0}, machine.rms.value, "vibration velocity")) return *bad;
    if (const auto bad = out_of({1, 2, "", 0}, machine.group, "machine group")) return *bad;
    if (const auto bad = out_of({0, 50, "%", 0}, machine.u_percent, "uncertainty of the vibration reading"))
        return *bad;
    static const Result<OwnTable> table = own_table("vibration_zones");
    if (!table) return table.failure();
    const std::string_view support = machine.support == Support::rigid ? "rigid" : "flexible";
    for (std::size_t row = 0; row < table->rows(); ++row) {
        if (table->number(row, "group") != machine.group || table->text(row, "support") != support) continue;
        const auto ab = table->number(row, "AB_mm_s_rms"), bc = table->number(row, "BC_mm_s_rms"),
                   cd = table->number(row, "CD_mm_s_rms");
        if (!ab || !bc || !cd) break;
        const std::int64_t rms = um_s(machine.rms.value);
        const auto         u =
            static_cast<std::int64_t>(std::ceil(machine.rms.value * machine.u_percent * 10 - 1e-6));
        VibrationFigures figures;
        figures.boundaries = {MmPerSecond{*ab}, MmPerSecond{*bc}, MmPerSecond{*cd}};
        figures.zone       = zone_of(rms, figures.boundaries);
        figures.worst      = zone_of(rms + u, figures.boundaries);
        figures.verdict    = decide(rms, u, {std::nullopt, um_s(*bc)});
        figures.source     = "[" + table->text(row, "source") + "]";
        if (figures.zone != 'D')
            figures.next_boundary = figures.boundaries.at(static_cast<std::size_t>(figures.zone - 'A'));
        return figures;
    }
    return failure(Fault::corrupt, "The table of vibration zones is not whole.");
}

} // namespace engine
