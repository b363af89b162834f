// Entry bodies into facts. The way there is in facts_codec.cpp.
#include "engine/procedure/body_reader.h"
#include "engine/procedure/facts_codec.h"

#include <utility>

namespace engine {
namespace {

Verdict verdict_in(BodyReader& in)
{
    const auto verdict = verdict_from(in.text("verdict"));
    if (!verdict) in.complain("verdict", "is not inside, undecided or outside");
    return verdict ? *verdict : Verdict::outside;
}

/// Value, unit, uncertainty, limits, verdict. The value in SI must be the one the text stands for.
void read_value(BodyReader& in, ReadingFact& fact)
{
    const std::string text = in.text("text");
    const auto        unit = unit_from_symbol(in.text("unit"));
    if (!unit) in.complain("unit", "is not a unit");
    fact.value.si = in.whole("si");
    if (in.good()) {
        const auto entered = enter_kept(text, *unit);
        if (!entered || entered->si != fact.value.si)
            in.complain("si", "is not what the text '" + text + "' stands for");
        else
            fact.value = *entered;
    }
    fact.u_si    = in.maybe_whole("u_si").value_or(0);
    fact.verdict = verdict_in(in);
    Limits limits{in.maybe_whole("lo"), in.maybe_whole("hi"), in.text_or("src", "")};
    if (limits.low || limits.high || !limits.source.empty()) fact.limits = std::move(limits);
}

template <class Fact> Result<Fact> checked(const BodyReader& in, Fact fact)
{
    if (!in.good()) return in.failure();
    return fact;
}

} // namespace

Signed signed_of(const Entry& entry)
{
    return {entry.id, entry.said.actor, entry.wall_ms, entry.tz_min, entry.dev};
}

int attempt_said(const Entry& entry)
{
    constexpr std::int64_t kMost = 1'000'000;
    BodyReader             in(entry);
    const std::int64_t     attempt = in.maybe_whole("attempt").value_or(1);
    return attempt >= 1 && attempt <= kMost ? static_cast<int>(attempt) : 0;
}

Result<ReadingFact> reading_of(const Entry& entry)
{
    BodyReader  in(entry);
    ReadingFact fact;
    fact.at   = signed_of(entry);
    fact.ask  = in.text("ask");
    fact.slot = in.text_or("slot", "");
    read_value(in, fact);
    fact.part_mc = in.maybe_whole("part_mc");
    fact.tool    = in.text_or("tool", "");
    fact.via     = in.text_or("via", "typed");
    return checked(in, std::move(fact));
}

Result<ChoiceFact> choice_of(const Entry& entry)
{
    BodyReader in(entry);
    ChoiceFact fact{signed_of(entry), in.text("ask"), in.text("option"), true};
    return checked(in, std::move(fact));
}

Result<CodeFact> code_of(const Entry& entry)
{
    BodyReader in(entry);
    CodeFact   fact{signed_of(entry), in.text("ask"), in.text("text"), in.text_or("via", "typed")};
    if (fact.text.empty()) in.complain("text", "is empty");
    return checked(in, std::move(fact));
}

Result<PhotoFact> photo_of(const Entry& entry)
{
    BodyReader in(entry);
    PhotoFact  fact{signed_of(entry), in.text("ask"), in.text("sha256"), in.text_or("source", "")};
    if (!hash_from_hex(fact.sha256)) in.complain("sha256", "is not a hash");
    return checked(in, std::move(fact));
}

Result<DoneFact> done_of(const Entry& entry)
{
    BodyReader in(entry);
    DoneFact   fact;
    fact.procedure = in.text("procedure");
    fact.verdict   = verdict_in(in);
    fact.deviation = in.flag("deviation");
    for (const auto& [key, value] : in.object("figures").items()) {
        if (!value.is_number_integer()) in.complain("figures", "holds something that is not a whole number");
        if (in.good()) fact.figures[key] = value.get<std::int64_t>();
    }
    return checked(in, std::move(fact));
}

Result<DeviationFact> problem_of(const Entry& entry)
{
    BodyReader    in(entry);
    DeviationFact fact{signed_of(entry), in.text("reason"), in.flag("skip")};
    return checked(in, std::move(fact));
}

Result<DecisionFact> decision_of(const Entry& entry)
{
    BodyReader   in(entry);
    DecisionFact fact{signed_of(entry), in.flag("accept"), in.text("reason")};
    return checked(in, std::move(fact));
}

Result<BackOffFact> back_off_of(const Entry& entry)
{
    BodyReader  in(entry);
    BackOffFact fact{in.text("reason")};
    return checked(in, std::move(fact));
}

Result<CorrectionFact> correction_of(const Entry& entry)
{
    BodyReader     in(entry);
    CorrectionFact fact;
    fact.reason = in.text("reason");
    if (entry.said.refs.size() != 1)
        in.complain("refs", "must name the one reading it corrects");
    else
        fact.target = entry.said.refs.front();
    fact.value.at = signed_of(entry);
    read_value(in, fact.value);
    return checked(in, std::move(fact));
}

Result<HandOverFact> hand_over_of(const Entry& entry)
{
    BodyReader   in(entry);
    HandOverFact fact{in.text("to")};
    return checked(in, std::move(fact));
}

Result<ReviewFact> review_of(const Entry& entry)
{
    BodyReader in(entry);
    ReviewFact fact;
    fact.countersigned       = entry.said.kind == kind::countersign;
    fact.reason              = in.text_or("reason", "");
    const std::int64_t count = in.whole("count");
    if (count < 0) in.complain("count", "is negative");
    fact.count = static_cast<std::uint64_t>(count < 0 ? 0 : count);
    fact.root  = in.text("root");
    return checked(in, std::move(fact));
}

Result<EndFact> end_of(const Entry& entry)
{
    BodyReader in(entry);
    EndFact    fact{in.text("reason")};
    return checked(in, std::move(fact));
}

} // namespace engine
