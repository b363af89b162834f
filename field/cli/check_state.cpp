#include "field/cli/check_state.h"

#include "engine/book/entry.h"
#include "engine/book/seal.h"

#include <nlohmann/json.hpp>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <system_error>

namespace field::cli {
namespace {

constexpr int kForm = 1;

std::filesystem::path state_folder()
{
    const char* state = std::getenv("XDG_STATE_HOME");
    const char* home  = std::getenv("HOME");
    if (state != nullptr && *state != '\0') return std::filesystem::path(state) / "witnessmark";
    return std::filesystem::path(home != nullptr ? home : ".") / ".local" / "state" / "witnessmark";
}

} // namespace

std::filesystem::path check_state_file(const std::filesystem::path& what)
{
    std::error_code       none;
    std::filesystem::path whole = std::filesystem::weakly_canonical(what, none);
    if (none) whole = what;
    return state_folder() / ("check-" + engine::hex(engine::sha256(whole.string())).substr(0, 16) + ".json");
}

CheckState load_check_state(const std::filesystem::path& file)
{
    CheckState    state;
    std::ifstream in(file, std::ios::binary);
    const auto    found =
        nlohmann::json::parse(std::string((std::istreambuf_iterator<char>(in)), {}), nullptr, false);
    try {
        if (!found.is_object() || found.at("form") != kForm) return state;
        for (const auto& [name, chain] : found.at("chains").items())
            state.book.chains[name] = {chain.at("seq").get<std::uint64_t>(),
                                       chain.at("lines_sha256").get<std::string>()};
        for (const auto& one : found.at("segments"))
            state.segments.insert(one.get<std::string>());
    } catch (const nlohmann::json::exception&) {
        return {};
    }
    return state;
}

engine::Status save_check_state(const std::filesystem::path& file, const CheckState& state)
{
    nlohmann::json chains = nlohmann::json::object();
    for (const auto& [name, chain] : state.book.chains)
        chains[name] = {{"seq", chain.seq}, {"lines_sha256", chain.lines_sha256}};
    const nlohmann::json all{{"form", kForm}, {"chains", chains}, {"segments", state.segments}};
    std::error_code      why;
    std::filesystem::create_directories(file.parent_path(), why);
    const std::filesystem::path fresh = file.string() + ".new";
    {
        std::ofstream out(fresh, std::ios::binary | std::ios::trunc);
        out << all.dump() << '\n';
        if (!out.flush())
            return engine::failure(engine::Fault::io,
                                   "How far the check came could not be kept; it will begin anew.",
                                   fresh.string());
    }
    std::filesystem::rename(fresh, file, why);
    if (why)
        return engine::failure(engine::Fault::io,
                               "How far the check came could not be kept; it will begin anew.",
                               file.string() + ": " + why.message());
    return engine::Unit{};
}

} // namespace field::cli
