#include "sync/pack_form.h"

#include "engine/book/codec.h"
#include "engine/book/json_text.h"
#include "engine/book/seal.h"

#include <limits>

namespace share::pack {

using engine::failure;
using engine::Fault;
using engine::Result;
using nlohmann::json;

namespace {

constexpr std::string_view kContext         = "witnessmark1/pack\n";
constexpr std::size_t      kSignatureDigits = 128;
constexpr std::size_t      kLongestContents = std::size_t{1024} * 1024;

std::string message_of(std::string_view text)
{
    return std::string(kContext).append(text);
}

engine::Failure unknown_form(const char* what)
{
    return failure(Fault::bad_input,
                   std::string("The pack's ") + what + " is not in a form this version knows.");
}

std::vector<std::string> texts(const json& list)
{
    std::vector<std::string> found;
    for (const json& one : list)
        found.push_back(one.get<std::string>());
    return found;
}

Result<Contents> read(const json& value)
{
    Contents contents;
    try {
        if (value.at("v").get<std::int64_t>() > 1)
            return failure(Fault::unsupported, "The pack was made by a newer version; update this machine.");
        contents.plant         = value.at("plant").get<std::string>();
        contents.dev           = value.at("dev").get<std::string>();
        contents.serial        = value.at("serial").get<std::string>();
        contents.at_ms         = value.at("at_ms").get<std::int64_t>();
        contents.jobs          = texts(value.at("jobs"));
        contents.head_size     = value.at("head_size").get<std::uint64_t>();
        contents.lines_sha256  = value.at("lines").get<std::string>();
        contents.proofs_sha256 = value.at("proofs").get<std::string>();
        contents.roster_sha256 = value.at("roster").get<std::string>();
        contents.head_sha256   = value.at("head").get<std::string>();
        contents.photos        = texts(value.at("photos"));
        contents.missing       = texts(value.at("missing"));
        if (value.contains("people")) // not in packs of earlier versions
            for (const json& one : value.at("people"))
                contents.people.emplace(one.at("badge").get<std::string>(),
                                        one.at("role").get<std::string>());
    } catch (const json::exception&) {
        return unknown_form("list of contents");
    }
    return contents;
}

} // namespace

std::string photo_path(const std::string& sha256)
{
    return "photos/" + sha256 + ".jpg";
}

Result<std::string> sealed(const Contents& contents, const engine::MachineKey& key)
{
    json people = json::array();
    for (const auto& [badge, role] : contents.people)
        people.push_back({{"badge", badge}, {"role", role}});
    const json value{{"v", 1},
                     {"plant", contents.plant},
                     {"dev", contents.dev},
                     {"serial", contents.serial},
                     {"at_ms", contents.at_ms},
                     {"jobs", contents.jobs},
                     {"head_size", contents.head_size},
                     {"lines", contents.lines_sha256},
                     {"proofs", contents.proofs_sha256},
                     {"roster", contents.roster_sha256},
                     {"head", contents.head_sha256},
                     {"photos", contents.photos},
                     {"missing", contents.missing},
                     {"people", std::move(people)}};
    const auto text = engine::canonical(value, kLongestContents);
    if (!text) return text.failure();
    return engine::hex_of(key.sign(message_of(*text))) + " " + *text + "\n";
}

Result<Contents> opened(std::string_view line)
{
    if (line.size() < kSignatureDigits + 2 || line.back() != '\n' || line[kSignatureDigits] != ' ')
        return failure(Fault::corrupt, "The pack's list of contents is cut short.");
    line.remove_suffix(1);
    const auto signature = engine::signature_from_hex(line.substr(0, kSignatureDigits));
    if (!signature) return signature.failure();
    const std::string_view text  = line.substr(kSignatureDigits + 1);
    const auto             value = engine::parse_canonical(text, kLongestContents);
    if (!value) return value.failure();
    auto contents = read(**value);
    if (!contents) return contents.failure();
    if (!engine::verify(message_of(text), *signature, contents->dev))
        return failure(Fault::bad_signature, "The signature of the pack's list of contents does not match.");
    return contents;
}

Result<std::string> text_of(const LineProof& proof)
{
    json beside = json::array();
    for (const engine::Hash& hash : proof.beside)
        beside.push_back(engine::hex(hash));
    return engine::canonical({{"id", proof.id},
                              {"dev", proof.dev},
                              {"seq", proof.seq},
                              {"size", proof.size},
                              {"root", engine::hex(proof.root)},
                              {"beside", beside}});
}

Result<LineProof> proof_in(std::string_view line)
{
    const auto value = engine::parse_canonical(line, engine::kLongestLine);
    if (!value) return value.failure();
    LineProof proof;
    try {
        const json& object = **value;
        proof.id           = object.at("id").get<std::string>();
        proof.dev          = object.at("dev").get<std::string>();
        proof.seq          = object.at("seq").get<std::uint64_t>();
        proof.size         = object.at("size").get<std::uint64_t>();
        const auto root    = engine::hash_from_hex(object.at("root").get<std::string>());
        if (!root) return unknown_form("proof");
        proof.root = *root;
        for (const std::string& digits : texts(object.at("beside"))) {
            const auto hash = engine::hash_from_hex(digits);
            if (!hash) return unknown_form("proof");
            proof.beside.push_back(*hash);
        }
    } catch (const json::exception&) {
        return unknown_form("proof");
    }
    return proof;
}

std::optional<Review> review_of(const engine::Entry& entry)
{
    const bool review =
        entry.said.kind == engine::kind::countersign || entry.said.kind == engine::kind::job_return;
    if (!review) return std::nullopt;
    const json& body  = entry.body();
    const auto  count = body.find("count");
    if (count == body.end() || !count->is_number_unsigned()) return Review{};
    return Review{count->get<std::uint64_t>(), engine::text_in(body, "root")};
}

Witnessed witnessed_by(const engine::Entry& entry)
{
    const json& body = entry.body();
    if (entry.said.kind != engine::kind::witness || !body.contains("root")) return {};
    try {
        const auto root = engine::hash_from_hex(body.at("root").get<std::string>());
        if (!root) return {};
        return {body.at("dev").get<std::string>(), body.at("seq").get<std::uint64_t>(), *root};
    } catch (const json::exception&) {
        return {}; // signed, and yet no witness
    }
}

} // namespace share::pack
