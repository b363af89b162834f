// One statement of the roster: bytes to meaning and back. FORMAT.md section 9.
#include "engine/book/codec.h"
#include "engine/book/roster.h"

#include <nlohmann/json.hpp>

#include <array>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

constexpr std::string_view kContext    = "witnessmark1/roster\n";
constexpr std::size_t      kSealDigits = 128;
constexpr std::array       kFields{"at_ms", "by", "d", "kind", "plant", "prev", "seq", "v"};

Failure not_one(const std::string& why)
{
    return failure(Fault::bad_input, "The statement of the enrolment list cannot be taken: " + why + ".");
}

bool has_fields(const json& value)
{
    if (!value.is_object() || value.size() != kFields.size()) return false;
    for (const char* field : kFields)
        if (!value.contains(field)) return false;
    for (const char* text : {"by", "kind", "plant", "prev"})
        if (!value[text].is_string() || value[text].get_ref<const std::string&>().empty()) return false;
    return value["d"].is_object() && value["seq"].is_number_integer() && value["at_ms"].is_number_integer() &&
           value["v"].is_number_integer() && value["seq"].get<std::int64_t>() >= 1;
}

json value_of(const Statement& statement)
{
    return {{"v", 1},
            {"plant", statement.plant},
            {"seq", statement.seq},
            {"prev", statement.prev},
            {"kind", statement.kind},
            {"at_ms", statement.at_ms},
            {"by", statement.by},
            {"d", statement.body ? *statement.body : json::object()}};
}

std::string message_of(std::string_view text)
{
    return std::string(kContext) += text;
}

} // namespace

Result<Statement> open_statement(std::string_view line)
{
    if (line.size() < kSealDigits + 3 || line[kSealDigits] != ' ')
        return failure(Fault::corrupt, "The statement of the enrolment list is cut short.");
    if (line.size() > kLongestStatement) return not_one("it is longer than it may be");
    const std::string_view text      = line.substr(kSealDigits + 1);
    const auto             signature = signature_from_hex(line.substr(0, kSealDigits));
    if (!signature) return signature.failure();
    auto value = parse_canonical(text, kLongestStatement);
    if (!value) return value.failure();
    const json& found = **value;
    if (found.contains("v") && found["v"].is_number_integer() && found["v"].get<std::int64_t>() > 1)
        return failure(
            Fault::unsupported,
            "The enrolment list is in a newer format than this program knows; update this machine.");
    if (!has_fields(found)) return not_one("a field is missing, unknown or not as it must be");
    Statement statement;
    statement.plant = found["plant"].get<std::string>();
    statement.seq   = found["seq"].get<std::uint64_t>();
    statement.prev  = found["prev"].get<std::string>();
    statement.kind  = found["kind"].get<std::string>();
    statement.at_ms = found["at_ms"].get<std::int64_t>();
    statement.by    = found["by"].get<std::string>();
    statement.body  = std::make_shared<const json>(found["d"]);
    statement.id    = hex(sha256(text));
    statement.line  = std::string(line);
    if (!hash_from_hex(statement.prev)) return not_one("its field 'prev' is no hash");
    if (!verify(message_of(text), *signature, statement.by))
        return failure(Fault::bad_signature, "The signature of statement " + std::to_string(statement.seq) +
                                                 " of the enrolment list does not match.");
    return statement;
}

Status seal_statement(Statement& statement, const MachineKey& plant_key)
{
    statement.by    = plant_key.device();
    const auto text = canonical(value_of(statement), kLongestStatement - kSealDigits - 2);
    if (!text) return text.failure();
    statement.id    = hex(sha256(*text));
    statement.line  = hex_of(plant_key.sign(message_of(*text))) + " " + *text;
    const auto back = open_statement(statement.line);
    return back ? Status(Unit{}) : Status(back.failure());
}

} // namespace engine
