// Canonical form: RFC 8785 (JSON Canonicalization Scheme), narrowed by FORMAT.md section 1. Signatures: RFC
// 8032.
#include "engine/book/codec.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <array>
#include <future>
#include <string>

#include "tests/engine/book/drafts.h"

using namespace engine;
using nlohmann::json;

namespace {

const std::array<unsigned char, 32> kSeed{7, 7, 7};

Entry sealed(const Draft& said)
{
    const MachineKey key = MachineKey::from_seed(kSeed);
    Entry            entry;
    entry.dev     = key.device();
    entry.seq     = 2;
    entry.prev    = std::string(64, 'a');
    entry.hlc_ms  = 1795590000000;
    entry.wall_ms = 1795590000000;
    entry.tz_min  = 60;
    entry.mono_ms = 1000;
    entry.boot    = "b00t0001";
    entry.tq      = "manual";
    entry.said    = said;
    REQUIRE(seal_entry(entry, key, "saltmarsh"));
    return entry;
}

Entry good()
{
    Draft said = reading("2219", "A", "seat", 499'700);
    said.refs  = {std::string(64, 'b')};
    return sealed(said);
}

/// A line over any JSON text, with a signature that fits: what a forger with a real key could make.
std::string signed_over(const std::string& text)
{
    const Signature signature = MachineKey::from_seed(kSeed).sign("witnessmark1/entry\n" + text);
    Hash            low{};
    Hash            high{};
    std::copy_n(signature.begin(), 32, low.begin());
    std::copy_n(signature.begin() + 32, 32, high.begin());
    return hex(low) + hex(high) + " " + text;
}

std::string json_of(const Entry& entry)
{
    return entry.line.substr(129);
}

std::string with(std::string text, const std::string& from, const std::string& to)
{
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

} // namespace

TEST_SUITE("engine/book codec")
{
    TEST_CASE("a sealed line reads back as it was said")
    {
        const Entry made = good();
        const auto  read = open_line(made.line);
        REQUIRE(read);
        CHECK(read->id == made.id);
        CHECK(read->seq == 2);
        CHECK(read->plant == "saltmarsh");
        CHECK(read->said.job == "2219");
        CHECK(read->said.refs == made.said.refs);
        CHECK(read->body() == made.body());
        CHECK(read_trusted_line(made.line)->id == made.id);
        CHECK(signed_over(json_of(made)) == made.line); // the forger below signs as the program does
    }

    TEST_CASE("what a line says is the same for everybody who asks, whichever asks first")
    {
        const Entry                           entry = *open_line(good().line);
        const Entry                           copy  = entry; // shares what is taken apart
        std::vector<std::future<std::string>> asked;
        for (int i = 0; i < 4; ++i)
            asked.push_back(std::async(std::launch::async, [copy] { return copy.body().dump(); }));
        for (auto& answer : asked)
            CHECK(answer.get() == good().body().dump());
        CHECK(&entry.body() == &copy.body());
        CHECK_FALSE(Body());
    }

    TEST_CASE("many lines opened by several threads come in their order, the damaged ones in their places")
    {
        std::vector<std::string> lines;
        for (int i = 0; i < 200; ++i) {
            lines.push_back(sealed(reading("2219", "A", "seat", i)).line);
            if (i % 50 == 7) lines.back()[200] ^= 1;
        }
        const std::vector<std::string_view> all(lines.begin(), lines.end());
        for (const unsigned threads : {1U, 2U, 5U}) {
            CAPTURE(threads);
            const auto opened = open_lines(all, threads);
            REQUIRE(opened.size() == lines.size());
            for (std::size_t i = 0; i < opened.size(); ++i)
                CHECK((i % 50 == 7 ? !opened[i] : opened[i] && opened[i]->line == lines[i]));
        }
        CHECK(open_lines({}, 4).empty());
    }

    TEST_CASE("empty fields are left out of the line")
    {
        const Entry made =
            sealed({"", kind::clock_step, "", "", "", {}, std::make_shared<const json>(json::object())});
        for (const char* key : {"actor", "job", "pos", "step", "refs"})
            CHECK(json_of(made).find('"' + std::string(key) + '"') == std::string::npos);
        CHECK(open_line(made.line));
        CHECK(open_line(signed_over(with(json_of(made), R"("hlc")", R"("job":"","hlc")"))).error().fault ==
              Fault::bad_input);
    }

    TEST_CASE("a line with any byte changed is refused")
    {
        const std::string line  = good().line;
        int               taken = 0;
        for (std::size_t i = 0; i < line.size(); ++i)
            for (const unsigned flip : {0x01U, 0x20U, 0x80U}) {
                std::string other = line;
                other[i]          = static_cast<char>(static_cast<unsigned char>(other[i]) ^ flip);
                if (open_line(other)) ++taken;
            }
        CHECK(taken == 0);
    }

    TEST_CASE("a line cut short anywhere, or with something behind it, is refused")
    {
        const std::string line  = good().line;
        int               taken = 0;
        for (std::size_t length = 0; length < line.size(); ++length)
            if (open_line(std::string_view(line).substr(0, length))) ++taken;
        CHECK(taken == 0);
        for (const char* tail : {"\n", " ", "}", "{}", "x"})
            CHECK_FALSE(open_line(line + tail));
        CHECK_FALSE(open_line(line + std::string(1, '\0')));
    }

    TEST_CASE("a changed word of a signed line is a signature that does not match")
    {
        const auto read = open_line(with(good().line, "499700", "499701"));
        REQUIRE_FALSE(read);
        CHECK(read.error().fault == Fault::bad_signature);
    }

    TEST_CASE("only the one canonical form is taken, even with a signature that fits")
    {
        const std::string text = json_of(good());
        REQUIRE(open_line(signed_over(text)));
        const std::array forms{
            with(text, R"("value":499700)", R"("value":1,"value":499700)"), // duplicate key
            with(text, R"("value":499700)", R"("value": 499700)"),          // space
            with(text, R"("value":499700)", R"("value":499700.0)"),         // float
            with(text, R"("value":499700)", R"("value":4997e2)"),           // exponent
            with(text, R"("value":499700)", R"("value":-0)"),               // minus zero
            with(text, R"("value":499700)", R"("value":9007199254740992)"), // 2^53
            with(text, R"("value":499700)",
                 R"("value":123456789012345678901234)"),            // would turn into a double
            with(text, R"("value":499700)", R"("value":null)"),     // null
            with(text, R"("ask":"seat")", R"("ask":"se\u0061t")"),  // needless escape
            with(text, R"("ask":"seat")", R"("ask":"se\/at")"),     // needless escape
            with(text, R"("ask":"seat")", R"("ask":"seat\u001F")"), // upper-case hex digit
            with(text, R"("ask":"seat")",
                 "\"ask\":\"se\xff"
                 "at\""),                                     // not UTF-8
            with(text, R"("ask":"seat")", R"("Ask":"seat")"), // key outside the alphabet
            with(text, R"("ask":"seat")", R"("a.k":"seat")"),
            with(text, R"("actor":"417",)", R"()") + R"( )",
            with(text, R"({"actor":"417","boot":"b00t0001",)",
                 R"({"boot":"b00t0001","actor":"417",)"),   // unsorted
            with(text, R"("v":1)", R"("unheard":1,"v":1)"), // unknown field
        };
        for (const std::string& form : forms) {
            CAPTURE(form);
            const auto read = open_line(signed_over(form));
            REQUIRE_FALSE(read);
            CHECK((read.error().fault == Fault::bad_input || read.error().fault == Fault::corrupt));
        }
    }

    TEST_CASE("deep nesting and too much text are refused before anything is parsed")
    {
        const std::string text = json_of(good());
        const std::string deep(200'000, '[');
        CHECK_FALSE(open_line(signed_over(with(text, "499700", deep))));
        const auto nested = [&](int levels) {
            const auto n = static_cast<std::size_t>(levels);
            return open_line(signed_over(with(text, "499700", std::string(n, '[') + std::string(n, ']'))));
        };
        CHECK(nested(kDeepest - 2)); // entry and d are two
        CHECK_FALSE(nested(kDeepest - 1));
        CHECK_FALSE(open_line(signed_over(with(text, "seat", std::string(kLongestLine, 'x')))));
    }

    TEST_CASE("a newer format is named as such")
    {
        const auto read = open_line(signed_over(with(json_of(good()), R"("v":1)", R"("v":2)")));
        REQUIRE_FALSE(read);
        CHECK(read.error().fault == Fault::unsupported);
    }

    TEST_CASE("what the program may not write is told with its key")
    {
        const auto text = canonical(json{{"b", 1}, {"a", "x\n"}});
        REQUIRE(text);
        CHECK(*text == R"({"a":"x\n","b":1})");
        CHECK(canonical(json{{"torque", 1.5}}).error().message ==
              "The entry cannot be written: the value of 'torque' is not a whole number below 2^53.");
        CHECK_FALSE(canonical(json{{"Torque", 1}}));
        CHECK_FALSE(canonical(json{{"torque", nullptr}}));
        CHECK_FALSE(canonical(json{{"a_key_of_twenty_five_char", 1}}));
        CHECK(canonical(json{{"a_key_of_twenty_four_cha", 1}}));
        CHECK(canonical(json{{"torque", (std::int64_t{1} << 53) - 1}}));
        CHECK_FALSE(canonical(json{{"torque", std::int64_t{1} << 53}}));
        CHECK_FALSE(canonical(json{{"text", "\xc3\x28"}})); // not UTF-8
        json many = json::object();
        for (int i = 0; i < 65; ++i)
            many["k" + std::to_string(i)] = i;
        CHECK_FALSE(canonical(many));
    }

    TEST_CASE("keys that are no points of the curve group sign nothing")
    {
        // Encodings of small order and beyond the field prime, RFC 8032 section 5.1.3 and RFC 7748
        // section 4.1 (p = 2^255 - 19): the identity, the point of order 2, and y = p, which is 0 written
        // another way.
        const std::string identity = "01" + std::string(62, '0');
        const std::string order_2  = "ec" + std::string(60, 'f') + "7f";
        const std::string beyond   = "ed" + std::string(60, 'f') + "7f";
        const Signature   none{};
        Signature         identity_r{};
        identity_r[0] = 1; // R = identity, S = 0: fits the identity key for any message in a lax verifier
        for (const std::string& key : {identity, order_2, beyond}) {
            CHECK_FALSE(verify("anything", none, key));
            CHECK_FALSE(verify("anything", identity_r, key));
        }
    }

    TEST_CASE("a signature with the group order added to S is refused")
    {
        // L = 2^252 + 27742317777372353535851937790883648493, RFC 8032 section 5.1
        constexpr std::array<unsigned char, 32> kOrder{
            0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14,
            0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0x10};
        const MachineKey key       = MachineKey::from_seed(kSeed);
        Signature        signature = key.sign("text");
        REQUIRE(verify("text", signature, key.device()));
        unsigned carry = 0;
        for (std::size_t i = 0; i < kOrder.size(); ++i) {
            carry += static_cast<unsigned>(signature[32 + i]) + kOrder[i];
            signature[32 + i] = static_cast<unsigned char>(carry & 0xffU);
            carry >>= 8U;
        }
        CHECK_FALSE(verify("text", signature, key.device()));
    }

    TEST_CASE("SHA-256 and Ed25519 give the published values")
    {
        // FIPS 180-4 example "abc" (NIST, SHA-256 worked example)
        CHECK(hex(sha256(std::string_view("abc"))) ==
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        // RFC 8032 section 7.1, TEST 1: secret key, public key, signature of the empty message
        const auto seed = hash_from_hex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
        REQUIRE(seed);
        const MachineKey key = MachineKey::from_seed(*seed);
        CHECK(key.device() == "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a");
        const Signature signature = key.sign("");
        Hash            low{};
        std::copy_n(signature.begin(), 32, low.begin());
        CHECK(hex(low) == "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155");
    }

    TEST_CASE("a PIN fits its own check only")
    {
        const auto check = pin_check_of("2580");
        REQUIRE(check);
        CHECK(pin_fits("2580", *check));
        CHECK_FALSE(pin_fits("2581", *check));
        CHECK_FALSE(pin_fits("2580", "not a check"));
        CHECK_FALSE(pin_check_of(""));
    }
}
