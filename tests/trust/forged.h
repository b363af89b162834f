#pragma once
// Row 9 of the plan: named forgeries, each with the code it must be refused by. The forger knows everything
// but the honest machines' keys; where a case needs a machine that lies, the forger owns an enrolled
// machine's key.
#include "engine/book/codec.h"
#include "sync/head.h"
#include "sync/segment.h"

#include <functional>

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"

namespace forged {

using namespace engine;
using nlohmann::json;
using support::FakeClock;
using support::TempFolder;
using Bytes = MemoryFolder::Bytes;

inline constexpr int kLiar = 9; ///< number of the forger's own, enrolled machine

inline Bytes bytes_of(const std::string& text)
{
    return {text.begin(), text.end()};
}

/// A chain of the liar's, whatever is in it.
class Liar {
  public:
    MachineKey    key = Office::key_of(kLiar);
    std::string   text;
    std::string   prev = std::string(64, '0');
    std::uint64_t seq  = 0;

    [[nodiscard]] json envelope(const std::string& kind, json body) const
    {
        return {{"v", 1},
                {"plant", "saltmarsh"},
                {"dev", key.device()},
                {"seq", seq + 1},
                {"prev", prev},
                {"hlc", json::array({FakeClock::kStart + static_cast<std::int64_t>(seq), 0})},
                {"wall_ms", FakeClock::kStart},
                {"tz_min", 60},
                {"mono_ms", 1},
                {"tq", "manual"},
                {"kind", kind},
                {"d", std::move(body)}};
    }
    /// Signs bytes as they are: the signature is always valid over what is said.
    Liar& raw(const std::string& body, const std::string& context = "witnessmark1/entry\n")
    {
        text += hex_of(key.sign(context + body)) + " " + body + "\n";
        prev = hex(sha256(body));
        ++seq;
        return *this;
    }
    Liar& say(const json& envelope) { return raw(envelope.dump()); }
    Liar& hello() { return say(envelope("genesis", {{"name", "T-09"}})); }
    Liar& reading() { return say(envelope("reading", {{"value", 1}})); }
    /// With one field changed after it was made.
    Liar& with(const std::string& field, json value)
    {
        json made   = envelope("reading", {{"value", 1}});
        made[field] = std::move(value);
        return say(made);
    }
    Liar& without(const std::string& field)
    {
        json made = envelope("reading", {{"value", 1}});
        made.erase(field);
        return say(made);
    }
};

struct Scene {
    TempFolder   place;
    FakeClock    clock;
    MemoryFolder folder;
    Machine      honest{place, clock, 1}, reader{place, clock, 3};
    Office       office;
    MachineKey   boss = Office::key_of(90);
    Liar         liar;

    Scene()
    {
        office.add(honest.book.device(), "recorder").add(reader.book.device(), "planner");
        office.add(liar.key.device(), "recorder").add(Office::key_of(8).device(), "auditor");
        office.say("person",
                   {{"badge", "502"}, {"key", boss.device()}, {"role", "supervisor"}, {"name", ""}});
        office.say(
            "person",
            {{"badge", "417"}, {"key", Office::key_of(91).device()}, {"role", "fitter"}, {"name", ""}});
        honest.read("2219", 1);
        honest.photo("2219", 1);
        honest.read("2219", 2);
        honest.exchange(folder, clock);
    }
    [[nodiscard]] std::string seg_of_honest() const
    {
        return folder.with("/dev/" + honest.devid() + "/seg/").front();
    }
    [[nodiscard]] std::vector<std::string> honest_lines() const
    {
        std::vector<std::string> lines;
        for (const Entry& entry : honest.book.entries_of_machine(honest.book.device(), 1, 100))
            lines.push_back(entry.line);
        return lines;
    }
    /// A segment under a name that fits its bytes.
    void put(const std::string& devid, const std::string& text, std::uint64_t first, std::uint64_t last)
    {
        const share::SegmentName name{first, last, hex(sha256(text)).substr(0, 32)};
        folder.files[share::path_of(devid, name)] = bytes_of(text);
    }
    void put_liar(const Liar& with) { put(share::device_folder(with.key.device()), with.text, 1, with.seq); }
    void put_liar() { put_liar(liar); }
    /// The honest segment's place, with other lines in it.
    void swap_honest(const std::vector<std::string>& lines)
    {
        std::string text;
        for (const std::string& line : lines)
            text += line + "\n";
        folder.files.erase(seg_of_honest());
        put(honest.devid(), text, 1, lines.size());
    }
    Draft sign_off(const MachineKey& with, const std::string& badge)
    {
        Draft draft{badge,
                    kind::countersign,
                    "2219",
                    "",
                    "",
                    {},
                    std::make_shared<const json>(json{{"count", 1}, {"root", "x"}})};
        REQUIRE(sign_as(draft, with, "saltmarsh"));
        return draft;
    }
    void liar_signs(const Draft& draft)
    {
        json made     = liar.hello().envelope(draft.kind, *draft.body);
        made["actor"] = draft.actor;
        made["job"]   = draft.job;
        liar.say(made);
        put_liar();
    }
    void put_statement(const Statement& statement, std::uint64_t named)
    {
        const auto [path, bytes] = Office::file_of(statement.line, named);
        folder.files[path]       = bytes;
    }
};

struct Case {
    const char*                 name;
    const char*                 code;
    std::function<void(Scene&)> forge;
    bool honest_comes_in = true; ///< the case does not touch the honest machine's files
};

inline std::string replaced(std::string text, const std::string& from, const std::string& to)
{
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

inline Case liar_says(const char* name, const char* code, std::function<void(Liar&)> speak)
{
    return {name, code, [speak = std::move(speak)](Scene& s) {
                s.liar.hello();
                speak(s.liar);
                s.put_liar();
            }};
}

/// A well-signed line whose bytes are the canonical ones with something replaced.
inline Case liar_writes(const char* name, const std::string& from, const std::string& to)
{
    return liar_says(name, "R02", [from, to](Liar& liar) {
        liar.raw(replaced(liar.envelope("reading", {{"value", 1}}).dump(), from, to));
    });
}

[[nodiscard]] std::vector<Case> form_cases();
[[nodiscard]] std::vector<Case> chain_cases();
[[nodiscard]] std::vector<Case> signature_cases();
[[nodiscard]] std::vector<Case> roster_cases();
[[nodiscard]] std::vector<Case> name_cases();

} // namespace forged
