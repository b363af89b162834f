// Every slip in a sheet is told with file, line, column, value and what would be right; nothing is half
// taken.
#include "engine/catalogue/columns.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/engine/catalogue/table_maker.h"

using namespace engine;
using namespace catalogue_test;

namespace {

const Columns kBlock{
    {"code", "BLOCK-1"},
    {"revision", "R1"},
    {"mount", "pillow_block"},
    {"split_housing", "no"},
    {"shaft", "50mm"},
    {"bearing_bore", "55mm"},
    {"raceway", "68mm"},
    {"seat_width", "45mm"},
    {"taper", "1:12"},
    {"pitch", "2mm"},
    {"slots", "4"},
    {"tangs", "17"},
    {"turn_min", "85deg"},
    {"turn_max", "105deg"},
    {"seat_class", "h9"},
    {"seat_form", "IT5/2"},
    {"clearance_group", "C3"},
    {"clearance_before_low", "0.075mm"},
    {"clearance_before_high", "0.095mm"},
    {"clearance_after_low", "0.035mm"},
    {"clearance_after_high", "0.065mm"},
    {"shim", ""},
    {"float_total", ""},
    {"bolts", "2"},
    {"bolt_size", "M16"},
    {"bolt_class", "8.8"},
    {"bolt_torque", "160Nm"},
    {"cap_torque", ""},
    {"misalignment_max", "2deg"},
    {"grease", "40g"},
    {"run_in_limit", "90C"},
    {"run_in_rise", "50K"},
    {"asks", "clearance_before; clearance_after"},
};

Imported<UnitSheet> import_with(const Columns& changes)
{
    return import_units(table_of("units.csv", {changed(kBlock, changes)}));
}

} // namespace

