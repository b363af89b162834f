#include "engine/catalogue/export.h"

#include "engine/base/numbers.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

/// The number as entries keep it (whole steps of 10^-places), without idle zeros: "49.2125".
std::string figure_cell(double value, int places)
{
    const double step = std::pow(10.0, places);
    std::string  text = fixed(std::round(value * step) / step, places);
    if (text.find('.') == std::string::npos) return text;
    while (text.back() == '0')
        text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

std::string mm_cell(Millimetres length)
{
    return figure_cell(length.value, 4) + "mm";
}

std::string mm_cell(const std::optional<Millimetres>& length)
{
    return length ? mm_cell(*length) : std::string();
}

std::string torque_cell(NewtonMetres torque)
{
    return figure_cell(torque.value, 3) + "Nm";
}

std::string angle_cell(Degrees angle)
{
    return figure_cell(angle.value, 3) + "deg";
}

/// Whole seconds, in the largest unit that says them shortly.
std::string time_cell(Hours time)
{
    const long long seconds = std::llround(time.value * 3600);
    if (seconds % 3600 == 0) return std::to_string(seconds / 3600) + "h";
    if (seconds % 60 == 0) return std::to_string(seconds / 60) + "min";
    return figure_cell(static_cast<double>(seconds) / 3600, 6) + "h";
}

std::string_view unit_in_files(UnitOf unit)
{
    switch (unit) {
    case UnitOf::um:
        return "um";
    case UnitOf::deg:
        return "deg";
    case UnitOf::celsius:
        return "C";
    case UnitOf::newton_metre:
        return "Nm";
    default:
        return unit_symbol(unit);
    }
}

std::string words_cell(const std::vector<std::string>& words)
{
    std::string text;
    for (const std::string& word : words)
        text += (text.empty() ? "" : " ") + word;
    return text;
}

std::string quoted_cell(const std::string& cell)
{
    if (cell.find_first_of(",;\t\"\r\n'#") == std::string::npos) return cell;
    std::string text = "\"";
    for (const char c : cell)
        text += c == '"' ? std::string("\"\"") : std::string(1, c);
    return text + "\"";
}

void add_cells(std::string& text, const std::vector<std::string>& cells)
{
    std::string row;
    for (std::size_t i = 0; i < cells.size(); ++i)
        row += (i == 0 ? "" : ",") + quoted_cell(guarded(cells[i]));
    text += row + "\r\n";
}

/// "-8K", "-0.5mm": nothing a spreadsheet could run.
bool is_plain_number(std::string_view cell)
{
    if (!cell.starts_with('-')) return false;
    cell.remove_prefix(1);
    const std::size_t end = std::min(cell.find_first_not_of("0123456789."), cell.size());
    return end > 0 && std::ranges::all_of(cell.substr(end), [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
           });
}

/// Behind any apostrophes stands what a spreadsheet takes for a formula.
bool runs_as_formula(std::string_view cell)
{
    const std::size_t first = std::min(cell.find_first_not_of('\''), cell.size());
    const auto        rest  = cell.substr(first);
    return !rest.empty() && std::string_view("=+-@").find(rest.front()) != std::string_view::npos &&
           !is_plain_number(rest);
}

} // namespace

std::string guarded(std::string cell)
{
    return runs_as_formula(cell) ? "'" + std::move(cell) : cell;
}

std::string unguarded(std::string cell)
{
    if (cell.starts_with('\'') && runs_as_formula(cell)) cell.erase(0, 1);
    return cell;
}

std::vector<std::string> cells_of(const UnitSheet& unit)
{
    const auto low = [](const std::optional<LengthLimits>& limits) {
        return limits ? mm_cell(limits->low) : std::string();
    };
    const auto high = [](const std::optional<LengthLimits>& limits) {
        return limits ? mm_cell(limits->high) : std::string();
    };
    return {unit.code,
            unit.revision,
            unit.mount == Mount::flange ? "flange" : "pillow_block",
            unit.split_housing ? "yes" : "no",
            mm_cell(unit.shaft),
            mm_cell(unit.bearing_bore),
            mm_cell(unit.raceway),
            mm_cell(unit.seat_width),
            "1:" + figure_cell(unit.taper, 3),
            figure_cell(unit.pitch.value, 6) + "mm",
            std::to_string(unit.slots),
            std::to_string(unit.tangs),
            angle_cell(unit.turn_min),
            angle_cell(unit.turn_max),
            unit.seat_class,
            unit.seat_form,
            unit.clearance_group,
            low(unit.clearance_before),
            high(unit.clearance_before),
            low(unit.clearance_after),
            high(unit.clearance_after),
            mm_cell(unit.shim),
            mm_cell(unit.float_total),
            std::to_string(unit.bolts),
            unit.bolt_size,
            unit.bolt_class,
            torque_cell(unit.bolt_torque),
            unit.cap_torque ? torque_cell(*unit.cap_torque) : std::string(),
            angle_cell(unit.misalignment_max),
            figure_cell(unit.grease.value, 3) + "g",
            figure_cell(unit.run_in_limit.value, 3) + "C",
            figure_cell(unit.run_in_rise.value, 3) + "K",
            words_cell(unit.asks)};
}

std::vector<std::string> cells_of(const Person& person)
{
    return {person.badge, std::string(name_of(person.role)), {}};
}

std::vector<std::string> cells_of(const Instrument& instrument)
{
    const std::string unit(unit_in_files(instrument.unit));
    const auto        value = [&unit](double figure) { return figure_cell(figure, 6) + unit; };
    return {instrument.tag,
            std::string(name_of(instrument.tool)),
            unit,
            value(instrument.low),
            value(instrument.high),
            value(instrument.resolution),
            value(instrument.error_limit),
            instrument.calibration_due};
}

std::vector<std::string> cells_of(const Job& job, const Position& position)
{
    return {job.number,
            job.title,
            job.asset,
            job.due,
            job.old_bearing_out ? "yes" : "no",
            job.positions.size() > 1 ? mm_cell(job.span) : std::string(),
            figure_cell(job.rise.value, 3) + "K",
            figure_cell(job.alpha.value * 1e6, 3) + "ppm/K",
            job.speed.value > 0 ? figure_cell(job.speed.value, 3) + "rpm" : std::string(),
            time_cell(job.run_in),
            position.letter,
            position.unit_code,
            position.role == Hold::expansion ? "expansion" : "fixed",
            position.serial};
}

std::string csv_of(PlannerFile file, const Catalogue& catalogue)
{
    std::string text = "\xEF\xBB\xBF" + header_row(file) + "\r\n";
    if (file == PlannerFile::units)
        for (const auto& [code, unit] : catalogue.units)
            add_cells(text, cells_of(unit));
    if (file == PlannerFile::people)
        for (const auto& [badge, person] : catalogue.people)
            add_cells(text, cells_of(person));
    if (file == PlannerFile::instruments)
        for (const auto& [tag, instrument] : catalogue.instruments)
            add_cells(text, cells_of(instrument));
    if (file == PlannerFile::jobs)
        for (const auto& [number, job] : catalogue.jobs)
            for (const Position& position : job.positions)
                add_cells(text, cells_of(job, position));
    return text;
}

} // namespace engine
