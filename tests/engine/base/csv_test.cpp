#include "engine/base/csv.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>

using namespace engine;

namespace {
std::string complaint(std::string_view text)
{
    const auto table = parse_csv(text, "units.csv");
    return table ? "" : table.error().message;
}
} // namespace

TEST_SUITE("engine/base/csv")
{
    // RFC 4180, section 2.
    TEST_CASE("quoted cells keep commas, line breaks and doubled quotes [RFC 4180]")
    {
        const auto table =
            parse_csv("a,b\r\n\"1,5\",\"say \"\"yes\"\"\"\r\n\"two\nlines\",x\r\n,\r\n", "t.csv");
        REQUIRE(table);
        REQUIRE(table->rows.size() == 3);
        CHECK(table->rows[0].cells[0] == "1,5");
        CHECK(table->rows[0].cells[1] == "say \"yes\"");
        CHECK(table->rows[1].cells[0] == "two\nlines");
        CHECK(table->rows[1].line == 3);
        CHECK(table->rows[2].line == 5);
        CHECK(table->rows[2].cells[1].empty());
    }

    TEST_CASE("a byte-order mark, comments and blank lines are passed over, and lines still count")
    {
        const auto table = parse_csv("\xEF\xBB\xBF# ours\n\n code , bore\n#no\nU1,50mm\n\nU2,60mm", "t.csv");
        REQUIRE(table);
        CHECK(table->column("code") == 0);
        CHECK(table->column("bore") == 1);
        CHECK(table->column("taper") == -1);
        REQUIRE(table->rows.size() == 2);
        CHECK(table->rows[0].line == 5);
        CHECK(table->rows[1].line == 7);
        CHECK(table->rows[1].cells[1] == "60mm");
    }

    TEST_CASE("the header says whether commas, semicolons or tabs separate")
    {
        for (const auto& [text, mark] : {std::pair{"# a;b;c;d\ncode,bore\nU1,\"49,97mm; new\"\n", ','},
                                         std::pair{"code;bore\nU1;\"49,97mm; new\"\n", ';'},
                                         std::pair{"code\tbore\nU1\t49,97mm; new\n", '\t'}}) {
            CAPTURE(text);
            const auto table = parse_csv(text, "units.csv");
            REQUIRE(table);
            CHECK(table->separator == mark);
            CHECK(table->header == std::vector<std::string>{"code", "bore"});
            REQUIRE(table->rows.size() == 1);
            CHECK(table->rows[0].cells[1] == "49,97mm; new");
        }
        // Marks inside quotes do not count, and the mark of the header holds for every row.
        CHECK(parse_csv("\"a;b;c\",d\n1,2\n", "t.csv")->header.front() == "a;b;c");
        CHECK(complaint("code;bore\nU1,50mm\n") == "units.csv:2: the row has 1 cells, the header names 2.");
    }

    TEST_CASE("comments come back from a spreadsheet padded or in quotes, and are passed over still")
    {
        const auto table = parse_csv("\xEF\xBB\xBF# code: needed;;\n\"# bore: needed, in "
                                     "mm\";;\ncode;bore;role\n\"# more\";\"\"; \nU1;50mm;\n",
                                     "t.csv");
        REQUIRE(table);
        CHECK(table->header_line == 3);
        CHECK(table->column("role") == 2);
        REQUIRE(table->rows.size() == 1);
        CHECK(table->rows[0].line == 5);
        // A cell that begins with # in a row that says more is data: nothing is lost unseen.
        CHECK(parse_csv("group,time\n\"#1\",20\n", "t.csv")->rows.size() == 1);
    }

    TEST_CASE("every fault of form names file and line")
    {
        CHECK(complaint("a,b\n1,2\n3\n") == "units.csv:3: the row has 1 cells, the header names 2.");
        CHECK(complaint("a,b\n1,2,3\n").find("units.csv:2:") == 0);
        CHECK(complaint("a,b\n1,\"2\n\n").find("units.csv:2: a quote") == 0);
        CHECK(complaint("a,b\n1,\"2\"x\n").find("units.csv:2:") == 0);
        CHECK(complaint("").find("header") != std::string::npos);
        CHECK(complaint("# only this\n").find("header") != std::string::npos);
        CHECK(complaint(std::string_view("a,b\n1,\0\n", 8)).find("NUL") != std::string::npos);
        CHECK(complaint("a,b\n1,\xE9\n").find("UTF-8") != std::string::npos);
        CHECK(complaint("a,b\n1,\xC0\xAF\n").find("UTF-8") != std::string::npos);
        CHECK(complaint("a,b\n1,\xED\xA0\x80\n").find("UTF-8") != std::string::npos);
        CHECK(complaint("a,b\n1,\u00e9\n").empty());
        CHECK(complaint(std::string((16U << 20U) + 1U, 'a')).find("16 MiB") != std::string::npos);
    }

    TEST_CASE("a file that is not there and a folder are told apart from a bad table")
    {
        CHECK(read_csv("no/such/file.csv").error().fault == Fault::not_found);
        CHECK(read_csv(std::filesystem::temp_directory_path()).error().fault == Fault::io);
    }

    TEST_CASE("cutting a good table at every byte never does worse than a complaint")
    {
        const std::string good = "a,b\r\n\"x\"\"y\",\"1\n2\"\r\n\u00b5,\"\"\r\n";
        for (std::size_t n = 0; n <= good.size(); ++n) {
            const auto table = parse_csv(std::string_view(good).substr(0, n), "t.csv");
            if (!table) CHECK(table.error().message.find("t.csv:") == 0);
        }
    }
}
