// Row 9 of the plan: every named forgery against a fresh, enrolled reader.
#include "tests/trust/forged.h"

using namespace engine;
using namespace forged;

namespace {

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
