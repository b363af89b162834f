#pragma once
// A short shift to be broken off anywhere, and what the next start makes of it. A = acknowledged, R =
// recovered, B = attempted: A in R in B, at most one beyond A.
#include "engine/book/book.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace trust {

struct Acked {
    std::vector<std::string> ids;    ///< of own entries, in order
    std::vector<std::string> photos; ///< of entries acknowledged
    std::size_t              attempted = 0;
    std::size_t              imported  = 0;
    int                      pipe = -1; ///< where each is told at once, for a harness outside the process

    void entry(const std::string& id) { ids.push_back(id), tell('e', id); }
    void photo(const std::string& sha256) { photos.push_back(sha256), tell('p', sha256); }
    void attempt() { ++attempted, tell('a', {}); }
    void import(std::size_t count) { imported = count, tell(static_cast<char>('0' + count), {}); }

    /// What another process told before it ended.
    static Acked heard(int from);

  private:
    void tell(char what, std::string_view hash) const;
};

struct Tally {
    int  cases = 0, lost = 0, phantom = 0, duplicate = 0, broken = 0;
    void operator+=(const Tally& other)
    {
        cases += other.cases, lost += other.lost, phantom += other.phantom, duplicate += other.duplicate;
        broken += other.broken;
    }
};

[[nodiscard]] engine::Draft       word(int value);
[[nodiscard]] engine::BookOptions options_of(engine::Io* io);

/// Ten entries, three photos, an import, a publication; stops where the machine under it does.
void work(const std::filesystem::path& file, engine::Io& io, Acked& acked);
/// What the next start finds.
[[nodiscard]] Tally judged(const std::filesystem::path& file, const Acked& acked);
/// The same, the whole book proved, and a second start that changes nothing.
[[nodiscard]] Tally checked(const std::filesystem::path& file, const Acked& acked);

} // namespace trust
