// Row 9 of the plan: named forgeries, each with the code it must be refused by. The forger knows everything
// but the honest machines' keys; where a case needs a machine that lies, the forger owns an enrolled
// machine's key.
#include "engine/book/codec.h"
#include "sync/head.h"
#include "sync/segment.h"

#include <functional>

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"

using namespace engine;
using nlohmann::json;
using support::FakeClock;
using support::TempFolder;
using Bytes = MemoryFolder::Bytes;

namespace {

constexpr int kLiar = 9; ///< number of the forger's own, enrolled machine

Bytes bytes_of(const std::string& text)
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
    [[nodiscard]] std::string seg_of_honest()
    {
        return folder.with("/dev/" + honest.devid() + "/seg/").front();
    }
    [[nodiscard]] std::vector<std::string> honest_lines()
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

std::string replaced(std::string text, const std::string& from, const std::string& to)
{
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

Case liar_says(const char* name, const char* code, std::function<void(Liar&)> speak)
{
    return {name, code, [speak = std::move(speak)](Scene& s) {
                s.liar.hello();
                speak(s.liar);
                s.put_liar();
            }};
}

/// A well-signed line whose bytes are the canonical ones with something replaced.
Case liar_writes(const char* name, const std::string& from, const std::string& to)
{
    return liar_says(name, "R02", [from, to](Liar& liar) {
        liar.raw(replaced(liar.envelope("reading", {{"value", 1}}).dump(), from, to));
    });
}

std::vector<Case> form_cases()
{
    std::vector<Case> cases{
        liar_writes("a key twice", "\"value\":1", "\"value\":1,\"value\":2"),
        liar_writes("a key twice in the envelope", "\"kind\":\"reading\"",
                    "\"kind\":\"reading\",\"kind\":\"reading\""),
        liar_writes("a space after a colon", "\"value\":1", "\"value\": 1"),
        liar_writes("a line feed inside", "{\"d\"", "{\t\"d\""),
        liar_writes("a float", "\"value\":1", "\"value\":1.0"),
        liar_writes("an exponent", "\"value\":1", "\"value\":1e0"),
        liar_writes("minus zero", "\"value\":1", "\"value\":-0"),
        liar_writes("a number of 23 digits", "\"value\":1", "\"value\":12345678901234567890123"),
        liar_writes("two to the 53rd", "\"value\":1", "\"value\":9007199254740992"),
        liar_writes("null", "\"value\":1", "\"value\":null"),
        liar_writes("an escaped letter", "\"value\":1", "\"value\":\"\\u0041\""),
        liar_writes("an escaped slash", "\"value\":1", "\"value\":\"\\/\""),
        liar_writes("an escape in capitals", "\"value\":1", "\"value\":\"\\u001F\""),
        liar_writes("keys out of order", "\"value\":1", "\"z\":1,\"value\":1"),
        liar_writes("a key in capitals", "\"value\":1", "\"Value\":1"),
        liar_writes("a key of 25 characters", "\"value\":1", "\"" + std::string(25, 'k') + "\":1"),
        liar_writes("an empty key", "\"value\":1", "\"\":1"),
        liar_writes("nested seven deep", "\"value\":1", "\"value\":[[[[[[1]]]]]]"),
        liar_writes("nested a thousand deep", "\"value\":1",
                    "\"value\":" + std::string(1000, '[') + std::string(1000, ']')),
        liar_writes("text that is not UTF-8", "\"value\":1", "\"value\":\"\xff\xfe\""),
        liar_writes("an overlong UTF-8 form", "\"value\":1", "\"value\":\"\xc0\xaf\""),
        liar_writes("a surrogate half", "\"value\":1", "\"value\":\"\\ud800\""),
        liar_writes("something behind the object", "\"wall_ms\":1795590000000}",
                    "\"wall_ms\":1795590000000}{}"),
        liar_says("a line of 17 KiB", "R02",
                  [](Liar& l) {
                      l.say(l.envelope("reading", {{"text", std::string(17 * 1024, 'x')}}));
                  }),
        liar_says("65 keys in one object", "R02",
                  [](Liar& l) {
                      json body = json::object();
                      for (int i = 0; i < 65; ++i)
                          body["k" + std::to_string(i)] = i;
                      l.say(l.envelope("reading", body));
                  }),
        liar_says("a field nobody knows", "R02", [](Liar& l) { l.with("psig", "x"); }),
        liar_says("a field left out", "R02", [](Liar& l) { l.without("hlc"); }),
        liar_says("an empty job", "R02", [](Liar& l) { l.with("job", ""); }),
        liar_says("a sequence number as text", "R02", [](Liar& l) { l.with("seq", "2"); }),
        liar_says("a zone of two days", "R02", [](Liar& l) { l.with("tz_min", 2880); }),
        liar_says("a clock of three parts", "R02",
                  [](Liar& l) {
                      l.with("hlc", json::array({1, 2, 3}));
                  }),
        liar_says("a reference that is no id", "R02", [](Liar& l) { l.with("refs", json::array({"abc"})); }),
        liar_says("format 2", "R03", [](Liar& l) { l.with("v", 2); }),
        liar_says("format 0", "R02", [](Liar& l) { l.with("v", 0); }),
    };
    cases.push_back({"no line feed at the end", "R02", [](Scene& s) {
                         s.liar.hello().reading();
                         s.liar.text.pop_back();
                         s.put_liar();
                     }});
    cases.push_back({"an empty line between", "R02", [](Scene& s) {
                         s.liar.hello();
                         s.liar.text += "\n";
                         s.liar.reading();
                         s.put_liar();
                     }});
    cases.push_back({"a segment of nothing", "R13",
                     [](Scene& s) { s.put(share::device_folder(s.liar.key.device()), "", 1, 1); }});
    cases.push_back({"a segment of 2 MiB", "R02", [](Scene& s) {
                         s.put(share::device_folder(s.liar.key.device()), std::string(2U << 20U, 'x'), 1, 1);
                     }});
    return cases;
}

std::vector<Case> chain_cases()
{
    return {
        liar_says("an entry skipped", "R13",
                  [](Liar& l) {
                      ++l.seq, l.reading();
                      --l.seq;
                  }),
        liar_says("a prev that is another's", "R07",
                  [](Liar& l) {
                      l.prev = std::string(64, '1');
                      l.reading();
                  }),
        liar_says("a clock that stands", "R07",
                  [](Liar& l) {
                      l.with("hlc", json::array({FakeClock::kStart, 0}));
                  }),
        liar_says("a clock that runs back", "R07",
                  [](Liar& l) {
                      l.with("hlc", json::array({FakeClock::kStart - 1, 0}));
                  }),
        {"a first entry that names nobody", "R07",
         [](Scene& s) {
             s.liar.reading();
             s.put_liar();
         }},
        {"a first entry that follows something", "R07",
         [](Scene& s) {
             s.liar.prev = std::string(64, '2');
             s.liar.hello();
             s.put_liar();
         }},
        {"lines swapped", "R13",
         [](Scene& s) {
             auto l = s.honest_lines();
             std::swap(l[1], l[2]);
             s.swap_honest(l);
         },
         false},
        {"a line dropped", "R13",
         [](Scene& s) {
             auto l = s.honest_lines();
             l.erase(l.begin() + 1);
             s.swap_honest(l);
         },
         false},
        {"a line twice", "R13",
         [](Scene& s) {
             auto l = s.honest_lines();
             l.insert(l.begin() + 1, l[1]);
             s.swap_honest(l);
         },
         false},
        {"another machine's line in the folder", "R13",
         [](Scene& s) {
             s.put(share::device_folder(s.liar.key.device()), s.honest_lines()[0] + "\n", 1, 1);
         }},
        {"the name says more than is inside", "R13",
         [](Scene& s) {
             s.liar.hello();
             s.put(share::device_folder(s.liar.key.device()), s.liar.text, 1, 2);
         }},
        {"the name says less than is inside", "R13",
         [](Scene& s) {
             s.liar.hello().reading();
             s.put(share::device_folder(s.liar.key.device()), s.liar.text, 1, 1);
         }},
        {"a second record of the same machine", "R08",
         [](Scene& s) {
             s.liar.hello().reading();
             s.put_liar();
             Liar other;
             other.hello().with("wall_ms", 5);
             s.put_liar(other);
         }},
        {"a gap before the first line", "R07",
         [](Scene& s) {
             s.liar.hello().reading();
             const std::string second = s.liar.text.substr(s.liar.text.find('\n') + 1);
             s.put(share::device_folder(s.liar.key.device()), second, 2, 2);
         }},
        liar_says("another plant", "R10", [](Liar& l) { l.with("plant", "millbrook"); }),
    };
}

std::vector<Case> signature_cases()
{
    const auto liar_line = [](Scene& s, const std::function<void(std::string&)>& change) {
        s.liar.hello();
        change(s.liar.text);
        s.put_liar();
    };
    return {
        {"a value changed", "R06",
         [](Scene& s) {
             auto l = s.honest_lines();
             l[1]   = replaced(l[1], "\"value\":1", "\"value\":2");
             s.swap_honest(l);
         },
         false},
        {"a signature changed", "R06",
         [liar_line](Scene& s) { liar_line(s, [](std::string& t) { t[0] = t[0] == '0' ? '1' : '0'; }); }},
        {"a signature of zeros", "R06",
         [liar_line](Scene& s) { liar_line(s, [](std::string& t) { t.replace(0, 128, 128, '0'); }); }},
        {"a signature in capitals", "R02",
         [liar_line](Scene& s) { liar_line(s, [](std::string& t) { t.replace(0, 4, "ABCD"); }); }},
        {"S plus the group order", "R06",
         [liar_line](Scene& s) {
             liar_line(s, [](std::string& t) {
                 auto sign = *signature_from_hex(std::string_view(t).substr(0, 128));
                 // The order of the group, RFC 8032 section 5.1, little endian.
                 constexpr std::array<unsigned char, 32> kOrder{
                     0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7,
                     0xa2, 0xde, 0xf9, 0xde, 0x14, 0,    0,    0,    0,    0,    0,
                     0,    0,    0,    0,    0,    0,    0,    0,    0,    0x10};
                 unsigned carry = 0;
                 for (std::size_t i = 0; i < 32; ++i) {
                     carry += sign[32 + i] + kOrder[i];
                     sign[32 + i] = static_cast<unsigned char>(carry & 255U);
                     carry >>= 8U;
                 }
                 t.replace(0, 128, hex_of(sign));
             });
         }},
        {"signed as a roster statement", "R06",
         [](Scene& s) {
             s.liar.raw(s.liar.envelope("genesis", {{"name", "x"}}).dump(), "witnessmark1/roster\n");
             s.put_liar();
         }},
        {"signed as a head", "R06",
         [](Scene& s) {
             s.liar.raw(s.liar.envelope("genesis", {{"name", "x"}}).dump(), "witnessmark1/head\n");
             s.put_liar();
         }},
        {"signed without a context", "R06",
         [](Scene& s) {
             s.liar.raw(s.liar.envelope("genesis", {{"name", "x"}}).dump(), "");
             s.put_liar();
         }},
        {"a head with another root", "R08",
         [](Scene& s) {
             s.liar.hello();
             s.put_liar();
             const auto head =
                 share::make_head({"saltmarsh", s.liar.key.device(), 1, s.liar.prev, Hash{}}, s.liar.key);
             s.folder.files[share::path_of(share::device_folder(s.liar.key.device()), head.name)] =
                 head.bytes;
         }},
        {"a head signed by another", "R06",
         [](Scene& s) {
             s.liar.hello();
             s.put_liar();
             const auto head = share::make_head({"saltmarsh", s.liar.key.device(), 1, s.liar.prev, Hash{}},
                                                Office::key_of(8));
             s.folder.files[share::path_of(share::device_folder(s.liar.key.device()), head.name)] =
                 head.bytes;
         }},
        {"a head of nonsense", "R02",
         [](Scene& s) {
             s.liar.hello();
             s.put_liar();
             const Bytes junk = bytes_of("hello");
             s.folder.files[share::path_of(share::device_folder(s.liar.key.device()),
                                           share::HeadName{1, hex(sha256(junk)).substr(0, 32)})] = junk;
         }},
    };
}

std::vector<Case> roster_cases()
{
    return {
        {"a machine nobody enrolled", "R04",
         [](Scene& s) {
             s.liar.key = Office::key_of(77);
             s.liar.hello();
             s.put_liar();
         }},
        {"the neutral element as a key", "R04",
         [](Scene& s) {
             // Small order: any S = 0 signature would fit it in a careless library.
             s.put(share::device_folder("01" + std::string(62, '0')),
                   std::string(128, '0') + " {\"dev\":\"01" + std::string(62, '0') + "\"}\n", 1, 1);
         }},
        {"an entry after the revocation", "R05",
         [](Scene& s) {
             s.liar.hello();
             const std::string last = s.liar.prev;
             s.liar.reading();
             s.put_liar();
             s.office.say(
                 "revoke",
                 {{"dev", s.liar.key.device()}, {"last_seq", 1}, {"last_id", last}, {"reason", "lost"}});
         }},
        liar_says("a recorder that enrols a sheet", "R09",
                  [](Liar& l) {
                      l.say(l.envelope("unit", {{"code", "X"}}));
                  }),
        liar_says("a recorder that enrols a person", "R09",
                  [](Liar& l) {
                      l.say(l.envelope("person", {{"badge", "1"}}));
                  }),
        {"an auditor that takes readings", "R09",
         [](Scene& s) {
             s.liar.key = Office::key_of(8);
             s.liar.hello().reading();
             s.put_liar();
         }},
        liar_says("a countersign nobody signed", "R09",
                  [](Liar& l) {
                      l.say(l.envelope("countersign", {{"count", 1}, {"root", "x"}}));
                  }),
        {"a countersign with another badge's key", "R09",
         [](Scene& s) { s.liar_signs(s.sign_off(s.boss, "503")); }},
        {"a countersign by a fitter", "R09",
         [](Scene& s) { s.liar_signs(s.sign_off(Office::key_of(91), "417")); }},
        {"a countersign by an unknown key", "R04",
         [](Scene& s) { s.liar_signs(s.sign_off(Office::key_of(66), "502")); }},
        {"a countersign moved to another record", "R06",
         [](Scene& s) {
             Draft draft  = s.sign_off(s.boss, "502");
             json  body   = *draft.body;
             body["root"] = "y";
             draft.body   = std::make_shared<const json>(body);
             s.liar_signs(draft);
         }},
        {"a countersign moved to another job", "R06",
         [](Scene& s) {
             Draft draft = s.sign_off(s.boss, "502");
             draft.job   = "2220";
             s.liar_signs(draft);
         }},
        {"a statement by another key", "R06",
         [](Scene& s) {
             Office other = s.office;
             other.key    = Office::key_of(201);
             s.put_statement(other.made("accept", {{"ids", json::array()}, {"reason", ""}}),
                             s.office.lines.size() + 1);
         }},
        {"a second statement of one number", "R12",
         [](Scene& s) {
             Office other = s.office;
             other.lines.pop_back();
             other.head = open_statement(other.lines.back())->id;
             s.put_statement(other.made("accept", {{"ids", json::array()}, {"reason", ""}}),
                             s.office.lines.size());
         }},
        {"a statement with one letter changed", "R06",
         [](Scene& s) {
             auto statement = s.office.made("accept", {{"ids", json::array()}, {"reason", "abc"}});
             statement.line = replaced(statement.line, "abc", "abd");
             s.put_statement(statement, s.office.lines.size() + 1);
         }},
        {"an entry's signature on a statement", "R06",
         [](Scene& s) {
             auto statement         = s.office.made("accept", {{"ids", json::array()}, {"reason", "abc"}});
             const std::string body = statement.line.substr(129);
             statement.line         = hex_of(s.office.key.sign("witnessmark1/entry\n" + body)) + " " + body;
             s.put_statement(statement, s.office.lines.size() + 1);
         }},
        {"a statement of a later format", "R03",
         [](Scene& s) {
             auto statement         = s.office.made("accept", {{"ids", json::array()}, {"reason", "abc"}});
             const std::string body = replaced(statement.line.substr(129), "\"v\":1", "\"v\":2");
             statement.line         = hex_of(s.office.key.sign("witnessmark1/roster\n" + body)) + " " + body;
             s.put_statement(statement, s.office.lines.size() + 1);
         }},
        {"a statement that revokes nobody", "R02",
         [](Scene& s) {
             s.put_statement(s.office.made("revoke", {{"dev", Office::key_of(55).device()},
                                                      {"last_seq", 0},
                                                      {"last_id", ""},
                                                      {"reason", ""}}),
                             s.office.lines.size() + 1);
         }},
    };
}

std::vector<Case> name_cases()
{
    const auto foreign = [](const char* name, const std::string& path) {
        return Case{name, "R13",
                    [path](Scene& s) { s.folder.files["witnessmark1/" + path] = bytes_of("x"); }};
    };
    std::vector<Case> cases{
        foreign("a name in capitals",
                "dev/0123456789abcdef/seg/000000/0000000001-0000000001-" + std::string(32, 'A') + ".jsonl"),
        foreign("a conflict copy", "dev/0123456789abcdef/seg/000000/0000000001-0000000001-" +
                                       std::string(32, 'a') + ".sync-conflict-20261125-070000-ABCDEFG.jsonl"),
        foreign("a reserved word", "dev/con"),
        foreign("a colon", "dev/0123456789abcdef/seg/000000/a:b"),
        foreign("a machine folder of 15 digits", "dev/0123456789abcde/seg/x"),
        foreign("a wrong group",
                "dev/0123456789abcdef/seg/000001/0000000001-0000000001-" + std::string(32, 'a') + ".jsonl"),
        foreign("a number too short", "roster/00001-" + std::string(32, 'a') + ".json"),
        foreign("a photo in the wrong folder", "blob/00/" + std::string(64, 'a') + ".jpg"),
        {"a link", "R13", [](Scene& s) { s.folder.oddities.insert("witnessmark1/dev/link"); }},
        {"a photo that is no picture", "R11",
         [](Scene& s) {
             const Bytes junk = bytes_of("no picture");
             s.liar.hello().say(s.liar.envelope("photo", {{"sha256", hex(sha256(junk))}}));
             s.put_liar();
             s.folder.files[share::path_of(share::PhotoName{hex(sha256(junk)), 1})] = junk;
         }},
        {"a photo cut short that still ends as one", "R11",
         [](Scene& s) {
             auto picture = support::numbered_jpeg(4);
             picture.erase(picture.begin() + static_cast<std::ptrdiff_t>(picture.size() / 2),
                           picture.end() - 2);
             s.liar.hello().say(s.liar.envelope("photo", {{"sha256", hex(sha256(picture))}}));
             s.put_liar();
             s.folder.files[share::path_of(share::PhotoName{hex(sha256(picture)), 1})] = picture;
         }},
        {"a segment with a byte changed, later ones there", "R01",
         [](Scene& s) {
             s.liar.hello();
             s.put_liar();
             s.folder.files.rbegin();
             const auto path =
                 s.folder.with("/dev/" + share::device_folder(s.liar.key.device()) + "/seg/").front();
             s.folder.files[path][40] ^= 1U;
             const std::string before = s.liar.text;
             s.liar.reading();
             s.put(share::device_folder(s.liar.key.device()), s.liar.text.substr(before.size()), 2, 2);
         }},
    };
    return cases;
}

/// The codes a fresh, enrolled reader gives, and what must hold in every case.
std::set<std::string> codes_of(const Case& forged)
{
    Scene scene;
    forged.forge(scene);
    scene.office.tell(scene.reader.book);
    const std::size_t     before = scene.reader.book.entries_of_kind(kind::reading).size();
    const auto            report = scene.reader.exchange(scene.folder, scene.clock);
    std::set<std::string> codes;
    for (const auto& finding : report.findings)
        codes.insert(finding.code);
    if (report.foreign > 0) codes.insert("R13");
    if (forged.honest_comes_in) {
        const auto of_honest = scene.reader.book.entries_of_machine(scene.honest.book.device(), 1, 100);
        CHECK_MESSAGE(of_honest.size() >= 4, "the honest machine's record did not come in");
        CHECK(scene.reader.book.entries_of_job("2219").size() >= 3);
    }
    CHECK(before == 0);
    CHECK(check_book(scene.reader.book.file())->photos_missing <= 1);
    return codes;
}

} // namespace

TEST_SUITE("trust row 9: forgeries")
{
    TEST_CASE("every named forgery is refused with its code, and stops no other machine's record")
    {
        std::vector<Case> all = form_cases();
        for (auto part : {chain_cases(), signature_cases(), roster_cases(), name_cases()})
            std::move(part.begin(), part.end(), std::back_inserter(all));
        std::size_t wrong = 0;
        for (const Case& forged : all) {
            CAPTURE(forged.name);
            const auto  codes = codes_of(forged);
            std::string met;
            for (const std::string& code : codes)
                met += code + " ";
            CHECK_MESSAGE(codes.count(forged.code) == 1,
                          forged.name << ": expected " << forged.code << ", met " << met);
            wrong += 1 - codes.count(forged.code);
        }
        MESSAGE("row 9: " << all.size() << " named forgeries, " << wrong << " without their code");
        CHECK(all.size() >= 60);
    }
}
