// Forgeries of chain, signature and context.
#include "tests/trust/forged.h"

namespace forged {

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
                     carry += static_cast<unsigned>(sign[32 + i]) + kOrder[i];
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

} // namespace forged
