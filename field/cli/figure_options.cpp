// Options as texts with their units.
#include "engine/base/numbers.h"
#include "field/cli/figure.h"

#include <array>
#include <cmath>

namespace field::cli {
namespace {

using namespace engine;

struct Suffix {
    std::string_view name;
    double           factor;
};

/// A number with one of the endings; the empty ending, where listed, takes a bare number.
template <std::size_t N>
Result<double> with_suffix(std::string_view text, const std::array<Suffix, N>& known, std::string_view wanted)
{
    if (two_readings(text)) return parse_number(text).failure(); // "1,480rpm"
    for (const Suffix& suffix : known) {
        if (text.size() <= suffix.name.size() || text.substr(text.size() - suffix.name.size()) != suffix.name)
            continue;
        const auto value = parse_number(text.substr(0, text.size() - suffix.name.size()));
        if (value) return *value * suffix.factor;
    }
    return failure(Fault::bad_input, "'" + std::string(text.substr(0, 64)) + "' cannot be read; give " +
                                         std::string(wanted) + ".");
}

Result<Kelvins> parse_rise(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"K", 1}, Suffix{"C", 1}, Suffix{"F", 5.0 / 9}},
                                   "a difference of temperature in K, C or F, such as 45K");
    if (!value) return value.failure();
    return Kelvins{*value};
}

Result<PerKelvin> parse_expansion(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"um/m/K", 1e-6}, Suffix{"/K", 1}, Suffix{"", 1}},
                                   "an expansion coefficient per kelvin, such as 12e-6/K");
    if (!value) return value.failure();
    return PerKelvin{*value};
}

Result<Megapascals> parse_modulus(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"GPa", 1000}, Suffix{"MPa", 1}},
                                   "a modulus in MPa or GPa, such as 208GPa");
    if (!value) return value.failure();
    return Megapascals{*value};
}

Result<RevPerMinute> parse_speed(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"rpm", 1}, Suffix{"r/min", 1}, Suffix{"/min", 1}},
                                   "a speed in rpm, such as 980rpm");
    if (!value) return value.failure();
    return RevPerMinute{*value};
}

Result<Kilonewtons> parse_force(std::string_view text)
{
    const auto value =
        with_suffix(text, std::array{Suffix{"kN", 1}, Suffix{"N", 1e-3}, Suffix{"lbf", 4.4482216152605e-3}},
                    "a force in kN, N or lbf, such as 55.3kN");
    if (!value) return value.failure();
    return Kilonewtons{*value};
}

Result<MmPerSecond> parse_velocity(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"mm/s", 1}, Suffix{"in/s", kMillimetresPerInch}},
                                   "a velocity in mm/s or in/s, such as 2.8mm/s");
    if (!value) return value.failure();
    return MmPerSecond{*value};
}

Result<KinematicViscosity> parse_viscosity(std::string_view text)
{
    const auto value = with_suffix(text, std::array{Suffix{"mm2/s", 1}, Suffix{"cSt", 1}, Suffix{"", 1}},
                                   "a viscosity in mm2/s, such as 32mm2/s");
    if (!value) return value.failure();
    return KinematicViscosity{*value};
}

Result<double> parse_percent(std::string_view text)
{
    return with_suffix(text, std::array{Suffix{"%", 1}, Suffix{"", 1}}, "a percentage, such as 95%");
}

} // namespace

void Options::add(CLI::App& topic, const std::string& name, const std::string& help, bool wanted)
{
    CLI::Option* option = topic.add_option("--" + name, texts_[name], help);
    if (wanted) option->required();
}

void Options::add_list(CLI::App& topic, const std::string& name, const std::string& help, int least, int most)
{
    topic.add_option("--" + name, lists_[name], help)->expected(least, most);
}

void Options::add_file(CLI::App& topic, const std::string& name, const std::string& help)
{
    topic.add_option(name, texts_[name], help)->required();
}

void Options::add_flag(CLI::App& topic, const std::string& name, const std::string& help)
{
    topic.add_flag("--" + name, flags_[name], help);
}

bool Options::has(const std::string& name) const
{
    if (const auto text = texts_.find(name); text != texts_.end()) return !text->second.empty();
    const auto list = lists_.find(name);
    return list != lists_.end() && !list->second.empty();
}

