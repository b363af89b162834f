// What a planner reads about the columns is what the importer checks.
#include "engine/catalogue/columns.h"
#include "engine/catalogue/import.h"

#include <doctest/doctest.h>

#include <set>
#include <sstream>

using namespace engine;

namespace {

const PinSeal kNoSeal = [](std::string_view) -> Result<std::string> { return std::string("sealed"); };

/// The template of a file with one row of its own examples below.
CsvTable filled(PlannerFile file, std::string_view PlannerColumn::*cell = &PlannerColumn::example)
{
    std::string row;
    for (const PlannerColumn& column : columns_of(file)) {
        // A pillow block on a solid housing; a job of one position.
        const bool left_out   = column.name == "shim" || column.name == "cap_torque" || column.name == "span";
        std::string_view text = column.*cell;
        if (text.empty()) text = column.example;
        row += (row.empty() ? "\"" : ",\"") + std::string(left_out ? "" : text) + "\"";
    }
    const auto table = parse_csv(template_text(file) + row + "\n", std::string(name_of(file)) + ".csv");
    REQUIRE(table);
    return *table;
}

std::string all_of(const std::vector<ImportFault>& faults)
{
    std::string text;
    for (const ImportFault& fault : faults)
        text += sentence(fault) + "\n";
    return text;
}

} // namespace

TEST_SUITE("engine/catalogue/columns")
{
    TEST_CASE("a template filled with its own examples is taken by the importer")
    {
        Catalogue  known;
        const auto units = import_units(filled(PlannerFile::units));
        CHECK(all_of(units.faults) == "");
        REQUIRE(units.items.size() == 1);
        known.units.emplace(units.items.front().code, units.items.front());
        CHECK(all_of(import_people(filled(PlannerFile::people), kNoSeal).faults) == "");
        CHECK(import_people(filled(PlannerFile::people), kNoSeal).items.size() == 1);
        CHECK(all_of(import_instruments(filled(PlannerFile::instruments)).faults) == "");
        CHECK(import_instruments(filled(PlannerFile::instruments)).items.size() == 1);
        CHECK(all_of(import_jobs(filled(PlannerFile::jobs), known).faults) == "");
        CHECK(import_jobs(filled(PlannerFile::jobs), known).items.size() == 1);
    }

    TEST_CASE("the second example of a column is good as well")
    {
        for (const PlannerColumn& column : columns_of(PlannerFile::units)) {
            // Other sizes than the rest of the row: good cells, though not beside the others.
            const std::set<std::string_view> elsewhere{"shaft",      "turn_min", "turn_max",  "bolt_size",
                                                       "bolt_class", "shim",     "cap_torque"};
            if (column.another.empty() || elsewhere.contains(column.name)) continue;
            CAPTURE(column.name);
            CsvTable table = filled(PlannerFile::units);
            table.rows.front().cells[static_cast<std::size_t>(table.column(column.name))] = column.another;
            CHECK(all_of(import_units(table).faults) == "");
        }
    }

    TEST_CASE("the limits told are the limits kept")
    {
        for (const PlannerColumn& column : columns_of(PlannerFile::units)) {
            if (column.low.empty()) continue;
            for (const std::string_view edge : {column.low, column.high}) {
                CAPTURE(column.name);
                CAPTURE(edge);
                CsvTable     table = filled(PlannerFile::units);
                std::string& cell =
                    table.rows.front().cells[static_cast<std::size_t>(table.column(column.name))];
                cell = edge;
                CHECK(all_of(import_units(table).faults).find("outside what can be") == std::string::npos);
                if (edge == "0mm") continue;
                // Ten times more, or less than nothing, is a slip of the keyboard.
                const std::size_t digit = edge.find_first_of("0123456789");
                cell                    = edge == column.high
                                              ? std::string(edge).insert(edge.find_last_of("0123456789") + 1, "0")
                                              : std::string(edge).insert(digit, "-");
                if (column.name == "taper" && edge == column.low) cell = "1:4.9";
                CHECK(all_of(import_units(table).faults).find("column " + std::string(column.name)) !=
                      std::string::npos);
            }
        }
    }

    TEST_CASE("every column is told whole: what it takes, an example and a sentence")
    {
        for (const PlannerFile file : kPlannerFiles) {
            std::set<std::string_view> names;
            for (const PlannerColumn& column : columns_of(file)) {
                CAPTURE(name_of(file));
                CAPTURE(column.name);
                CHECK(names.insert(column.name).second);
                CHECK(column.what.empty() != column.choices.empty());
                CHECK(column.low.empty() == column.high.empty());
                CHECK(column.must == column.when.empty());
                CHECK_FALSE(column.example.empty());
                CHECK(column.about.ends_with('.'));
                CHECK(find_column(columns_of(file), column.name) == &column);
            }
        }
        CHECK(find_column(columns_of(PlannerFile::jobs), "colour") == nullptr);
    }

    TEST_CASE("a template is comment lines of one cell each, then the header row")
    {
        for (const PlannerFile file : kPlannerFiles) {
            std::istringstream lines(template_text(file));
            std::string        line;
            std::size_t        comments = 0;
            while (std::getline(lines, line) && line.starts_with("#")) {
                ++comments;
                CAPTURE(line);
                // Whatever a spreadsheet separates by, it opens and saves the line as one cell.
                CHECK(line.find_first_of(",;\t\"") == std::string::npos);
            }
            CHECK(comments == columns_of(file).size() + 1);
            CHECK(line == header_row(file));
            CHECK_FALSE(std::getline(lines, line));
            const auto table = parse_csv(template_text(file), "t.csv");
            REQUIRE(table);
            CHECK(table->rows.empty());
        }
        CHECK(template_text(PlannerFile::units)
                  .find("\n# shaft: needed. Give a diameter with its unit from 10mm "
                        "to 1000mm such as 50mm or 1-15/16in. Unit mm um in thou. "
                        "Nominal diameter of the seat on the shaft.\n") != std::string::npos);
    }
}
