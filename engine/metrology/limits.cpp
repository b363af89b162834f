#include "engine/metrology/limits.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>

namespace engine {
namespace {

constexpr std::string_view kOver = "nominal_over_mm", kTo = "nominal_to_mm";
// IT14 to IT18 are not to be used up to and including 1 mm: note to table 1 of ISO 286-1, as [NSK_E1102] App.
// Table 11 repeats it.
constexpr int    kCoarseGrade    = 14;
constexpr double kCoarseAbove_mm = 1;

const Result<OwnTable>& grades()
{
    static const Result<OwnTable> table = own_table("iso286_it_grades");
    return table;
}

const Result<OwnTable>& deviations()
{
    static const Result<OwnTable> table = own_table("iso286_shaft_deviations");
    return table;
}

std::optional<Failure> bad_size(Millimetres nominal)
{
    if (nominal.value > 0 && nominal.value <= 500) return std::nullopt;
    const std::string size =
        std::isfinite(nominal.value)
            ? shown_outside(nominal.value, nominal.value > 0 ? 500.0 : 0.0, 0).value + " mm"
            : std::string("not a number");
    return failure(Fault::out_of_range, "The nominal size is " + size +
                                            "; the tables hold sizes above 0 up to and including 500 mm.");
}

std::optional<int> small_number(std::string_view text)
{
    int        value  = 0;
    const auto answer = std::from_chars(text.data(), text.data() + text.size(), value);
    if (text.empty() || text.size() > 2 || text.front() == '-' || answer.ec != std::errc{} ||
        answer.ptr != text.data() + text.size())
        return std::nullopt;
    return value;
}

/// Letter(s) and grade of a class.
struct ShaftClass {
    std::string letter;
    int         grade = 0;
};

std::optional<ShaftClass> read_class(std::string_view text)
{
    const std::size_t digits = text.find_first_of("0123456789");
    if (digits == std::string_view::npos || digits == 0 || digits > 2) return std::nullopt;
    const auto grade = small_number(text.substr(digits));
    if (!grade) return std::nullopt;
    return ShaftClass{std::string(text.substr(0, digits)), *grade};
}

/// Grades that are kept for a letter.
struct Grades {
    std::string_view letters;
    int              least, most;
};
constexpr std::array kGrades{Grades{" h js ", 1, 18}, Grades{" d ", 5, 13}, Grades{" e ", 5, 10},
                             Grades{" f g ", 3, 10},  Grades{" k ", 3, 13}, Grades{" m n ", 3, 9},
                             Grades{" p r s ", 3, 10}};

bool is_kept(const ShaftClass& c)
{
    if (c.letter.find(' ') != std::string::npos) return false;
    for (const Grades& grades : kGrades)
        if (grades.letters.find(" " + c.letter + " ") != std::string_view::npos)
            return c.grade >= grades.least && c.grade <= grades.most;
    return false;
}

/// js is symmetric; an odd tolerance of grades 7 to 11 is first lowered by 1 um.
double half_of(double it, int grade)
{
    if (grade >= 7 && grade <= 11 && std::fmod(it, 2.0) == 1.0) return (it - 1) / 2;
    return it / 2;
}

Result<double> fundamental_deviation(Millimetres nominal, const ShaftClass& c)
{
    // ISO 286-1 gives k a deviation in the grades 4 to 7 only.
    if (c.letter == "k" && (c.grade < 4 || c.grade > 7)) return 0.0;
    const auto& table = deviations();
    if (!table) return table.failure();
    for (std::size_t row = 0; row < table->rows(); ++row)
        if (table->text(row, "letter") == c.letter && table->in_step(row, nominal.value, kOver, kTo))
            if (const auto um = table->number(row, "deviation_um")) return *um;
    return failure(Fault::corrupt, "The table of shaft deviations has no row for this size.");
}

ClassLimits in_millimetres(double lower_um, double upper_um)
{
    ClassLimits limits;
    limits.lower     = Millimetres{lower_um / 1000};
    limits.upper     = Millimetres{upper_um / 1000};
    limits.tolerance = Millimetres{(upper_um - lower_um) / 1000};
    return limits;
}

Failure unknown_class(std::string_view text)
{
    return failure(
        Fault::bad_input,
        "'" + std::string(text.substr(0, 32)) +
            "' is not a shaft class kept here; use h or js with grade 1 to 18, or d, e, f, g, k, m, "
            "n, p, r, s with the grades ISO 286-2 has (5 to 9 for all of them), such as h9.");
}

} // namespace

Result<Micrometres> it_grade(Millimetres nominal, int grade)
{
    if (const auto bad = bad_size(nominal)) return *bad;
    if (const auto bad = out_of({1, 18, "", 0}, grade, "tolerance grade")) return *bad;
    const auto& table = grades();
    if (!table) return table.failure();
    const std::string name = "IT" + std::to_string(grade);
    if (grade >= kCoarseGrade && nominal.value <= kCoarseAbove_mm)
        return failure(Fault::out_of_range, name + " does not exist for a nominal size of " +
                                                fixed(nominal.value, 3) +
                                                " mm; ISO 286-1 has IT14 to IT18 above 1 mm only.");
    for (std::size_t row = 0; row < table->rows(); ++row)
        if (table->text(row, "grade") == name && table->in_step(row, nominal.value, kOver, kTo))
            if (const auto um = table->number(row, "tolerance_um")) return Micrometres{*um};
    return failure(Fault::corrupt, "The table of tolerance grades has no row for this size.");
}

Result<ClassLimits> limits_of(Millimetres nominal, std::string_view iso_class)
{
    if (const auto bad = bad_size(nominal)) return *bad;
    const auto c = read_class(iso_class);
    if (!c || !is_kept(*c)) return unknown_class(iso_class);
    const auto it = it_grade(nominal, c->grade);
    if (!it) return it.failure();
    ClassLimits limits;
    std::string from;
    if (c->letter == "h") {
        limits = in_millimetres(-it->value, 0);
        from   = "grade from [NSK_E1102], upper deviation 0";
    } else if (c->letter == "js") {
        const double half = half_of(it->value, c->grade);
        limits            = in_millimetres(-half, half);
        from              = "half the grade each way, grade from [NSK_E1102], rule [DERIVED]";
    } else {
        const auto deviation = fundamental_deviation(nominal, *c);
        if (!deviation) return deviation.failure();
        const bool below = c->letter < "h";
        limits           = below ? in_millimetres(-*deviation - it->value, -*deviation)
                                 : in_millimetres(*deviation, *deviation + it->value);
        from = "grade from [NSK_E1102], deviation from memory [MEM-ISO286-1]; check against the standard";
    }
    limits.iso_class = c->letter + std::to_string(c->grade);
    limits.source    = "ISO 286, " + limits.iso_class + ": " + from;
    return limits;
}

Result<FormLimit> form_limit(Millimetres nominal, std::string_view text)
{
    const std::size_t bar    = text.find('/');
    const bool        halved = bar != std::string_view::npos;
    const auto        grade  = text.substr(0, 2) == "IT"
                                   ? small_number(text.substr(2, halved ? bar - 2 : std::string_view::npos))
                                   : std::nullopt;
    if (!grade || (halved && text.substr(bar) != "/2"))
        return failure(Fault::bad_input, "'" + std::string(text.substr(0, 32)) +
                                             "' is not a limit of form; write a grade or its half, such as "
                                             "IT5/2.");
    const auto it = it_grade(nominal, *grade);
    if (!it) return it.failure();
    FormLimit limit;
    limit.limit  = Micrometres{halved ? it->value / 2 : it->value};
    limit.text   = std::string(text);
    limit.source = "cylindricity " + limit.text + ", grade from [NSK_E1102]";
    return limit;
}

} // namespace engine