bool Options::flag(const std::string& name) const
{
    const auto found = flags_.find(name);
    return found != flags_.end() && found->second;
}

std::string Options::text(const std::string& name) const
{
    const auto found = texts_.find(name);
    return found == texts_.end() ? std::string() : found->second;
}

std::vector<std::string> Options::list(const std::string& name) const
{
    const auto found = lists_.find(name);
    return found == lists_.end() ? std::vector<std::string>() : found->second;
}

void Options::blame(Failure failure)
{
    if (!trouble_) trouble_ = std::move(failure);
}

template <class T> T Options::taken(const std::string& name, T absent, Result<T> (*read)(std::string_view))
{
    if (!has(name)) return absent;
    const auto value = read(text(name));
    if (value) return *value;
    Failure failure       = value.failure();
    failure.error.message = "--" + name + ": " + failure.error.message;
    blame(std::move(failure));
    return absent;
}

Millimetres Options::length(const std::string& name, Millimetres absent)
{
    return taken(name, absent, parse_length);
}
ThreadPitch Options::pitch(const std::string& name, ThreadPitch absent)
{
    return taken(name, absent, parse_pitch);
}
Degrees Options::angle(const std::string& name, Degrees absent)
{
    return taken(name, absent, parse_angle);
}
Celsius Options::temperature(const std::string& name, Celsius absent)
{
    return taken(name, absent, parse_temperature);
}
Kelvins Options::rise(const std::string& name, Kelvins absent)
{
    return taken(name, absent, parse_rise);
}
PerKelvin Options::expansion(const std::string& name, PerKelvin absent)
{
    return taken(name, absent, parse_expansion);
}
Megapascals Options::modulus(const std::string& name, Megapascals absent)
{
    return taken(name, absent, parse_modulus);
}
RevPerMinute Options::speed(const std::string& name, RevPerMinute absent)
{
    return taken(name, absent, parse_speed);
}
Grams Options::mass(const std::string& name, Grams absent)
{
    return taken(name, absent, parse_mass);
}
Kilonewtons Options::force(const std::string& name, Kilonewtons absent)
{
    return taken(name, absent, parse_force);
}
NewtonMetres Options::torque(const std::string& name, NewtonMetres absent)
{
    return taken(name, absent, parse_torque);
}
MmPerSecond Options::velocity(const std::string& name, MmPerSecond absent)
{
    return taken(name, absent, parse_velocity);
}
KinematicViscosity Options::viscosity(const std::string& name, KinematicViscosity absent)
{
    return taken(name, absent, parse_viscosity);
}
double Options::percent(const std::string& name, double absent)
{
    return taken(name, absent, parse_percent);
}
double Options::bare(const std::string& name, double absent)
{
    return taken(name, absent, parse_number);
}

int Options::count(const std::string& name, int absent)
{
    const double value = bare(name, absent);
    if (value == std::floor(value) && std::abs(value) <= 1e6) return static_cast<int>(value);
    blame(failure(Fault::bad_input, "--" + name + ": '" + text(name) + "' is not a whole number."));
    return absent;
}

double Options::taper(const std::string& name, double absent)
{
    if (!has(name)) return absent;
    std::string given = text(name);
    if (given.rfind("1:", 0) == 0) given.erase(0, 2);
    const auto value = parse_number(given);
    if (value) return *value;
    blame(failure(Fault::bad_input, "--" + name + ": '" + text(name) + "' is not a taper; give 12 or 1:12."));
    return absent;
}

template <class T>
T Options::taken_of(const std::string& name, const std::string& text, Result<T> (*read)(std::string_view))
{
    const auto value = read(text);
    if (value) return *value;
    Failure failure       = value.failure();
    failure.error.message = "--" + name + ": " + failure.error.message;
    blame(std::move(failure));
    return {};
}

Millimetres Options::length_of(const std::string& name, const std::string& text)
{
    return taken_of(name, text, parse_length);
}
Celsius Options::temperature_of(const std::string& name, const std::string& text)
{
    return taken_of(name, text, parse_temperature);
}
KinematicViscosity Options::viscosity_of(const std::string& name, const std::string& text)
{
    return taken_of(name, text, parse_viscosity);
}

} // namespace field::cli
