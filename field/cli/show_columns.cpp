#include "field/cli/show_columns.h"

#include <nlohmann/json.hpp>

#include <iostream>

namespace field::cli {
namespace {

std::string need_of(const engine::PlannerColumn& column)
{
    return column.must ? "needed" : "needed only " + std::string(column.when);
}

nlohmann::json as_object(const engine::PlannerColumn& column)
{
    nlohmann::json object{{"name", column.name},
                          {"needed", column.must},
                          {"takes", engine::wanted_of(column)},
                          {"example", column.example},
                          {"about", column.about}};
    if (!column.when.empty()) object["needed_when"] = column.when;
    if (!column.units.empty()) object["units"] = column.units;
    if (!column.choices.empty()) object["choices"] = column.choices;
    if (!column.low.empty()) object["low"] = column.low;
    if (!column.high.empty()) object["high"] = column.high;
    if (!column.another.empty()) object["another_example"] = column.another;
    return object;
}

void tell(const engine::PlannerColumn& column)
{
    const std::string wanted = engine::wanted_of(column);
    std::cout << column.name << " (" << need_of(column) << ")\n    " << wanted;
    if (!column.units.empty()) std::cout << "; unit: " << column.units;
    if (wanted.find(column.example) == std::string::npos || !column.choices.empty())
        std::cout << "; such as " << column.example;
    std::cout << ".\n    " << column.about << '\n';
}

} // namespace

void show_columns(engine::PlannerFile file, bool as_json)
{
    if (as_json) {
        nlohmann::json list = nlohmann::json::array();
        for (const engine::PlannerColumn& column : engine::columns_of(file))
            list.push_back(as_object(column));
        std::cout << nlohmann::json{{"kind", engine::name_of(file)}, {"columns", std::move(list)}}.dump(2)
                  << '\n';
        return;
    }
    const std::string kind(engine::name_of(file));
    std::cout << "A file of " << kind
              << " is CSV text in UTF-8, cells separated by commas, semicolons or tabs. Its first row names "
                 "the columns, in any order; lines that begin with # are not read. A value carries its unit "
                 "in the cell. `"
              << kind << " import --template` prints a file to fill in.\n\n";
    for (const engine::PlannerColumn& column : engine::columns_of(file))
        tell(column);
}

void show_template(engine::PlannerFile file)
{
    std::cout << engine::template_text(file);
}

} // namespace field::cli
