// Catalogue items back from entry bodies.
#include "engine/book/catalogue_codec.h"
#include "engine/book/spellings.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

/// Takes fields out of a body; the first one that is missing or of another type is remembered.
class BodyFields {
  public:
    explicit BodyFields(const json& body) : body_(&body) {}

    [[nodiscard]] bool has(const char* key) const { return body_->contains(key); }

    std::int64_t whole(const char* key)
    {
        const auto at = body_->find(key);
        if (at != body_->end() && at->is_number_integer()) return at->get<std::int64_t>();
        spoil(key);
        return 0;
    }

    double scaled(const char* key, double scale) { return static_cast<double>(whole(key)) / scale; }

    std::string text(const char* key)
    {
        const auto at = body_->find(key);
        if (at != body_->end() && at->is_string()) return at->get<std::string>();
        spoil(key);
        return {};
    }

    bool yes(const char* key)
    {
        const auto at = body_->find(key);
        if (at != body_->end() && at->is_boolean()) return at->get<bool>();
        spoil(key);
        return false;
    }

    const json& list(const char* key)
    {
        static const json kNoList = json::array();
        const auto        at      = body_->find(key);
        if (at != body_->end() && at->is_array()) return *at;
        spoil(key);
        return kNoList;
    }

    template <class Choice>
    Choice choice(const char* key, std::optional<Choice> (*spelled)(const std::string&), Choice otherwise)
    {
        const auto found = spelled(text(key));
        if (!found) spoil(key);
        return found.value_or(otherwise);
    }

    std::optional<LengthLimits> limits(const char* key)
    {
        if (!has(key)) return std::nullopt;
        const json& pair = list(key);
        if (pair.size() == 2 && pair[0].is_number_integer() && pair[1].is_number_integer())
            return LengthLimits{Millimetres{static_cast<double>(pair[0].get<std::int64_t>()) / 1e4},
                                Millimetres{static_cast<double>(pair[1].get<std::int64_t>()) / 1e4}};
        spoil(key);
        return std::nullopt;
    }

    Millimetres length(const char* key) { return Millimetres{scaled(key, 1e4)}; }

    void spoil(const std::string& key)
    {
        if (spoilt_.empty()) spoilt_ = key;
    }
    [[nodiscard]] const std::string& spoilt() const { return spoilt_; }

  private:
    const json* body_;
    std::string spoilt_;
};

UnitSheet unit_from(BodyFields& from)
{
    UnitSheet unit;
    unit.code             = from.text("code");
    unit.revision         = from.text("revision");
    unit.mount            = from.choice("mount", mount_spelled, Mount::pillow_block);
    unit.split_housing    = from.yes("split_housing");
    unit.shaft            = from.length("shaft_dum");
    unit.bearing_bore     = from.length("bearing_bore_dum");
    unit.raceway          = from.length("raceway_dum");
    unit.seat_width       = from.length("seat_width_dum");
    unit.taper            = from.scaled("taper_x1000", 1e3);
    unit.pitch            = ThreadPitch{from.scaled("pitch_nm", 1e6)};
    unit.slots            = static_cast<int>(from.whole("slots"));
    unit.tangs            = static_cast<int>(from.whole("tangs"));
    unit.turn_min         = Degrees{from.scaled("turn_min_mdeg", 1e3)};
    unit.turn_max         = Degrees{from.scaled("turn_max_mdeg", 1e3)};
    unit.seat_class       = from.text("seat_class");
    unit.seat_form        = from.text("seat_form");
    unit.clearance_group  = from.text("clearance_group");
    unit.clearance_before = from.limits("clearance_before_dum");
    unit.clearance_after  = from.limits("clearance_after_dum");
    if (from.has("shim_dum")) unit.shim = from.length("shim_dum");
    if (from.has("float_total_dum")) unit.float_total = from.length("float_total_dum");
    unit.bolts       = static_cast<int>(from.whole("bolts"));
    unit.bolt_size   = from.text("bolt_size");
    unit.bolt_class  = from.text("bolt_class");
    unit.bolt_torque = NewtonMetres{from.scaled("bolt_torque_mnm", 1e3)};
    if (from.has("cap_torque_mnm")) unit.cap_torque = NewtonMetres{from.scaled("cap_torque_mnm", 1e3)};
    unit.misalignment_max = Degrees{from.scaled("misalignment_max_mdeg", 1e3)};
    unit.grease           = Grams{from.scaled("grease_mg", 1e3)};
    unit.run_in_limit     = Celsius{from.scaled("run_in_limit_mc", 1e3)};
    unit.run_in_rise      = Kelvins{from.scaled("run_in_rise_mk", 1e3)};
    for (const json& ask : from.list("asks"))
        ask.is_string() ? unit.asks.push_back(ask.get<std::string>()) : from.spoil("asks");
    return unit;
}

