#include "engine/base/numbers.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <initializer_list>
#include <optional>
#include <span>
#include <utility>

namespace engine {
namespace {

constexpr double           kLargest     = 1e15; // beyond it a double no longer keeps every 0.1
constexpr std::size_t      kLongestText = 64;
constexpr std::string_view kBlanks      = " \t\r\n";

std::string_view trimmed(std::string_view text)
{
    const std::size_t first = text.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/// What stands in quotes in a complaint: a text of any length must not flood the sentence.
std::string quoted(std::string_view text)
{
    if (text.size() > kLongestText) return "'" + std::string(text.substr(0, kLongestText)) + "..'";
    return "'" + std::string(text) + "'";
}

/// One unit a text may carry: the value in the wanted unit is number * factor + offset.
struct UnitName {
    std::string_view name;
    double           factor    = 1;
    double           offset    = 0;
    bool             fractions = false; ///< inch only
    bool             inverse   = false; ///< threads per inch: factor / number
};

struct Kind {
    std::string_view          article_noun; ///< "a length"
    std::string_view          takes;        ///< "mm, um, in or thou"
    std::string_view          example;
    std::span<const UnitName> units;
    std::string (*plain)(std::string_view) = nullptr; ///< brings the many spellings of a unit to one
};

/// The number ends with the last digit or decimal mark; what follows is the unit.
std::pair<std::string_view, std::string_view> number_and_unit(std::string_view text)
{
    const std::size_t end = text.find_last_of("0123456789.,");
    // "N.m" and "lbf.ft" have their mark inside the unit, so only a mark that touches a digit counts.
    std::size_t cut = end == std::string_view::npos ? 0 : end + 1;
    while (cut > 0 && !is_digit(text[cut - 1]))
        --cut;
    if (cut < text.size() && (text[cut] == '.' || text[cut] == ',')) ++cut;
    return {trimmed(text.substr(0, cut)), trimmed(text.substr(cut))};
}

std::optional<int> whole_number(std::string_view text)
{
    int        value  = 0;
    const auto answer = std::from_chars(text.data(), text.data() + text.size(), value);
    if (text.empty() || !is_digit(text.front()) || answer.ec != std::errc{} ||
        answer.ptr != text.data() + text.size() || value > 1'000'000)
        return std::nullopt;
    return value;
}

/// "15/16", "1-15/16", "1 15/16", with a leading minus if need be.
std::optional<double> fraction(std::string_view text)
{
    double sign = 1;
    if (!text.empty() && text.front() == '-') sign = -1, text.remove_prefix(1);
    std::optional<int> whole = 0;
    if (const std::size_t join = text.find_first_of("- "); join != std::string_view::npos) {
        whole = whole_number(trimmed(text.substr(0, join)));
        text  = trimmed(text.substr(join + 1));
    }
    const std::size_t bar = text.find('/');
    if (bar == std::string_view::npos) return std::nullopt;
    const auto above = whole_number(text.substr(0, bar));
    const auto below = whole_number(text.substr(bar + 1));
    // "1-17/16" and "0/0" are slips of the finger, not lengths.
    if (!whole || !above || !below || *below == 0 || *below > 1024 || *above >= *below) return std::nullopt;
    return sign * (*whole + static_cast<double>(*above) / *below);
}

Failure complaint(std::string_view text, const Kind& kind, std::string_view trouble)
{
    return failure(Fault::bad_input, quoted(text) + " " + std::string(trouble) + "; give " +
                                         std::string(kind.article_noun) + " in " + std::string(kind.takes) +
                                         ", such as " + std::string(kind.example) + ".");
}

Failure comma_complaint(std::string_view text, const std::pair<std::string, std::string>& both)
{
    return failure(Fault::bad_input, quoted(text) + " can be " + both.first + " and " + both.second +
                                         "; write one of them, without a comma.");
}

Result<double> number_of(std::string_view number, bool fractions)
{
    if (number.find('/') == std::string_view::npos) return parse_number(number);
    if (const auto value = fraction(number); fractions && value) return *value;
    return failure(Fault::bad_input, quoted(number) + " is not a fraction of an inch, such as 1-15/16.");
}

Result<double> parse_with_unit(std::string_view text, const Kind& kind)
{
    const std::string_view whole = trimmed(text);
    if (whole.empty()) return complaint(text, kind, "is empty");
    if (whole.size() > kLongestText) return complaint(text, kind, "is too long");
    const auto [number, unit] = number_and_unit(whole);
    if (number.empty()) return complaint(text, kind, "has no number");
    if (unit.empty()) {
        const bool bare = parse_number(number).has_value() || fraction(number).has_value();
        return complaint(text, kind, bare ? "has no unit" : "is not a number with a unit");
    }
    const std::string name = kind.plain == nullptr ? std::string(unit) : kind.plain(unit);
    const auto        known =
        std::find_if(kind.units.begin(), kind.units.end(), [&](const UnitName& u) { return u.name == name; });
    if (known == kind.units.end())
        return complaint(text, kind, "has a unit that does not belong here ('" + std::string(unit) + "')");
    if (const auto both = two_readings(whole)) return comma_complaint(whole, *both);
    const auto value = number_of(number, known->fractions);
    if (!value) return complaint(text, kind, "is not a number with a unit");
    if (known->inverse) {
        if (!(*value > 0)) return complaint(text, kind, "must be above zero");
        return known->factor / *value;
    }
    return *value * known->factor + known->offset;
}

constexpr double kInch = kMillimetresPerInch;

constexpr std::array kLengthUnits{
    UnitName{"mm"},
    UnitName{"um", 1e-3},
    UnitName{"\u00b5m", 1e-3}, // micro sign
    UnitName{"\u03bcm", 1e-3}, // Greek mu
    UnitName{"in", kInch, 0, true},
    UnitName{"inch", kInch, 0, true},
    UnitName{"\"", kInch, 0, true},
    UnitName{"thou", kInch / 1000},
};
constexpr std::array kPitchUnits{
    UnitName{"mm"},
    UnitName{"in", kInch, 0, true},
    UnitName{"inch", kInch, 0, true},
    UnitName{"tpi", kInch, 0, false, true},
};
constexpr std::array kAngleUnits{
    UnitName{"deg"},
    UnitName{"\u00b0"},
    UnitName{"turn", 360},
    UnitName{"turns", 360},
};
constexpr double     kPerFahrenheit = 5.0 / 9.0;
constexpr std::array kTemperatureUnits{
    UnitName{"C"},
    UnitName{"\u00b0C"},
    UnitName{"degC"},
    UnitName{"F", kPerFahrenheit, -32 * kPerFahrenheit},
    UnitName{"\u00b0F", kPerFahrenheit, -32 * kPerFahrenheit},
    UnitName{"degF", kPerFahrenheit, -32 * kPerFahrenheit},
};
// Exact by definition: 1 lb = 0.45359237 kg, standard gravity 9.80665 m/s2 (1 lbf = 4.4482216152605 N), 1 in
// = 0.0254 m, 1 ft = 0.3048 m (SI brochure, NIST SP 811 appendix B).
constexpr double     kPoundForceInch = 0.45359237 * 9.80665 * 0.0254;
constexpr double     kPoundForceFoot = 0.45359237 * 9.80665 * 0.3048;
constexpr std::array kTorqueUnits{
    UnitName{"Nm"},
    UnitName{"lbft", kPoundForceFoot},
    UnitName{"lbin", kPoundForceInch},
};

/// "lbf·ft", "lb ft", "ft-lb", "lbf_ft" -> "lbft"; "N·m" -> "Nm". Wrenches are marked in all these ways.
std::string plain_torque_unit(std::string_view unit)
{
    std::string plain(unit);
    for (const std::string_view join : {" ", ".", "-", "_", "\u00b7", "\u22c5"})
        for (std::size_t at = plain.find(join); at != std::string::npos; at = plain.find(join))
            plain.erase(at, join.size());
    for (const std::string_view other : {"lbfft", "ftlb", "ftlbf"})
        if (plain == other) return "lbft";
    for (const std::string_view other : {"lbfin", "inlb", "inlbf"})
        if (plain == other) return "lbin";
    return plain;
}

constexpr std::array kDurationUnits{UnitName{"h"}, UnitName{"min", 1.0 / 60}};
constexpr std::array kMassUnits{UnitName{"g"}, UnitName{"kg", 1000}, UnitName{"oz", 28.349523125}};

constexpr Kind kLength{"a length", "mm, um, in or thou", "49.972mm or 1-15/16in", kLengthUnits};
constexpr Kind kPitch{"a thread pitch", "mm, in or tpi", "1.5mm or 18tpi", kPitchUnits};
constexpr Kind kAngle{"an angle", "deg or turn", "95deg or 0.75turn", kAngleUnits};
constexpr Kind kTemperature{"a temperature", "C or F", "31C", kTemperatureUnits};
constexpr Kind kTorque{"a torque", "Nm, lb\u00b7ft or lb\u00b7in", "40Nm", kTorqueUnits, plain_torque_unit};
constexpr Kind kDuration{"a duration", "h or min", "8h or 45min", kDurationUnits};
constexpr Kind kMass{"a mass", "g, kg or oz", "12g", kMassUnits};

} // namespace

std::optional<std::pair<std::string, std::string>> two_readings(std::string_view text)
{
    constexpr std::string_view kInNumbers = "0123456789.,";
    const std::string_view     whole      = trimmed(text.substr(0, kLongestText + 1));
    const std::size_t          comma      = whole.find(',');
    if (comma == std::string_view::npos || comma == 0 || whole.size() > kLongestText) return std::nullopt;
    const std::size_t begin  = whole.find_last_not_of(kInNumbers, comma) + 1; // npos + 1 is 0
    const std::size_t end    = std::min(whole.find_first_not_of(kInNumbers, comma), whole.size());
    const auto        front  = whole.substr(begin, comma - begin);
    const auto        back   = whole.substr(comma + 1, end - comma - 1);
    const auto        digits = [](std::string_view part) { return std::ranges::all_of(part, is_digit); };
    if (front.empty() || front.front() == '0' || !digits(front) || back.size() != 3 || !digits(back))
        return std::nullopt;
    std::string thousands(whole), decimals(whole);
    thousands.erase(comma, 1);
    decimals[comma] = '.';
    return std::pair{std::move(thousands), std::move(decimals)};
}

Result<double> parse_number(std::string_view text)
{
    if (const auto both = two_readings(text)) return comma_complaint(trimmed(text), *both);
    return parse_kept_number(text);
}

Result<double> parse_kept_number(std::string_view text)
{
    const std::string_view whole = trimmed(text);
    if (whole.empty()) return failure(Fault::bad_input, "A number is missing.");
    const auto not_one = [&] { return failure(Fault::bad_input, quoted(text) + " is not a number."); };
    if (whole.size() > kLongestText) return not_one();
    std::string ascii(whole);
    if (ascii.size() > 1 && ascii.front() == '+' && ascii[1] != '-') ascii.erase(0, 1);
    std::replace(ascii.begin(), ascii.end(), ',', '.');
    const std::size_t first = ascii.find_first_not_of('-');
    if (first == std::string::npos || (!is_digit(ascii[first]) && ascii[first] != '.'))
        return not_one(); // also stops nan and inf
    double     value  = 0;
    const auto answer = std::from_chars(ascii.data(), ascii.data() + ascii.size(), value);
    if (answer.ec == std::errc::result_out_of_range)
        return failure(Fault::out_of_range, quoted(text) + " is too large or too small to be a reading.");
    if (answer.ec != std::errc{} || answer.ptr != ascii.data() + ascii.size()) return not_one();
    if (!(std::abs(value) <= kLargest))
        return failure(Fault::out_of_range, quoted(text) + " is too large to be a reading.");
    return value;
}

Result<Millimetres> parse_length(std::string_view text)
{
    const auto value = parse_with_unit(text, kLength);
    if (!value) return value.failure();
    return Millimetres{*value};
}

Result<ThreadPitch> parse_pitch(std::string_view text)
{
    const auto value = parse_with_unit(text, kPitch);
    if (!value) return value.failure();
    if (!(*value > 0)) return complaint(text, kPitch, "must be above zero");
    return ThreadPitch{*value};
}

Result<Degrees> parse_angle(std::string_view text)
{
    const auto value = parse_with_unit(text, kAngle);
    if (!value) return value.failure();
    return Degrees{*value};
}

Result<Celsius> parse_temperature(std::string_view text)
{
    const auto value = parse_with_unit(text, kTemperature);
    if (!value) return value.failure();
    if (*value < -273.15) return complaint(text, kTemperature, "is below absolute zero");
    return Celsius{*value};
}

Result<NewtonMetres> parse_torque(std::string_view text)
{
    const auto value = parse_with_unit(text, kTorque);
    if (!value) return value.failure();
    return NewtonMetres{*value};
}

Result<Hours> parse_duration(std::string_view text)
{
    const auto value = parse_with_unit(text, kDuration);
    if (!value) return value.failure();
    return Hours{*value};
}

Result<Grams> parse_mass(std::string_view text)
{
    const auto value = parse_with_unit(text, kMass);
    if (!value) return value.failure();
    return Grams{*value};
}

std::string fixed(double value, int decimals)
{
    if (!std::isfinite(value)) return "?";
    std::array<char, 400> room{}; // 309 digits before the mark at most
    const int             places = std::clamp(decimals, 0, 30);
    const auto            answer =
        std::to_chars(room.data(), room.data() + room.size(), value, std::chars_format::fixed, places);
    std::string text(room.data(), answer.ptr);
    if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string inches_as_fraction(Millimetres length, int largest_denominator)
{
    const double inches = length.value / kMillimetresPerInch;
    const int    finest = std::clamp(largest_denominator, 1, 1024);
    if (!(std::abs(inches) < 1e6)) return fixed(inches, 4);
    const std::int64_t parts = std::llround(std::abs(inches) * finest);
    if (std::abs(std::abs(inches) - static_cast<double>(parts) / finest) > 0.001) return fixed(inches, 4);
    std::int64_t above = parts % finest;
    std::int64_t below = finest;
    while (above != 0 && above % 2 == 0 && below % 2 == 0)
        above /= 2, below /= 2;
    std::string text = inches < 0 && parts != 0 ? "-" : "";
    if (parts >= finest || above == 0) text += std::to_string(parts / finest);
    if (above == 0) return text;
    if (parts >= finest) text += "-";
    return text + std::to_string(above) + "/" + std::to_string(below);
}

} // namespace engine