TEST_SUITE("engine/catalogue/import units")
{
    TEST_CASE("a sheet is taken over value by value")
    {
        const auto taken = import_with({{"float_total", "6mm"}});
        REQUIRE(told(taken.faults) == "");
        REQUIRE(taken.items.size() == 1);
        const UnitSheet& unit = taken.items.front();
        CHECK(unit.code == "BLOCK-1");
        CHECK(unit.revision == "R1");
        CHECK(unit.mount == Mount::pillow_block);
        CHECK(unit.shaft == Millimetres{50.0});
        CHECK(unit.bearing_bore == Millimetres{55.0});
        CHECK(unit.raceway == Millimetres{68.0});
        CHECK(unit.taper == 12.0);
        CHECK(unit.pitch == ThreadPitch{2.0});
        CHECK(unit.slots == 4);
        CHECK(unit.tangs == 17);
        CHECK(unit.turn_min == Degrees{85.0});
        CHECK(unit.turn_max == Degrees{105.0});
        CHECK(unit.clearance_before == LengthLimits{Millimetres{0.075}, Millimetres{0.095}});
        CHECK(unit.clearance_after == LengthLimits{Millimetres{0.035}, Millimetres{0.065}});
        CHECK_FALSE(unit.shim);
        CHECK(unit.float_total == Millimetres{6.0});
        CHECK(unit.bolt_torque == NewtonMetres{160.0});
        CHECK(unit.grease == Grams{40.0});
        CHECK(unit.run_in_limit == Celsius{90.0});
        CHECK(unit.run_in_rise == Kelvins{50.0});
        CHECK(unit.asks_for("clearance_after"));
        CHECK_FALSE(unit.asks_for("sleeve_travel"));
    }

    TEST_CASE("inch sheets come in as they are printed")
    {
        const auto taken = import_with({{"mount", "flange"},
                                        {"shaft", "1-15/16in"},
                                        {"pitch", "24tpi"},
                                        {"turn_max", "1turn"},
                                        {"shim", "0.042in"},
                                        {"bolt_size", "5/8-11"},
                                        {"bolt_class", "grade5"},
                                        {"bolt_torque", "100lbft"}});
        REQUIRE(told(taken.faults) == "");
        const UnitSheet& unit = taken.items.front();
        // 25.4 mm to the inch is exact (ISO 80000-3), so are these.
        CHECK(unit.shaft.value == doctest::Approx(49.2125).epsilon(1e-12));
        CHECK(unit.pitch.value == doctest::Approx(25.4 / 24.0).epsilon(1e-12));
        CHECK(unit.shim->value == doctest::Approx(1.0668).epsilon(1e-12));
        CHECK(unit.turn_max == Degrees{360.0});
        // 1 lbf ft = 1.355818 N m (NIST SP 811, appendix B.8).
        CHECK(unit.bolt_torque.value == doctest::Approx(135.5818).epsilon(1e-6));
    }

    TEST_CASE("each kind of slip is told at its place and nothing is taken")
    {
        struct Row {
            Columns     changes;
            const char* sentence;
        };
        for (const Row& row : {
                 Row{{{"code", ""}}, "units.csv:2, column code is empty; give a code"},
                 Row{{{"code", "A B"}}, "units.csv:2, column code: 'A B' cannot be read; give a code"},
                 Row{{{"revision", "-"}}, "units.csv:2, column revision: '-' cannot be read"},
                 Row{{{"mount", "wall"}},
                     "units.csv:2, column mount: 'wall' cannot be read; give pillow_block or flange."},
                 Row{{{"split_housing", "x"}},
                     "units.csv:2, column split_housing: 'x' cannot be read; give yes or no."},
                 Row{{{"shaft", "50"}},
                     "units.csv:2, column shaft: '50' cannot be read; give a diameter with its unit"},
                 Row{{{"shaft", ""}}, "units.csv:2, column shaft is empty; give a diameter"},
                 Row{{{"shaft", "5mm"}}, "units.csv:2, column shaft: '5mm' is outside what can be"},
                 Row{{{"shaft", "55mm"}},
                     "units.csv:2, column bearing_bore: '55mm' is not above the shaft, 55mm"},
                 Row{{{"raceway", "54mm"}},
                     "units.csv:2, column raceway: '54mm' is not above the bearing bore, 55mm"},
                 Row{{{"seat_width", "45deg"}}, "units.csv:2, column seat_width: '45deg' cannot be read"},
                 Row{{{"taper", "12"}}, "units.csv:2, column taper: '12' cannot be read"},
                 Row{{{"taper", "1:4.9"}}, "units.csv:2, column taper: '1:4.9' is outside what can be"},
                 Row{{{"taper", "1:61"}}, "units.csv:2, column taper: '1:61' is outside what can be"},
                 Row{{{"pitch", "0mm"}}, "units.csv:2, column pitch: '0mm' cannot be read"},
                 Row{{{"pitch", "2deg"}}, "units.csv:2, column pitch: '2deg' cannot be read"},
                 Row{{{"slots", "1"}},
                     "units.csv:2, column slots: '1' is outside what can be; give a whole number from 2 to "
                     "12, such as 4."},
                 Row{{{"slots", "13"}}, "units.csv:2, column slots: '13' is outside"},
                 Row{{{"slots", "4.5"}}, "units.csv:2, column slots: '4.5' cannot be read"},
                 Row{{{"tangs", "16"}}, "units.csv:2, column tangs: '16' is even"},
                 Row{{{"tangs", "3"}}, "units.csv:2, column tangs: '3' is outside"},
                 Row{{{"tangs", "37"}}, "units.csv:2, column tangs: '37' is outside"},
                 Row{{{"tangs", ""}}, "units.csv:2, column tangs is empty"},
                 Row{{{"turn_max", "85deg"}},
                     "units.csv:2, column turn_max: '85deg' is not above turn_min, 85deg; give an angle "
                     "above it."},
                 Row{{{"turn_max", "9turn"}}, "units.csv:2, column turn_max: '9turn' is outside"},
                 Row{{{"turn_min", "nan"}}, "units.csv:2, column turn_min: 'nan' cannot be read"},
                 Row{{{"seat_class", "H9"}},
                     "units.csv:2, column seat_class: 'H9' cannot be read; give an ISO 286 class"},
                 Row{{{"seat_class", "h19"}}, "units.csv:2, column seat_class: 'h19' cannot be read"},
                 Row{{{"seat_form", "5/2"}}, "units.csv:2, column seat_form: '5/2' cannot be read"},
                 Row{{{"clearance_group", "C1"}}, "units.csv:2, column clearance_group: 'C1' cannot be read"},
                 Row{{{"clearance_before_low", ""}},
                     "units.csv:2, column clearance_before_low is empty beside clearance_before_high"},
                 Row{{{"clearance_after_high", "0.03mm"}},
                     "units.csv:2, column clearance_after_high: '0.03mm' is below clearance_after_low, "
                     "0.035mm"},
                 Row{{{"clearance_after_high", "0.1mm"}},
                     "units.csv:2, column clearance_after_high: '0.1mm' leaves no clearance to be taken"},
                 Row{{{"shim", "0.5mm"}}, "units.csv:2, column shim: '0.5mm' is given for a pillow block"},
                 Row{{{"mount", "flange"}}, "units.csv:2, column shim is empty on a flange unit"},
                 Row{{{"float_total", "6"}}, "units.csv:2, column float_total: '6' cannot be read"},
                 Row{{{"bolts", "1"}}, "units.csv:2, column bolts: '1' is outside"},
                 Row{{{"bolt_size", "16"}},
                     "units.csv:2, column bolt_size: '16' cannot be read; give a bolt size, such as M16 or "
                     "5/8-11."},
                 Row{{{"bolt_size", "M99"}}, "units.csv:2, column bolt_size: 'M99' cannot be read"},
                 Row{{{"bolt_class", "8.9"}}, "units.csv:2, column bolt_class: '8.9' cannot be read"},
                 Row{{{"bolt_class", "grade5"}},
                     "units.csv:2, column bolt_class: 'grade5' does not belong to bolt size M16"},
                 Row{{{"bolt_torque", "160"}}, "units.csv:2, column bolt_torque: '160' cannot be read"},
                 Row{{{"split_housing", "yes"}},
                     "units.csv:2, column cap_torque is empty on a split housing"},
                 Row{{{"cap_torque", "60Nm"}},
                     "units.csv:2, column cap_torque: '60Nm' is given for a housing that is not split"},
                 Row{{{"misalignment_max", "20deg"}},
                     "units.csv:2, column misalignment_max: '20deg' is outside"},
                 Row{{{"grease", "40ml"}}, "units.csv:2, column grease: '40ml' cannot be read"},
                 Row{{{"run_in_limit", "900C"}}, "units.csv:2, column run_in_limit: '900C' is outside"},
                 Row{{{"run_in_rise", "50C"}}, "units.csv:2, column run_in_rise: '50C' cannot be read"},
                 Row{{{"asks", "noise"}}, "units.csv:2, column asks: 'noise' asks for 'noise'"},
                 Row{{{"clearance_before_low", ""}, {"clearance_before_high", ""}},
                     "units.csv:2, column asks: 'clearance_before; clearance_after' asks for "
                     "clearance_before without its limits"},
             }) {
            CAPTURE(row.sentence);
            const auto refused = import_with(row.changes);
            CHECK(refused.items.empty());
            REQUIRE(refused.faults.size() == 1);
            const std::string sentence_told = sentence(refused.faults.front());
            CAPTURE(sentence_told);
            CHECK(sentence_told.find(row.sentence) == 0);
            CHECK(sentence_told.back() == '.');
        }
    }

    TEST_CASE("one bad row takes nothing of the good ones, and every fault of the file is told in its order")
    {
        const auto refused = import_units(table_of(
            "units.csv", {kBlock, changed(kBlock, {{"code", "BLOCK-2"}, {"slots", "x"}, {"grease", ""}}),
                          changed(kBlock, {{"tangs", "18"}})}));
        CHECK(refused.items.empty());
        CHECK(told(refused.faults) == "3 slots, 3 grease, 4 tangs, 4 code");
        CHECK(sentence(refused.faults.back()) ==
              "units.csv:4, column code: 'BLOCK-1' stands on line 2 already; give each code once.");
    }

    TEST_CASE("a header with missing, unknown and doubled columns is told at its line")
    {
        const auto table =
            parse_csv("# plant's own sheet\n\ncode,code,revision,colour\nX,Y,R1,red\n", "units.csv");
        REQUIRE(table);
        const auto refused = import_units(*table);
        CHECK(refused.items.empty());
        const std::string all = told(refused.faults);
        CHECK(all.find("3 mount, 3 shaft") == 0);
        CHECK(all.find("3 code") != std::string::npos);
        CHECK(all.find("3 colour") != std::string::npos);
        CHECK(sentence(refused.faults.front()) ==
              "units.csv:3, column mount is missing from the header; give the file this column.");
        for (const ImportFault& fault : refused.faults) // a missing column is told once, not for every row
            CHECK(fault.line == 3);
    }

    TEST_CASE("a forgotten header row is one complaint that says which columns are wanted")
    {
        const auto whole = table_of("units.csv", {kBlock, changed(kBlock, {{"code", "BLOCK-2"}})});
        CsvTable   bare  = whole;
        bare.header      = whole.rows.front().cells;
        bare.rows.erase(bare.rows.begin());
        const auto refused = import_units(bare);
        CHECK(refused.items.empty());
        REQUIRE(refused.faults.size() == 1);
        const std::string said = sentence(refused.faults.front());
        CHECK(said.find("units.csv:1: the first row names no column of a file of units") == 0);
        CHECK(said.find("code,revision,mount,shaft,") != std::string::npos);
        CHECK(said.find("split_housing") == std::string::npos); // only what must be there
        CHECK(said.find("BLOCK") == std::string::npos);         // a row of people may hold a PIN
        CHECK(said.find("`units import --columns`") != std::string::npos);
    }

    TEST_CASE("a file of another kind says which kind it is, in one complaint")
    {
        for (const PlannerFile is : kPlannerFiles) {
            const auto table = parse_csv(header_row(is) + "\n", "some.csv");
            REQUIRE(table);
            const auto no_seal = [](std::string_view) -> Result<std::string> { return std::string(); };
            for (const PlannerFile wanted : kPlannerFiles) {
                CAPTURE(name_of(is));
                CAPTURE(name_of(wanted));
                const auto faults = wanted == PlannerFile::units    ? import_units(*table).faults
                                    : wanted == PlannerFile::people ? import_people(*table, no_seal).faults
                                    : wanted == PlannerFile::jobs   ? import_jobs(*table, {}).faults
                                                                    : import_instruments(*table).faults;
                if (is == wanted) {
                    CHECK(faults.empty());
                    continue;
                }
                REQUIRE(faults.size() == 1);
                CHECK(sentence(faults.front())
                          .find("some.csv:1: this is a file of " + std::string(name_of(is))) == 0);
            }
        }
    }

    TEST_CASE("rows a spreadsheet left blank are passed over")
    {
        CsvTable table = table_of("units.csv", {kBlock});
        table.rows.push_back({3, std::vector<std::string>(table.header.size(), " ")});
        const auto taken = import_units(table);
        CHECK(told(taken.faults) == "");
        CHECK(taken.items.size() == 1);
    }

    TEST_CASE("a semicolon file with decimal commas is understood, and told where it is not clear")
    {
        const auto file = [](const std::string& bolt_torque) {
            std::string header, row;
            for (const auto& [name, cell] : kBlock) {
                std::string there = name == "bolt_torque" ? bolt_torque : cell;
                std::ranges::replace(there, '.', name == "bolt_class" ? '.' : ',');
                std::ranges::replace(there, ';', ' ');
                header += (header.empty() ? "" : ";") + name;
                row += (row.empty() ? "" : ";") + there;
            }
            const auto table = parse_csv("\xEF\xBB\xBF" + header + "\n" + row + "\n", "units.csv");
            REQUIRE(table);
            return import_units(*table);
        };
        const auto taken = file("160,5Nm");
        REQUIRE(told(taken.faults) == "");
        CHECK(taken.items.front().clearance_before->low == Millimetres{0.075});
        CHECK(taken.items.front().bolt_torque == NewtonMetres{160.5});
        const auto unclear = file("1,605Nm");
        REQUIRE(told(unclear.faults) == "2 bolt_torque");
        CHECK(sentence(unclear.faults.front()) == "units.csv:2, column bolt_torque: '1,605Nm' can be 1605Nm "
                                                  "and 1.605Nm; give one of them without a "
                                                  "comma.");
    }

    TEST_CASE("a file with a header and no row takes nothing and complains of nothing")
    {
        const auto taken = import_units(table_of("units.csv", {}, kBlock));
        CHECK(taken.items.empty());
        CHECK(taken.faults.empty());
    }
}