Person person_from(BodyFields& from)
{
    Person person;
    person.badge = from.text("badge");
    person.role  = from.choice("role", role_spelled, Role::fitter);
    if (from.has("pin_check")) person.pin_check = from.text("pin_check");
    return person;
}

Instrument instrument_from(BodyFields& from)
{
    Instrument instrument;
    instrument.tag             = from.text("tag");
    instrument.tool            = from.choice("tool", tool_spelled, Tool::micrometer);
    instrument.unit            = from.choice("unit", unit_spelled, UnitOf::mm);
    instrument.low             = from.scaled("low_e6", 1e6);
    instrument.high            = from.scaled("high_e6", 1e6);
    instrument.resolution      = from.scaled("resolution_e6", 1e6);
    instrument.error_limit     = from.scaled("error_limit_e6", 1e6);
    instrument.calibration_due = from.text("calibration_due");
    if (from.has("retired")) instrument.retired = from.text("retired");
    return instrument;
}

Job job_from(BodyFields& from, const std::string& number)
{
    Job job;
    job.number = number;
    job.title  = from.text("title");
    job.asset  = from.text("asset");
    for (const json& one : from.list("positions")) {
        BodyFields of(one);
        Position   position;
        position.letter    = of.text("letter");
        position.unit_code = of.text("unit_code");
        position.role      = of.choice("role", hold_spelled, Hold::fixed);
        if (of.has("serial")) position.serial = of.text("serial");
        if (!of.spoilt().empty()) from.spoil("positions");
        job.positions.push_back(std::move(position));
    }
    job.old_bearing_out = from.yes("old_bearing_out");
    job.span            = from.length("span_dum");
    job.rise            = Kelvins{from.scaled("rise_mk", 1e3)};
    job.alpha           = PerKelvin{from.scaled("alpha_e9", 1e9)};
    job.speed           = RevPerMinute{from.scaled("speed_mrpm", 1e3)};
    job.run_in          = Hours{from.scaled("run_in_s", 3600.0)};
    job.due             = from.text("due");
    return job;
}

/// Puts a readable item under its name, in the place of an older one; says which field is not readable.
template <class Item>
std::string keep(std::map<std::string, Item>& items, const std::string& name, Item item,
                 const BodyFields& from)
{
    if (!from.spoilt().empty()) return from.spoilt();
    if (name.empty()) return "name";
    items.insert_or_assign(name, std::move(item));
    return {};
}

} // namespace

std::string add_to_catalogue(Catalogue& catalogue, const Entry& entry)
{
    BodyFields         from(entry.body());
    const std::string& kind = entry.said.kind;
    if (kind == kind::unit) {
        UnitSheet         unit = unit_from(from);
        const std::string code = unit.code;
        if (from.spoilt().empty()) catalogue.issues[code].push_back({{entry.hlc_ms, entry.hlc_c}, unit});
        return keep(catalogue.units, code, std::move(unit), from);
    }
    if (kind == kind::person) {
        Person            person = person_from(from);
        const std::string badge  = person.badge;
        return keep(catalogue.people, badge, std::move(person), from);
    }
    if (kind == kind::instrument) {
        Instrument        instrument = instrument_from(from);
        const std::string tag        = instrument.tag;
        return keep(catalogue.instruments, tag, std::move(instrument), from);
    }
    if (kind == kind::job_open)
        return keep(catalogue.jobs, entry.said.job, job_from(from, entry.said.job), from);
    return {};
}

Catalogue catalogue_of(const std::vector<Entry>& entries, std::vector<std::string>* complaints)
{
    std::vector<const Entry*> order;
    order.reserve(entries.size());
    for (const Entry& entry : entries)
        order.push_back(&entry);
    std::sort(order.begin(), order.end(),
              [](const Entry* a, const Entry* b) { return shown_before(*a, *b); });
    Catalogue catalogue;
    for (const Entry* entry : order) {
        const std::string spoilt = add_to_catalogue(catalogue, *entry);
        if (spoilt.empty() || complaints == nullptr) continue;
        complaints->push_back("Entry " + std::to_string(entry->seq) + " of machine " +
                              entry->dev.substr(0, 16) + " (" + entry->said.kind +
                              ") cannot be read: its field '" + spoilt +
                              "' is missing or not as it must be.");
    }
    return catalogue;
}

} // namespace engine
