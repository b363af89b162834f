#include "engine/catalogue/import_text.h"

#include "engine/base/numbers.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <optional>
#include <string>

namespace engine::import_text {
namespace {

using namespace std::string_view_literals;

constexpr std::size_t kLongestCode  = 24;
constexpr std::size_t kLongestTitle = 80;
constexpr std::array  kDigitPlaces{0U, 1U, 2U, 3U, 5U, 6U, 8U, 9U};
constexpr std::array  kDeviations{"a"sv, "b"sv,  "c"sv, "cd"sv, "d"sv, "e"sv,  "ef"sv, "f"sv, "fg"sv, "g"sv,
                                 "h"sv, "js"sv, "j"sv, "k"sv,  "m"sv, "n"sv,  "p"sv,  "r"sv, "s"sv,  "t"sv,
                                 "u"sv, "v"sv,  "x"sv, "y"sv,  "z"sv, "za"sv, "zb"sv, "zc"sv};
constexpr std::array  kClearanceGroups{"C2"sv, "CN"sv, "C3"sv, "C4"sv, "C5"sv};
constexpr std::array  kMetricClasses{"4.6"sv, "4.8"sv, "5.6"sv,  "5.8"sv, "6.8"sv,
                                    "8.8"sv, "9.8"sv, "10.9"sv, "12.9"sv};
constexpr std::array  kGrades{"grade2"sv, "grade5"sv, "grade8"sv};

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool is_code_sign(char c)
{
    return is_digit(c) || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' || c == '.' ||
           c == '_';
}

/// A whole number without sign, blank or leading zero.
std::optional<int> whole(std::string_view text)
{
    if (text.empty() || text.size() > 6 || !std::ranges::all_of(text, is_digit)) return std::nullopt;
    if (text.size() > 1 && text.front() == '0') return std::nullopt;
    int number = 0;
    std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

bool within(std::string_view text, int low, int high)
{
    const auto number = whole(text);
    return number && *number >= low && *number <= high;
}

template <class Names> bool one_of(const Names& names, std::string_view text)
{
    return std::ranges::find(names, text) != names.end();
}

Result<double> number_before(std::string_view text, std::string_view unit)
{
    if (!text.ends_with(unit))
        return failure(Fault::bad_input, "'" + std::string(text) + "' does not end in its unit " +
                                             std::string(unit) + "; write it behind the number.");
    text.remove_suffix(unit.size());
    while (text.ends_with(' '))
        text.remove_suffix(1);
    return parse_number(text);
}

template <class Q> Result<Q> quantity_before(std::string_view text, std::string_view unit, double scale = 1.0)
{
    const auto number = number_before(text, unit);
    if (!number) return number.failure();
    return Q{*number * scale};
}

} // namespace

bool is_code(std::string_view text)
{
    return !text.empty() && text.size() <= kLongestCode && std::ranges::all_of(text, is_code_sign) &&
           text.front() != '-' && text.front() != '.' && text.front() != '_';
}

bool is_title(std::string_view text)
{
    return !text.empty() && text.size() <= kLongestTitle && std::ranges::none_of(text, [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte < 0x20 || byte == 0x7f;
    });
}

bool is_date(std::string_view text)
{
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    if (!std::ranges::all_of(kDigitPlaces, [&](unsigned place) { return is_digit(text[place]); }))
        return false;
    const auto part = [&](std::size_t from, std::size_t length) {
        int number = 0;
        std::from_chars(text.data() + from, text.data() + from + length, number);
        return number;
    };
    const std::chrono::year_month_day day{std::chrono::year{part(0, 4)},
                                          std::chrono::month{static_cast<unsigned>(part(5, 2))},
                                          std::chrono::day{static_cast<unsigned>(part(8, 2))}};
    return day.ok();
}

bool is_shaft_class(std::string_view text)
{
    const auto grade = std::min(text.find_first_of("0123456789"), text.size());
    return one_of(kDeviations, text.substr(0, grade)) && within(text.substr(grade), 1, 18);
}

bool is_form_limit(std::string_view text)
{
    if (!text.starts_with("IT")) return false;
    text.remove_prefix(2);
    const auto slash = text.find('/');
    if (slash == std::string_view::npos) return within(text, 1, 18);
    return within(text.substr(0, slash), 1, 18) && within(text.substr(slash + 1), 2, 10);
}

bool is_clearance_group(std::string_view text)
{
    return one_of(kClearanceGroups, text);
}

bool is_metric_bolt(std::string_view text)
{
    if (!text.starts_with('M')) return false;
    text.remove_prefix(1);
    const auto times = text.find('x');
    if (!within(text.substr(0, times), 5, 64)) return false;
    if (times == std::string_view::npos) return true;
    const auto pitch = parse_number(text.substr(times + 1));
    return pitch && *pitch >= 0.5 && *pitch <= 6.0;
}

bool is_inch_bolt(std::string_view text)
{
    const auto dash = text.rfind('-');
    if (dash == std::string_view::npos || !within(text.substr(dash + 1), 4, 40)) return false;
    const auto diameter = parse_length(std::string(text.substr(0, dash)) + "in");
    return diameter && *diameter >= Millimetres{4.0} && *diameter <= Millimetres{102.0};
}

bool is_metric_bolt_class(std::string_view text)
{
    return one_of(kMetricClasses, text);
}

bool is_inch_bolt_class(std::string_view text)
{
    return one_of(kGrades, text);
}

bool is_pin(std::string_view text)
{
    return text.size() >= 4 && text.size() <= 12 && std::ranges::all_of(text, is_digit);
}

bool is_letter(std::string_view text)
{
    return text.size() == 1 && text.front() >= 'A' && text.front() <= 'Z';
}

Result<double> parse_taper(std::string_view text)
{
    if (!text.starts_with("1:"))
        return failure(Fault::bad_input, "'" + std::string(text) + "' is no taper; write it as 1:12.");
    return parse_number(text.substr(2));
}

Result<Kelvins> parse_rise(std::string_view text)
{
    return quantity_before<Kelvins>(text, "K");
}

Result<PerKelvin> parse_alpha(std::string_view text)
{
    return quantity_before<PerKelvin>(text, "ppm/K", 1e-6);
}

Result<RevPerMinute> parse_speed(std::string_view text)
{
    return quantity_before<RevPerMinute>(text, "rpm");
}

Result<MmPerSecond> parse_velocity(std::string_view text)
{
    return quantity_before<MmPerSecond>(text, "mm/s");
}

} // namespace engine::import_text
