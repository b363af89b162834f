// A pack from which something was left out, its contents signed anew by whoever left it out.
#include "engine/procedure/facts_codec.h"
#include "sync/enrolment.h"
#include "sync/names.h"
#include "sync/pack.h"
#include "sync/pack_form.h"

#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"
#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using nlohmann::json;
using support::FakeClock;
using support::TempFolder;

namespace {

std::string text_of_file(const MemoryFolder& folder, const std::string& name)
{
    const auto& bytes = folder.files.at(name);
    return {bytes.begin(), bytes.end()};
}

/// Two tablets on one job; the first is the supervisor's as well.
struct Reviewed {
    TempFolder   place;
    FakeClock    clock;
    MemoryFolder shared;
    Machine      desk{place, clock, 1}, tablet{place, clock, 2};

    Reviewed()
    {
        for (int i = 0; i < 4; ++i) {
            desk.read("2219", 100 + i);
            tablet.read("2219", 200 + i);
        }
        meet();
    }
    void meet()
    {
        for (int round = 0; round < 2; ++round) {
            tablet.exchange(shared, clock);
            desk.exchange(shared, clock);
        }
    }
    /// As the bench writes it: over the record as this machine knows it.
    std::string review(const char* kind)
    {
        const auto          before = desk.book.entries_of_job("2219");
        const engine::Draft draft{
            "205",
            kind,
            "2219",
            "",
            "",
            {},
            std::make_shared<const json>(json{{"count", before.size()}, {"root", engine::root_of(before)}})};
        const auto kept = desk.book.append(draft);
        REQUIRE(kept);
        return kept->id;
    }
    void correct(const std::string& id)
    {
        const engine::Draft draft{"417",
                                  engine::kind::correction,
                                  "2219",
                                  "A",
                                  "seat",
                                  {id},
                                  std::make_shared<const json>(json{{"reason", "misread"}, {"value", 7}})};
        REQUIRE(desk.book.append(draft));
    }
    MemoryFolder pack()
    {
        MemoryFolder folder;
        const auto   made = share::make_pack(desk.book, {{"2219"}, ""}, folder, clock);
        REQUIRE_MESSAGE(made, (made ? "" : made.error().message));
        return folder;
    }
};

share::PackReport report_of(MemoryFolder& folder)
{
    const auto report = share::check_pack(folder);
    REQUIRE(report);
    REQUIRE(report->completeness.size() == 1);
    return *report;
}

bool is_line_of(const std::string& line, const std::string& what)
{
    return line.find(what) != std::string::npos;
}

/// Takes the lines that hold `what` out of the pack, with their proofs, and signs the contents with the
/// maker's key: the attack of whoever made the pack.
void leave_out(Reviewed& plant, MemoryFolder& folder, const std::string& what)
{
    std::string lines, proofs, gone;
    std::string all = text_of_file(folder, "lines.jsonl");
    for (std::size_t end = all.find('\n'); end != std::string::npos; end = all.find('\n')) {
        const std::string line = all.substr(0, end);
        all.erase(0, end + 1);
        if (!is_line_of(line, what))
            lines += line + "\n";
        else
            gone += engine::hex(engine::sha256(line.substr(129))) + " ";
    }
    REQUIRE_FALSE(gone.empty());
    std::string of_proofs = text_of_file(folder, "proofs.jsonl");
    for (std::size_t end = of_proofs.find('\n'); end != std::string::npos; end = of_proofs.find('\n')) {
        const std::string proof = of_proofs.substr(0, end);
        of_proofs.erase(0, end + 1);
        if (gone.find(json::parse(proof)["id"].get<std::string>()) == std::string::npos)
            proofs += proof + "\n";
    }
    auto contents = share::pack::opened(text_of_file(folder, "contents.txt"));
    REQUIRE(contents);
    contents->lines_sha256  = engine::hex(engine::sha256(lines));
    contents->proofs_sha256 = engine::hex(engine::sha256(proofs));
    const auto key          = engine::MachineKey::load(plant.desk.book.file().string() + ".key");
    REQUIRE(key);
    const auto sealed = share::pack::sealed(*contents, *key);
    REQUIRE(sealed);
    folder.files["lines.jsonl"].assign(lines.begin(), lines.end());
    folder.files["proofs.jsonl"].assign(proofs.begin(), proofs.end());
    folder.files["contents.txt"].assign(sealed->begin(), sealed->end());
}

} // namespace

