#include "engine/procedure/toml_reader.h"

#include <algorithm>
#include <utility>

namespace engine {

void Complaints::add(const std::string& file, std::size_t line, const std::string& sentence)
{
    all_.push_back(file + ":" + std::to_string(line) + ", " + sentence);
}

TableReader::TableReader(const toml::table& table, std::string file, Complaints& complaints)
    : table_(&table), file_(std::move(file)), complaints_(&complaints)
{
}

std::size_t TableReader::line(std::string_view key) const
{
    for (const auto& [name, value] : *table_)
        if (name.str() == key) return name.source().begin.line;
    return table_->source().begin.line;
}

void TableReader::complain(std::string_view key, const std::string& sentence)
{
    complaints_->add(file_, line(key), "key " + std::string(key) + ": " + sentence);
}

void TableReader::only(std::initializer_list<std::string_view> known)
{
    std::string names;
    for (const std::string_view name : known)
        names += (names.empty() ? "" : ", ") + std::string(name);
    for (const auto& [name, value] : *table_)
        if (std::ranges::find(known, name.str()) == known.end())
            complain(name.str(), "is not known here; use one of " + names + ".");
}

std::string TableReader::text(std::string_view key)
{
    const toml::node* const node = table_->get(key);
    if (node == nullptr) return {};
    if (const auto value = node->value_exact<std::string>()) return *value;
    complain(key, "the value must be a text in quotes.");
    return {};
}

std::string TableReader::wanted_text(std::string_view key)
{
    if (!has(key)) {
        complain(key, "is missing; give it.");
        return {};
    }
    std::string value = text(key);
    if (value.empty()) complain(key, "must not be empty.");
    return value;
}

bool TableReader::flag(std::string_view key, bool otherwise)
{
    const toml::node* const node = table_->get(key);
    if (node == nullptr) return otherwise;
    if (const auto value = node->value_exact<bool>()) return *value;
    complain(key, "the value must be true or false.");
    return otherwise;
}

std::vector<std::string> TableReader::texts(std::string_view key)
{
    const toml::node* const node = table_->get(key);
    if (node == nullptr) return {};
    std::vector<std::string> values;
    const toml::array* const array = node->as_array();
    bool                     good  = array != nullptr;
    if (array != nullptr)
        for (const toml::node& item : *array) {
            const auto value = item.value_exact<std::string>();
            good             = good && value;
            if (value) values.push_back(*value);
        }
    if (!good) complain(key, "the value must be a list of texts, such as [\"clean\", \"lock:all\"].");
    return values;
}

std::vector<const toml::table*> TableReader::tables(std::string_view key)
{
    const toml::node* const node = table_->get(key);
    if (node == nullptr) return {};
    std::vector<const toml::table*> values;
    const toml::array* const        array = node->as_array();
    bool                            good  = array != nullptr;
    if (array != nullptr)
        for (const toml::node& item : *array) {
            const toml::table* const inner = item.as_table();
            good                           = good && inner != nullptr;
            if (inner != nullptr) values.push_back(inner);
        }
    if (!good) complain(key, "the value must be a list of tables.");
    return values;
}

const toml::table* TableReader::table(std::string_view key)
{
    const toml::node* const node = table_->get(key);
    if (node == nullptr) return nullptr;
    const toml::table* const inner = node->as_table();
    if (inner == nullptr)
        complain(key, "the value must be a table, such as { level = \"WARNING\", text = \"lifting\" }.");
    return inner;
}

} // namespace engine
