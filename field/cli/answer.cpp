#include "field/cli/answer.h"

#include "engine/base/numbers.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>

namespace field::cli {
namespace {

/// "travel_mm" is shown as "travel": the unit stands behind the number.
std::string shown(std::string_view key)
{
    std::string label(key);
    for (const std::string_view unit : {"_mm_s", "_mm2_s", "_mrev", "_mm", "_deg", "_mpa", "_kn", "_nm",
                                        "_hz", "_c", "_k", "_g", "_h", "_min"}) {
        if (label.size() <= unit.size() || label.compare(label.size() - unit.size(), unit.size(), unit) != 0)
            continue;
        label.erase(label.size() - unit.size());
        break;
    }
    std::replace(label.begin(), label.end(), '_', ' ');
    return label;
}

std::string with_unit(double value, std::string_view unit, int decimals)
{
    return engine::fixed(value, decimals) + (unit.empty() ? "" : " " + std::string(unit));
}

} // namespace

struct Answer::Body {
    nlohmann::ordered_json                           json;
    std::vector<std::pair<std::string, std::string>> lines;
    std::vector<std::string>                         notes;
};

Answer::Answer() : body_(std::make_unique<Body>()) {}
Answer::~Answer() = default;

void Answer::number(std::string_view key, double value, std::string_view unit, int decimals)
{
    body_->json[std::string(key)] = value;
    body_->lines.emplace_back(shown(key), with_unit(value, unit, decimals));
}

void Answer::text(std::string_view key, std::string_view value)
{
    body_->json[std::string(key)] = std::string(value);
    body_->lines.emplace_back(shown(key), std::string(value));
}

void Answer::numbers(std::string_view key, const std::vector<double>& values, std::string_view unit,
                     int decimals)
{
    body_->json[std::string(key)] = values;
    std::string line;
    for (const double value : values)
        line += (line.empty() ? "" : ", ") + with_unit(value, unit, decimals);
    body_->lines.emplace_back(shown(key), line.empty() ? "none" : line);
}

void Answer::whole(std::string_view key, const std::vector<int>& values)
{
    body_->json[std::string(key)] = values;
    std::string line;
    for (const int value : values)
        line += (line.empty() ? "" : "-") + std::to_string(value);
    body_->lines.emplace_back(shown(key), line);
}

void Answer::table(std::string_view key, std::string_view name, const std::vector<Column>& columns)
{
    auto& place = body_->json[std::string(key)][std::string(name)];
    place       = nlohmann::ordered_json::object();
    for (const Column& column : columns)
        place[std::string(column.title)] = column.values;
    const std::size_t rows = columns.empty() ? 0 : columns.front().values.size();
    if (rows == 0) body_->lines.emplace_back(std::string(name), "none");
    for (std::size_t row = 0; row < rows; ++row) {
        std::string line;
        for (const Column& column : columns)
            line += (line.empty() ? "" : ", ") + std::string(column.title) + " " +
                    engine::fixed(column.values.at(row), column.decimals);
        body_->lines.emplace_back(std::string(name), line);
    }
}

void Answer::absent(std::string_view key, std::string_view why)
{
    body_->json[std::string(key)] = nullptr;
    body_->lines.emplace_back(shown(key), std::string(why));
}

void Answer::note(std::string_view sentence)
{
    body_->notes.emplace_back(sentence);
}

void Answer::print(bool as_json) const
{
    if (as_json) {
        nlohmann::ordered_json document = body_->json;
        if (!body_->notes.empty()) document["notes"] = body_->notes;
        std::cout << document.dump(2) << '\n';
        return;
    }
    for (const auto& [label, value] : body_->lines)
        std::cout << label << ": " << value << '\n';
    for (const std::string& sentence : body_->notes)
        std::cout << sentence << '\n';
}

} // namespace field::cli
