#include "tests/trust/short_shift.h"

#include <unistd.h>

#include <algorithm>
#include <array>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace trust {

void Acked::tell(char what, std::string_view hash) const
{
    if (pipe < 0) return;
    std::array<char, 65> told{what};
    std::copy(hash.begin(), hash.end(), told.begin() + 1);
    if (::write(pipe, told.data(), told.size()) != static_cast<ssize_t>(told.size())) ::_exit(9);
}

Acked Acked::heard(int from)
{
    Acked                acked;
    std::array<char, 65> told{};
    while (::read(from, told.data(), told.size()) == static_cast<ssize_t>(told.size())) {
        const std::string hash(told.begin() + 1, told.end());
        if (told[0] == 'e')
            acked.entry(hash);
        else if (told[0] == 'p')
            acked.photo(hash);
        else if (told[0] == 'a')
            acked.attempt();
        else
            acked.import(static_cast<std::size_t>(told[0] - '0'));
    }
    return acked;
}

Draft word(int value)
{
    return {"417",
            kind::reading,
            "2219",
            "A",
            "seat",
            {},
            std::make_shared<const nlohmann::json>(nlohmann::json{{"value", value}})};
}

BookOptions options_of(Io* io)
{
    BookOptions options;
    options.machine_name = "T-01";
    options.seed.emplace();
    options.seed->fill(1);
    options.io = io;
    return options;
}

namespace {

/// Lines of another machine to be imported, made once.
const std::vector<Entry>& foreign()
{
    static const std::vector<Entry> lines = [] {
        const TempFolder place;
        const FakeClock  clock;
        Machine          other(place, clock, 2);
        for (int i = 0; i < 4; ++i)
            other.read("2219", 500 + i);
        return other.book.entries_of_machine(other.book.device(), 1, 100);
    }();
    return lines;
}

} // namespace

void work(const fs::path& file, Io& io, Acked& acked)
{
    FakeClock clock;
    auto      opened = Book::open(file, clock, options_of(&io));
    if (!opened) return;
    Book&      book  = *opened;
    const auto first = book.entries_of_machine(book.device(), 1, 1);
    if (first.empty()) return; // it could not be read
    acked.entry(first.front().id);
    std::size_t taken_in = 0; ///< of another machine: certain with the next own entry
    const auto  say      = [&](const Draft& draft) {
        acked.attempt();
        const auto kept = book.append(draft);
        if (kept) acked.entry(kept->id);
        if (kept && taken_in != acked.imported) acked.import(taken_in);
        return kept.has_value();
    };
    for (int i = 0; i < 10; ++i) {
        clock.advance(1000);
        if (!say(word(i))) return;
        if (i % 3 == 0 && i < 9) {
            const auto photo = book.photos().keep(support::numbered_jpeg(i));
            if (!photo) return;
            Draft draft = word(i);
            draft.kind  = kind::photo;
            draft.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"sha256", photo->sha256}});
            if (!say(draft)) return;
            acked.photo(photo->sha256);
        }
        if (i == 4) {
            const auto taken = book.take_in(foreign());
            if (!taken) return;
            taken_in = foreign().size();
        }
    }
    if (!book.mark_published(3)) return;
}

Tally judged(const fs::path& file, const Acked& acked)
{
    Tally           tally{1, 0, 0, 0, 0};
    const FakeClock clock;
    const auto      book = Book::open(file, clock, options_of(nullptr));
    if (!book) {
        tally.lost += static_cast<int>(acked.ids.size());
        if (acked.ids.empty())
            tally.lost = 0, tally.broken = 0; // it died before the book was begun
        else
            MESSAGE(book.error().message);
        return tally;
    }
    const auto found = book->entries_of_machine(book->device(), 1, 1000);
    for (std::size_t i = 0; i < acked.ids.size(); ++i)
        if (i >= found.size() || found[i].id != acked.ids[i]) ++tally.lost;
    const std::size_t beyond = found.size() > acked.ids.size() ? found.size() - acked.ids.size() : 0;
    if (beyond > 1 || (beyond == 1 && acked.attempted < acked.ids.size() && !acked.ids.empty()))
        ++tally.phantom;
    std::set<std::string> once;
    for (const Entry& entry : found)
        if (!once.insert(entry.id).second) ++tally.duplicate;
    for (const std::string& photo : acked.photos)
        if (!PhotoStore(file.string() + ".d/blob", disk_io()).read(photo)) ++tally.lost;
    if (book->entries_of_machine(foreign().front().dev, 1, 100).size() < acked.imported) ++tally.lost;
    return tally;
}

Tally checked(const fs::path& file, const Acked& acked)
{
    Tally tally = judged(file, acked);
    if (acked.ids.empty()) return tally;
    const auto report = check_book(file);
    if (!report || !report->whole) {
        ++tally.broken;
        MESSAGE((report ? report->first_break : report.error().message));
    }
    Tally again = judged(file, acked); // a second start changes nothing
    tally.lost += again.lost;
    return tally;
}

} // namespace trust
