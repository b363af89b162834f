// `figure estimate FILE.json`. The file, every value a text with its unit as on the command line, every u the
// standard uncertainty (k = 1):
//   {"unit": {"bore": "50mm", "raceway": "62.5mm", "taper": 12, "pitch": "1.5mm",
//             "shaft_bore": "0mm", "width": "40mm", "on_sleeve": true},
//    "readings": {"angle": {"value": "95deg", "u": "2deg"}, "nut_photo": {..},
//                 "sleeve_travel": {"value": "0.41mm", "u": "0.05mm"},
//                 "clearance_before": {..}, "clearance_after": {..},
//                 "nut_torque": {"value": "95Nm", "u": "5Nm"}},
//    "zero": {"value": "0deg", "u": "2.5deg"},            how well zero was found
//    "delivered": {"low": "0.045mm", "high": "0.06mm"},   or {"group": "CN"}: by the tables
//    "left": {"low": "0.015mm", "high": "0.045mm"},       for the verdict; or {"group": "CN"}
//    "friction": {"low": 0.08, "high": 0.15}, "model_share": 0.075}
// bore, raceway, pitch and one reading or more are wanted, the rest may be left out. Unknown keys are
// refused.
#include "engine/base/numbers.h"
#include "engine/fit/clearance.h"
#include "engine/fit/estimate.h"
#include "field/cli/figure.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace field::cli {
namespace {

using namespace engine;
using engine::Unit;
using Json = nlohmann::json;

constexpr std::uintmax_t kLargestFile = 1U << 20U;

/// Reads one object of the file; keeps the first fault and names the place.
class Section {
  public:
    Section(const Json& json, std::string place, std::optional<Failure>& trouble)
        : json_(json), place_(std::move(place)), trouble_(trouble)
    {
        if (!json_.is_object()) blame("is not an object in braces");
    }

    void only(std::initializer_list<std::string_view> keys)
    {
        if (!json_.is_object()) return;
        for (const auto& [key, value] : json_.items())
            if (std::find(keys.begin(), keys.end(), key) == keys.end())
                blame("has a key '" + key.substr(0, 40) + "' that is not known here");
    }

    [[nodiscard]] bool has(const char* key) const { return json_.is_object() && json_.contains(key); }

    template <class T> T quantity(const char* key, T absent, Result<T> (*read)(std::string_view))
    {
        if (!has(key)) return absent;
        const Json& value = json_.at(key);
        if (!value.is_string()) {
            blame(std::string("wants a text with a unit for '") + key + "', such as \"0.41mm\"");
            return absent;
        }
        const auto parsed = read(value.get_ref<const std::string&>());
        if (parsed) return *parsed;
        blame(std::string("cannot use '") + key + "': " + parsed.error().message, "");
        return absent;
    }

    template <class T> T wanted(const char* key, Result<T> (*read)(std::string_view))
    {
        if (!has(key)) blame(std::string("does not give '") + key + "'");
        return quantity(key, T{}, read);
    }

    double bare(const char* key, double absent)
    {
        if (!has(key)) return absent;
        if (json_.at(key).is_number()) return json_.at(key).get<double>();
        blame(std::string("wants a number for '") + key + "'");
        return absent;
    }

    bool flag(const char* key)
    {
        if (!has(key)) return false;
        if (json_.at(key).is_boolean()) return json_.at(key).get<bool>();
        blame(std::string("wants true or false for '") + key + "'");
        return false;
    }

    std::string text(const char* key)
    {
        if (!has(key)) return {};
        if (json_.at(key).is_string()) return json_.at(key).get<std::string>();
        blame(std::string("wants a text for '") + key + "'");
        return {};
    }

    template <class T> std::optional<Read<T>> reading(const char* key, Result<T> (*read)(std::string_view))
    {
        if (!has(key)) return std::nullopt;
        Section inner(json_.at(key), key, trouble_);
        inner.only({"value", "u"});
        const T value = inner.wanted("value", read);
        return Read<T>{value, inner.wanted("u", read)};
    }

  private:
    void blame(const std::string& what, std::string_view stop = ".")
    {
        if (!trouble_)
            trouble_ =
                failure(Fault::bad_input, "The readings file: '" + place_ + "' " + what + std::string(stop));
    }

