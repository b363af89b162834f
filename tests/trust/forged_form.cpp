// Forgeries of form: every one a valid signature over bytes that are not canonical.
#include "tests/trust/forged.h"

namespace forged {

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
                      l.say(l.envelope("reading", {{"text", std::string(17UL * 1024, 'x')}}));
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

} // namespace forged
