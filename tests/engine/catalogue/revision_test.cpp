// Which revision is the later one, and what a file may not do to the sheets in the book.
#include "engine/catalogue/revision.h"

#include <doctest/doctest.h>

#include "tests/engine/catalogue/table_maker.h"

using namespace engine;

namespace {

UnitSheet sheet_of(const std::string& revision, double torque = 160)
{
    UnitSheet sheet;
    sheet.code        = "BLOCK-1";
    sheet.revision    = revision;
    sheet.bolt_torque = NewtonMetres{torque};
    return sheet;
}

/// A book that took these one after the other.
Catalogue book_of(const std::vector<UnitSheet>& sheets)
{
    Catalogue known;
    for (const UnitSheet& sheet : sheets) {
        known.units.insert_or_assign(sheet.code, sheet);
        known.issues[sheet.code].push_back({{static_cast<std::int64_t>(known.issues.size()), 0}, sheet});
    }
    return known;
}

RevisionsJudged judged(const UnitSheet& sheet, const Catalogue& known)
{
    CsvTable table;
    table.file   = "units.csv";
    table.header = {"code"};
    table.rows   = {{2, {" "}}, {5, {sheet.code}}}; // a blank row above
    return judge_revisions(table, {sheet}, known);
}

} // namespace

TEST_SUITE("engine/catalogue/revision")
{
    TEST_CASE("revisions count as people count them")
    {
        struct Row {
            const char *older, *newer;
        };
        for (const Row& row : {Row{"R3", "R10"}, Row{"A", "B"}, Row{"Z", "AA"}, Row{"2", "10"},
                               Row{"2", "2.1"}, Row{"2.9", "2.10"}, Row{"R3", "R3a"}, Row{"R3a", "R3b"},
                               Row{"r3", "R4"}, Row{"2025-11", "2026-02"}, Row{"2026-02", "2026-02-15"},
                               Row{"20251130", "20260201"}, Row{"11.2025", "02.2026"},
                               Row{"30.11.2025", "01.02.2026"}, Row{"rev-3", "rev-4"}, Row{"R09", "R10"}}) {
            CAPTURE(row.older);
            CAPTURE(row.newer);
            CHECK(order_of(row.older, row.newer) == RevisionOrder::older);
            CHECK(order_of(row.newer, row.older) == RevisionOrder::newer);
            CHECK(order_of(row.older, row.older) == RevisionOrder::same);
        }
        CHECK(order_of("R03", "r3") == RevisionOrder::same);
        CHECK(order_of("R-3", "R3") == RevisionOrder::same);
    }

    TEST_CASE("what has nothing in common cannot be put in order")
    {
        for (const auto& [one, other] : {std::pair{"R3", "2026-02"},
                                         {"draft", "final"},
                                         {"R3", "3"},
                                         {"2026-02", "02.2025"},
                                         {"R3", "R3-draft"},
                                         {"R3-draft", "R3"}}) {
            CAPTURE(one);
            CAPTURE(other);
            CHECK(order_of(one, other) == RevisionOrder::unknown);
        }
    }

    TEST_CASE("the same revision with other values is refused, naming what the book has")
    {
        const auto told = judged(sheet_of("R3", 180), book_of({sheet_of("R3", 160)}));
        REQUIRE(told.faults.size() == 1);
        CHECK(sentence(told.faults.front()) == "units.csv:5, column revision: 'R3' of BLOCK-1 is in the book "
                                               "with bolt_torque 160Nm where the file has "
                                               "180Nm; give the changed sheet a new revision.");
        // An older sheet of the book counts as well, though another one is newer.
        CHECK(
            judged(sheet_of("R3", 180), book_of({sheet_of("R3", 160), sheet_of("R4", 170)})).faults.size() ==
            1);
        CHECK(judged(sheet_of("R3", 160), book_of({sheet_of("R3", 160)})).faults.empty());
        CHECK(judged(sheet_of("R3", 160.0001), book_of({sheet_of("R3", 160)}))
                  .faults.empty()); // as entries keep it
    }

    TEST_CASE("an older revision over a newer one is refused, a newer one is taken")
    {
        const auto known = book_of({sheet_of("R9"), sheet_of("R10")});
        const auto told  = judged(sheet_of("R9"), known);
        REQUIRE(told.faults.size() == 1);
        CHECK(sentence(told.faults.front()) == "units.csv:5, column revision: 'R9' is older than R10 of "
                                               "BLOCK-1 in the book; give the sheet that counts "
                                               "now, with a later revision.");
        CHECK(judged(sheet_of("R11", 180), known).faults.empty());
        CHECK(judged(sheet_of("R11", 180), known).unsure.empty());
        CHECK(judged(sheet_of("R1"), book_of({})).faults.empty());
    }

    TEST_CASE("a revision that cannot be put in order is taken and told")
    {
        const auto told = judged(sheet_of("2026-02", 180), book_of({sheet_of("R3")}));
        CHECK(told.faults.empty());
        REQUIRE(told.unsure.size() == 1);
        CHECK(told.unsure.front().wrong.find("cannot be put in order with R3 of BLOCK-1") == 0);
    }
}
