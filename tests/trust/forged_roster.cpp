// Forgeries against the enrolment list, and tricks with names.
#include "tests/trust/forged.h"

namespace forged {

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
} // namespace forged
