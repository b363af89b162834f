#pragma once
// Every word on the screen by its id, from assets/words/<language>.toml. "{0}", "{1}".. stand for what is put
// in.
#include "engine/base/result.h"

#include <filesystem>
#include <functional>
#include <initializer_list>
#include <map>
#include <set>
#include <string>
#include <string_view>

namespace field::look {

class Words {
  public:
    /// Tables of the file become the first part of the id: `[pad] erase = "Erase"` is "pad.erase".
    /// Fails with the file's name and line when it cannot be read.
    [[nodiscard]] static engine::Result<Words> load(const std::filesystem::path& file);
    /// Every *.toml of a folder together; an id given twice is refused.
    [[nodiscard]] static engine::Result<Words> load_folder(const std::filesystem::path& folder);
    [[nodiscard]] static engine::Result<Words> parse(std::string_view toml, const std::string& name);

    [[nodiscard]] bool has(std::string_view id) const { return words_.contains(id); }
    /// An unknown id comes back in brackets and is remembered: tests fail on it, the fitter can still work.
    [[nodiscard]] std::string say(std::string_view id) const;
    [[nodiscard]] std::string say(std::string_view id, std::initializer_list<std::string_view> put_in) const;
    [[nodiscard]] const std::set<std::string>&                           missing() const { return missing_; }
    [[nodiscard]] const std::map<std::string, std::string, std::less<>>& all() const { return words_; }

  private:
    std::map<std::string, std::string, std::less<>> words_;
    mutable std::set<std::string>                   missing_;
};

} // namespace field::look
