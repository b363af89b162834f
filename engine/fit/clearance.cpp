#include "engine/fit/clearance.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

constexpr std::array<std::string_view, 4> kPreferred{"SKF_2018", "NKE_2018", "KRW_2006", "TIMKEN_EM"};

const Result<OwnTable>& groups()
{
    static const Result<OwnTable> table = own_table("radial_clearance_spherical_roller");
    return table;
}

const Result<OwnTable>& drive_up()
{
    static const Result<OwnTable> table = own_table("driveup_spherical_roller");
    return table;
}

Result<std::string> known_group(std::string_view group, bool with_ends)
{
    const std::string name = group == "Normal" || group == "normal" ? "CN" : std::string(group.substr(0, 16));
    const bool        end  = name == "C2" || name == "C5";
    if (name == "CN" || name == "C3" || name == "C4" || (with_ends && end)) return name;
    return failure(Fault::bad_input, "'" + name + "' is not a clearance group here; use " +
                                         (with_ends ? "C2, CN, C3, C4 or C5." : "CN, C3 or C4."));
}

Failure no_row(Millimetres bore, double lowest)
{
    if (auto bad = out_of({lowest, 500, "mm", 0}, bore.value, "bore")) return *bad;
    return failure(Fault::not_found, "No table lists a bore of " + fixed(bore.value, 3) +
                                         " mm in this group; take the value of the sheet.");
}

} // namespace

Result<ClearanceRange> clearance_group(Millimetres bore, BoreForm form, std::string_view group)
{
    const auto name = known_group(group, true);
    if (!name) return name.failure();
    const auto& table = groups();
    if (!table) return table.failure();
    const std::string_view shape = form == BoreForm::tapered ? "tapered" : "cylindrical";
    for (const std::string_view source : kPreferred)
        for (std::size_t row = 0; row < table->rows(); ++row) {
            if (table->text(row, "source") != source || table->text(row, "group") != *name ||
                table->text(row, "bore_type") != shape ||
                !table->in_step(row, bore.value, "bore_over_mm", "bore_to_mm"))
                continue;
            const auto low  = table->number(row, "clearance_min_um");
            const auto high = table->number(row, "clearance_max_um");
            if (low && high)
                return ClearanceRange{Micrometres{*low}, Micrometres{*high}, "[" + std::string(source) + "]"};
        }
    return no_row(bore, 18);
}

Result<ClearanceRange> advised_reduction(Millimetres bore)
{
    const auto& table = drive_up();
    if (!table) return table.failure();
    ClearanceRange all{Micrometres{1e9}, Micrometres{0}, ""};
    for (std::size_t row = 0; row < table->rows(); ++row) {
        if (!table->in_step(row, bore.value, "bore_over_mm", "bore_to_mm")) continue;
        const auto low  = table->number(row, "reduction_min_mm");
        const auto high = table->number(row, "reduction_max_mm");
        if (!low || !high) continue;
        all.low  = std::min(all.low, Micrometres{*low * 1000});
        all.high = std::max(all.high, Micrometres{*high * 1000});
        all.source += (all.source.empty() ? "[" : " [") + table->text(row, "source") + "]";
    }
    if (all.source.empty()) return no_row(bore, 24);
    return all;
}

Result<ResidualMinimum> residual_minimum(Millimetres bore, std::string_view group)
{
    const auto name = known_group(group, false);
    if (!name) return name.failure();
    const auto& table = drive_up();
    if (!table) return table.failure();
    const std::string column = "residual_min_" + *name + "_mm";
    ResidualMinimum   most;
    for (std::size_t row = 0; row < table->rows(); ++row) {
        if (!table->in_step(row, bore.value, "bore_over_mm", "bore_to_mm")) continue;
        const auto left = table->number(row, column);
        if (!left || !(*left * 1000 > most.clearance.value)) continue;
        most.clearance = Micrometres{*left * 1000};
        most.source    = "[" + table->text(row, "source") + "]";
    }
    if (most.source.empty()) return no_row(bore, 24);
    return most;
}

} // namespace engine
