// Lines of the record, the enrolment list and the JPEG gate.
#include "engine/book/codec.h"
#include "engine/book/ledger.h"
#include "engine/book/photos.h"
#include "engine/book/roster.h"
#include "engine/procedure/facts_codec.h"

#include <nlohmann/json.hpp>

#include "tests/fuzz/inputs.h"

namespace fuzz {
namespace {

constexpr std::size_t kSealed = 129; ///< signature and space

/// Everything a reader does with an entry once it is decoded. None of it may believe the body.
void read_facts(const engine::Entry& entry)
{
    (void)engine::photos_named(entry);
    (void)engine::reading_of(entry);
    (void)engine::choice_of(entry);
    (void)engine::code_of(entry);
    (void)engine::photo_of(entry);
    (void)engine::done_of(entry);
    (void)engine::problem_of(entry);
    (void)engine::decision_of(entry);
    (void)engine::back_off_of(entry);
    (void)engine::correction_of(entry);
    (void)engine::hand_over_of(entry);
    (void)engine::review_of(entry);
    (void)engine::signed_of(entry);
    (void)engine::attempt_said(entry);
    (void)engine::person_signature_fits(entry);
    (void)engine::Roster().judge(entry);
}

engine::MachineKey key_of(unsigned char number)
{
    std::array<unsigned char, 32> seed{};
    seed.fill(number);
    return engine::MachineKey::from_seed(seed);
}

/// The holder of the plant key, with a machine and a person on the list already.
struct Office {
    engine::MachineKey key = key_of(9);
    engine::Roster     roster{"saltmarsh", key.device()};

    Office()
    {
        take("root", {{"keys", nlohmann::json::array({key.device()})}, {"threshold", 1}});
        take("add", {{"dev", key_of(1).device()}, {"name", "T-01"}, {"role", "recorder"}, {"from", 1}});
        take("person",
             {{"key", key_of(2).device()}, {"badge", "205"}, {"name", "205"}, {"role", "supervisor"}});
    }
    /// As the office would sign it; none when it cannot be a statement.
    [[nodiscard]] std::optional<engine::Statement> next(const std::string&                    kind,
                                                        std::shared_ptr<const nlohmann::json> body) const
    {
        engine::Statement said;
        said.plant = "saltmarsh";
        said.prev  = roster.head();
        said.seq   = roster.seq() + 1;
        said.at_ms = 1795590000000;
        said.kind  = kind;
        said.body  = std::move(body);
        if (!engine::seal_statement(said, key)) return std::nullopt;
        return said;
    }
    void take(const std::string& kind, nlohmann::json body)
    {
        const auto said = next(kind, std::make_shared<const nlohmann::json>(std::move(body)));
        must(said && roster.apply(*said), "a plain statement is taken");
    }
};

} // namespace

int entry_line(const std::uint8_t* bytes, std::size_t size)
{
    const auto line = text_of(bytes, size);
    const auto sure = engine::open_line(line);
    const auto seen = engine::read_trusted_line(line);
    if (sure) {
        must(seen.has_value(), "what is verified can be read again");
        must(sure->line == line && sure->id == engine::hex(engine::sha256(line.substr(kSealed))),
             "an entry is named by the hash of its bytes");
        must(sure->id == seen->id && sure->seq == seen->seq, "both readers see one entry");
    }
    // The form is judged twice over: by walking the text, and by printing what a second parser read.
    const bool printed = line.size() > kSealed &&
                         engine::parse_canonical(line.substr(kSealed), engine::kLongestLine).has_value();
    if (seen) {
        must(printed, "what is taken is what would be printed");
        read_facts(*seen);
    } else {
        must(!printed || seen.error().message.find("canonical form") == std::string::npos,
             "a text in its one form is not refused for its form");
    }
    return 0;
}

int statement(const std::uint8_t* bytes, std::size_t size)
{
    const auto text = text_of(bytes, size);
    if (const auto plain = engine::open_statement(text))
        must(plain->line == text, "a statement keeps its bytes");
    // What the holder of the plant key might sign: kind, LF, body.
    const auto cut = text.find('\n');
    const auto body =
        engine::parse_canonical(cut == text.npos ? text : text.substr(cut + 1), engine::kLongestStatement);
    if (!body || cut == text.npos) return 0;
    const Office office;
    auto         said = office.next(std::string(text.substr(0, cut)), *body);
    if (!said) return 0;
    const auto opened = engine::open_statement(said->line);
    if (!opened) return 0; // a kind nobody knows
    must(opened->id == said->id, "what is signed is what is read");
    engine::Roster roster  = office.roster;
    const bool     applied = roster.apply(*opened).has_value();
    if (applied) {
        must(roster.seq() == office.roster.seq() + 1, "a statement that is taken moves the list on");
        return 0;
    }
    const bool same = roster.seq() == office.roster.seq() && roster.root_key() == office.roster.root_key() &&
                      roster.machines().size() == office.roster.machines().size() &&
                      roster.persons().size() == office.roster.persons().size() &&
                      roster.accepted() == office.roster.accepted();
    must(same, "a refused statement leaves the list as it was");
    return 0;
}

int photo(const std::uint8_t* bytes, std::size_t size)
{
    const auto info = engine::inspect_jpeg({bytes, size});
    if (!info) return 0;
    must(info->bytes == size, "the size is that of the bytes");
    must(info->width > 0 && info->height > 0 && std::int64_t{info->width} * info->height <= 60'000'000,
         "a picture has at most 60 million pixels");
    return 0;
}

} // namespace fuzz