TEST_SUITE("pack is complete")
{
    TEST_CASE("a countersigned job is complete as it stood, and what came later is counted")
    {
        Reviewed plant;
        plant.review(engine::kind::countersign);
        auto       folder = plant.pack();
        const auto whole  = report_of(folder);
        CHECK(whole.whole);
        CHECK(whole.completeness[0].proven);
        CHECK(whole.completeness[0].covered == 8);
        CHECK(whole.completeness[0].later == 0);
        plant.desk.read("2219", 900);
        auto       more = plant.pack();
        const auto then = report_of(more);
        CHECK(then.whole);
        CHECK(then.completeness[0].proven);
        CHECK(then.completeness[0].later == 1);
        const std::string number =
            std::to_string(share::last_entry_of(plant.desk.book, plant.desk.book.device()));
        CHECK(then.completeness[0].sentence.find("1 entry came later (entry " + number + " of machine " +
                                                 share::device_folder(plant.desk.book.device()) + ")") !=
              std::string::npos);
    }

    TEST_CASE("an entry left out of a countersigned job is a break, whatever the contents say")
    {
        for (const char* const what : {"\"value\":102}", "\"value\":203}", "\"correction\""}) {
            CAPTURE(what);
            Reviewed plant;
            plant.correct(plant.desk.read("2219", 110));
            plant.review(engine::kind::countersign);
            auto folder = plant.pack();
            CHECK(report_of(folder).whole);
            leave_out(plant, folder, what);
            const auto report = report_of(folder);
            CHECK_FALSE(report.whole);
            CHECK(report.completeness[0].broken);
            CHECK(report.first_break.find("countersignature by badge 205") != std::string::npos);
        }
    }

    TEST_CASE("a return covers the record as well as a countersignature, and each is compared")
    {
        Reviewed plant;
        plant.review(engine::kind::job_return);
        plant.desk.read("2219", 500);
        plant.review(engine::kind::countersign);
        auto folder = plant.pack();
        CHECK(report_of(folder).completeness[0].covered == 10);
        leave_out(plant, folder, "\"value\":500}");
        CHECK_FALSE(report_of(folder).whole);
        auto again = plant.pack();
        leave_out(plant, again, "\"kind\":\"return\"");
        CHECK_FALSE(report_of(again).whole);
    }

    TEST_CASE("a job nobody reviewed, or whose review was left out, is named not proven complete")
    {
        Reviewed plant;
        auto     open = plant.pack();
        CHECK(report_of(open).whole);
        CHECK_FALSE(report_of(open).completeness[0].proven);
        CHECK(report_of(open).completeness[0].sentence.find("not proven complete") != std::string::npos);
        plant.review(engine::kind::countersign);
        auto folder = plant.pack();
        leave_out(plant, folder, "\"kind\":\"countersign\"");
        CHECK_FALSE(report_of(folder).completeness[0].proven);
    }

    TEST_CASE("what another tablet wrote before the review and sent after it breaks nothing")
    {
        Reviewed plant;
        plant.tablet.read("2219", 600); // the desk has not heard of it
        plant.tablet.read("2219", 601);
        plant.review(engine::kind::countersign);
        plant.meet();
        auto       folder = plant.pack();
        const auto report = report_of(folder);
        CHECK(report.first_break == "");
        CHECK(report.completeness[0].proven);
        CHECK(report.completeness[0].covered == 8);
        CHECK(report.completeness[0].later == 2);
        // And yet nothing the review covers can be left out for what came late.
        leave_out(plant, folder, "\"value\":201}");
        CHECK_FALSE(report_of(folder).whole);
    }

    TEST_CASE(
        "a pack holds every instrument and sheet its lines name, with calibration, and who the badges are")
    {
        Reviewed   plant;
        const auto append = [&](const char* kind, const json& body) {
            const engine::Draft draft{"401", kind, "", "", "", {}, std::make_shared<const json>(body)};
            REQUIRE(plant.desk.book.append(draft));
        };
        const json micrometer{{"tag", "M-07"},          {"tool", "micrometer"},
                              {"unit", "mm"},           {"low_e6", 25000000},
                              {"high_e6", 50000000},    {"resolution_e6", 1000},
                              {"error_limit_e6", 4000}, {"calibration_due", "2027-03-31"}};
        json       other = micrometer;
        other["tag"]     = "M-99";
        append(engine::kind::instrument, micrometer);
        append(engine::kind::instrument, other);
        append(engine::kind::person,
               {{"badge", "417"}, {"role", "fitter"}, {"pin_check", "$argon2id$secret"}});
        append(engine::kind::person, {{"badge", "999"}, {"role", "planner"}});
        const engine::Draft reading{
            "417",
            engine::kind::reading,
            "2219",
            "A",
            "seat",
            {},
            std::make_shared<const json>(json{{"ask", "diameter"}, {"tool", "M-07"}})};
        REQUIRE(plant.desk.book.append(reading));
        auto              folder = plant.pack();
        const std::string lines  = text_of_file(folder, "lines.jsonl");
        CHECK(is_line_of(lines, "\"calibration_due\":\"2027-03-31\""));
        CHECK(is_line_of(lines, "\"tag\":\"M-07\""));
        CHECK_FALSE(is_line_of(lines, "M-99"));
        CHECK_FALSE(is_line_of(lines, "secret"));
        const auto contents = share::pack::opened(text_of_file(folder, "contents.txt"));
        REQUIRE(contents);
        CHECK(contents->people == std::map<std::string, std::string>{{"417", "fitter"}});
        CHECK(report_of(folder).people == 1);
    }
}
