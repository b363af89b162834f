#include "field/look/words.h"

#include <toml++/toml.h>

#include <exception>
#include <fstream>
#include <sstream>

namespace field::look {
namespace {

void gather(const toml::table& table, const std::string& prefix,
            std::map<std::string, std::string, std::less<>>& into)
{
    for (const auto& [key, node] : table) {
        const std::string id =
            prefix.empty() ? std::string(key.str()) : prefix + "." + std::string(key.str());
        if (const auto* inner = node.as_table())
            gather(*inner, id, into);
        else if (const auto text = node.value<std::string>())
            into[id] = *text;
    }
}

} // namespace

engine::Result<Words> Words::parse(std::string_view toml, const std::string& name)
{
    try {
        Words words;
        gather(toml::parse(toml, name), "", words.words_);
        return words;
    } catch (const toml::parse_error& error) {
        return engine::failure(engine::Fault::bad_input, "The words of the screen cannot be read: " + name +
                                                             ", line " +
                                                             std::to_string(error.source().begin.line) +
                                                             ": " + std::string(error.description()) + ".");
    } catch (const std::exception& error) {
        return engine::failure(engine::Fault::bad_input,
                               "The words of the screen cannot be read: " + name + ".", error.what());
    }
}

engine::Result<Words> Words::load(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    if (!in)
        return engine::failure(engine::Fault::not_found, "The words of the screen are missing: " +
                                                             file.string() + " cannot be opened.");
    std::ostringstream text;
    text << in.rdbuf();
    return parse(text.str(), file.filename().string());
}

engine::Result<Words> Words::load_folder(const std::filesystem::path& folder)
{
    Words           all;
    std::error_code trouble;
    for (const auto& entry : std::filesystem::directory_iterator(folder, trouble)) {
        if (entry.path().extension() != ".toml") continue;
        auto some = load(entry.path());
        if (!some) return some;
        for (auto& [id, text] : some->words_)
            if (!all.words_.emplace(id, std::move(text)).second)
                return engine::failure(engine::Fault::bad_input,
                                       "The words '" + id + "' are given twice in " + folder.string() + ".");
    }
    if (all.words_.empty())
        return engine::failure(engine::Fault::not_found,
                               "The words of the screen are missing: there is none in " + folder.string() +
                                   ".");
    return all;
}

std::string Words::say(std::string_view id) const
{
    if (const auto found = words_.find(id); found != words_.end()) return found->second;
    missing_.insert(std::string(id));
    return "[" + std::string(id) + "]";
}

std::string Words::say(std::string_view id, std::initializer_list<std::string_view> put_in) const
{
    std::string text   = say(id);
    int         number = 0;
    for (const std::string_view value : put_in) {
        const std::string place = "{" + std::to_string(number++) + "}";
        for (auto at = text.find(place); at != std::string::npos; at = text.find(place, at + value.size()))
            text.replace(at, place.size(), value);
    }
    return text;
}

} // namespace field::look