    const Json&             json_;
    std::string             place_;
    std::optional<Failure>& trouble_;
};

Result<Json> json_from(const std::string& name)
{
    std::error_code none;
    const auto      size = std::filesystem::file_size(name, none);
    std::ifstream   in(name, std::ios::binary);
    if (none || !in) return failure(Fault::not_found, "The readings file '" + name + "' cannot be opened.");
    if (size > kLargestFile)
        return failure(Fault::bad_input, "The readings file '" + name + "' is larger than 1 MiB.");
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    Json              json = Json::parse(text, nullptr, false);
    if (json.is_discarded())
        return failure(Fault::bad_input, "The readings file '" + name + "' is not JSON.");
    return json;
}

Taper unit_from(const Json& json, std::optional<Failure>& trouble)
{
    Taper   unit;
    Section given(json, "unit", trouble);
    given.only({"bore", "raceway", "taper", "pitch", "shaft_bore", "width", "on_sleeve", "smoothing"});
    unit.bore       = given.wanted("bore", parse_length);
    unit.raceway    = given.wanted("raceway", parse_length);
    unit.taper      = given.bare("taper", unit.taper);
    unit.pitch      = given.wanted("pitch", parse_pitch);
    unit.shaft_bore = given.quantity("shaft_bore", unit.shaft_bore, parse_length);
    unit.width      = given.quantity("width", unit.width, parse_length);
    unit.on_sleeve  = given.flag("on_sleeve");
    unit.smoothing  = given.flag("smoothing") ? Smoothing::ground : Smoothing::none;
    return unit;
}

void readings_from(const Json& json, FitReadings& readings, std::optional<Failure>& trouble)
{
    Section given(json, "readings", trouble);
    given.only({"angle", "nut_photo", "sleeve_travel", "clearance_before", "clearance_after", "nut_torque"});
    readings.angle            = given.reading("angle", parse_angle);
    readings.nut_photo        = given.reading("nut_photo", parse_angle);
    readings.sleeve_travel    = given.reading("sleeve_travel", parse_length);
    readings.clearance_before = given.reading("clearance_before", parse_length);
    readings.clearance_after  = given.reading("clearance_after", parse_length);
    readings.nut_torque       = given.reading("nut_torque", parse_torque);
}

/// Two lengths, of which either may be missing; or a clearance group.
struct Band {
    std::optional<Millimetres> low, high;
    std::string                group;
};

Band band_from(const Json& json, const char* place, std::optional<Failure>& trouble)
{
    Band    band;
    Section given(json, place, trouble);
    given.only({"low", "high", "group"});
    if (given.has("low")) band.low = given.quantity("low", Millimetres{}, parse_length);
    if (given.has("high")) band.high = given.quantity("high", Millimetres{}, parse_length);
    band.group = given.text("group");
    return band;
}

struct Asked {
    Taper       unit;
    FitReadings readings;
    std::string delivered_from, left_from; ///< source of limits that came from a table
};

Status take_bands(const Json& json, Asked& asked, std::optional<Failure>& trouble)
{
    if (json.contains("delivered")) {
        const Band band               = band_from(json.at("delivered"), "delivered", trouble);
        asked.readings.delivered_low  = band.low;
        asked.readings.delivered_high = band.high;
        if (!trouble && !band.group.empty()) {
            const auto range = clearance_group(asked.unit.bore, BoreForm::tapered, band.group);
            if (!range) return range.failure();
            asked.readings.delivered_low  = to_millimetres(range->low);
            asked.readings.delivered_high = to_millimetres(range->high);
            asked.delivered_from          = range->source;
        }
    }
    if (json.contains("left")) {
        const Band band          = band_from(json.at("left"), "left", trouble);
        asked.readings.left_low  = band.low;
        asked.readings.left_high = band.high;
        if (!trouble && !band.group.empty()) {
            const auto least = residual_minimum(asked.unit.bore, band.group);
            if (!least) return least.failure();
            asked.readings.left_low = to_millimetres(least->clearance);
            asked.left_from         = least->source;
        }
    }
    return Unit{};
}

Result<Asked> asked_from(const Json& json)
{
    std::optional<Failure> trouble;
    Asked                  asked;
    Section                file(json, "file", trouble);
    file.only({"unit", "readings", "zero", "delivered", "left", "friction", "model_share", "note"});
    if (trouble) return *trouble;
    for (const char* key : {"unit", "readings"})
        if (!file.has(key))
            return failure(Fault::bad_input,
                           std::string("The readings file does not give '") + key + "'; see --help.");
    asked.unit = unit_from(json.at("unit"), trouble);
    readings_from(json.at("readings"), asked.readings, trouble);
    asked.readings.zero        = file.reading("zero", parse_angle).value_or(asked.readings.zero);
    asked.readings.model_share = file.bare("model_share", asked.readings.model_share);
    if (file.has("friction")) {
        Section friction(json.at("friction"), "friction", trouble);
        friction.only({"low", "high"});
        asked.readings.friction_low  = friction.bare("low", asked.readings.friction_low);
        asked.readings.friction_high = friction.bare("high", asked.readings.friction_high);
    }
    const auto bands = take_bands(json, asked, trouble);
    if (trouble) return *trouble;
    if (!bands) return bands.failure();
    return asked;
}

std::string listed(const FitEstimate& found)
{
    std::string names;
    for (const std::string_view name : found.or_else)
        names += (names.empty() ? "" : ", ") + std::string(name);
    return names;
}

void tell_notes(const Asked& asked, const FitEstimate& found, Answer& answer)
{
    if (!asked.delivered_from.empty())
        answer.note("Clearance as delivered from the table of " + asked.delivered_from + ".");
    if (!asked.left_from.empty())
        answer.note("Least clearance left from the table of " + asked.left_from + ".");
    if (!found.misfit.empty() && !found.or_else.empty())
        answer.note("These readings cannot tell " + std::string(found.misfit) + " from " + listed(found) +
                    ": any of them may be the one that does not fit.");
    if (!found.misfit.empty())
        answer.note("The readings do not fit each other: read again before relying on this figure.");
    if (found.dof == 0) answer.note("No reading is checked by another: a mistake would not be seen.");
}

Status estimate(Options& given, Answer& answer)
{
    const auto json = json_from(given.text("FILE"));
    if (!json) return json.failure();
    const auto asked = asked_from(*json);
    if (!asked) return asked.failure();
    const auto found = estimate_fit(asked->unit, asked->readings);
    if (!found) return found.failure();
    answer.number("travel_mm", found->travel.value, "mm from true zero", 3);
    answer.number("clearance_left_mm", found->clearance_left.value, "mm", 4);
    answer.number("low_mm", found->low.value, "mm (95 %)", 4);
    answer.number("high_mm", found->high.value, "mm (95 %)", 4);
    answer.number("chi_square", found->chi_square, "", 2);
    answer.number("dof", found->dof, "", 0);
    if (found->misfit.empty())
        answer.absent("misfit", "none");
    else
        answer.text("misfit", found->misfit);
    if (found->verdict)
        answer.text("verdict", name_of(*found->verdict));
    else
        answer.absent("verdict", "not worked out without the limits 'left'");
    answer.number("u_travel_mm", found->u_travel.value, "mm (standard uncertainty)", 3);
    answer.number("zero_error_deg", found->zero_error.value, "degrees; positive: zero was taken late", 1);
    answer.number("clearance_taken_mm", found->clearance_taken.value, "mm", 4);
    answer.text("source",
                "weighted least squares: GUM (JCGM 100) H.2, ISO/IEC Guide 98-3; ring and friction as in "
                "figure drawup; verdict ISO 14253-1");
    answer.number("chi_square_limit", found->chi_limit, "(95 % point)", 2);
    tell_notes(*asked, *found, answer);
    return Unit{};
}

constexpr const char* kFileHelp =
    "FILE.json; values are texts with units, u is the standard uncertainty:\n"
    "  {\"unit\": {\"bore\": \"50mm\", \"raceway\": \"62.5mm\", \"taper\": 12, \"pitch\": \"1.5mm\",\n"
    "            \"shaft_bore\": \"0mm\", \"width\": \"40mm\", \"on_sleeve\": true, \"smoothing\": false},\n"
    "   \"readings\": {\"angle\": {\"value\": \"95deg\", \"u\": \"2deg\"}, \"nut_photo\": {...},\n"
    "                \"sleeve_travel\": {\"value\": \"0.41mm\", \"u\": \"0.05mm\"},\n"
    "                \"clearance_before\": {...}, \"clearance_after\": {...},\n"
    "                \"nut_torque\": {\"value\": \"95Nm\", \"u\": \"5Nm\"}},\n"
    "   \"zero\": {\"value\": \"0deg\", \"u\": \"2.5deg\"},\n"
    "   \"delivered\": {\"low\": \"0.045mm\", \"high\": \"0.06mm\"}   or {\"group\": \"CN\"}\n"
    "   \"left\": {\"low\": \"0.015mm\", \"high\": \"0.045mm\"}       or {\"group\": \"CN\"}\n"
    "   \"friction\": {\"low\": 0.08, \"high\": 0.15}, \"model_share\": 0.075}\n"
    "bore, raceway, pitch and readings that tell travel and clearance are wanted; the rest may be left out.\n"
    "sleeve_travel counts from the mark of zero. A torque wants the width of the ring. 'delivered' stands "
    "in\n"
    "for a clearance that was not read before; 'left' gives the verdict; 'group' takes the tables by bore.";

} // namespace

void add_figure_estimate(CLI::App& figure, Outcome& outcome)
{
    CLI::App& topic = *figure.add_subcommand(
        "estimate", "how far the ring really went up, from all readings of one attempt together");
    const auto options = std::make_shared<Options>();
    options->add_file(topic, "FILE", "the readings, JSON");
    topic.footer(kFileHelp);
    run_topic(topic, outcome, options, estimate);
}

} // namespace field::cli
