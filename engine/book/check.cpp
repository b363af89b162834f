// The whole book proved, entry by entry. Goes on after a break, so that the counts are of the whole book, but
// names the first.
#include "engine/book/inside.h"
#include "engine/book/tables.h"

#include <nlohmann/json.hpp>

#include <set>
#include <tuple>

namespace engine {
namespace {

constexpr std::size_t kTellEvery = 256; ///< entries between two calls of `progress`

std::string reason_of(const Error& error)
{
    if (error.fault == Fault::bad_signature) return "signature does not match";
    if (error.fault == Fault::unsupported) return "was written by a newer program";
    return error.fault == Fault::corrupt ? "line is cut short or damaged"
                                         : "line is not in its one canonical form";
}

std::filesystem::path own_folder_of(const std::filesystem::path& file, const Ledger& ledger)
{
    const auto      replaced = book_parts::own_folder(file, ledger.dev_of(ledger.self()), true);
    std::error_code none;
    return std::filesystem::is_directory(replaced, none) ? replaced : book_parts::own_folder(file, "", false);
}

class Checker {
  public:
    using Progress = std::function<bool(std::size_t done, std::size_t all)>;

    Checker(const std::filesystem::path& file, const Ledger& ledger, const Progress& progress,
            CheckedSoFar& so_far)
        : ledger_(&ledger), progress_(&progress), so_far_(&so_far),
          photos_(book_parts::beside(file, ".d") / "blob", disk_io()),
          own_(own_folder_of(file, ledger), disk_io()), all_(ledger.size())
    {
    }

    /// False: stopped by `progress`.
    [[nodiscard]] bool machine(const Ledger::Machine& machine);
    void               own_text(const Ledger::Machine& self);
    void               tables();
    void               chains_end() { in_chain_ = false; }

    [[nodiscard]] const CheckReport& report() const { return report_; }

  private:
    /// A row of the table, kept while its line is opened beside others.
    struct Row {
        std::uint64_t seq = 0;
        std::string   id, job, kind, line;
        std::int64_t  wall_ms = 0, hlc_ms = 0, hlc_c = 0;
    };

    void broke(const std::string& sentence)
    {
        if (report_.whole) report_.first_break = sentence;
        report_.whole = false;
        ++report_.breaks;
        // The lines beside the book and the tables come last: they say nothing of how far the entries are
        // affected.
        if (in_chain_ || report_.last_break.empty()) report_.last_break = sentence;
    }
    /// Last entry of that chain a check before has proved and nobody has touched since.
    [[nodiscard]] std::uint64_t taken_over(const Ledger::Machine& machine) const;
    [[nodiscard]] std::string   hash_of_lines(const Ledger::Machine& machine, std::uint64_t last) const;
    /// The next rows behind `after`, at most so many.
    [[nodiscard]] std::vector<Row> rows(const Ledger::Machine& machine, std::uint64_t after, std::size_t most,
                                        Status& status) const;
    void batch(const std::vector<Row>& found, const Ledger::Machine& machine, Tail& tail,
               std::uint64_t trusted);
    /// Where a branch leaves the chain; the very beginning for any other.
    [[nodiscard]] Tail beginning_of(const Ledger::Machine& machine) const;
    void line(const Row& row, const Result<Entry>& entry, const Ledger::Machine& machine, Tail& tail);
    [[nodiscard]] bool index_agrees(const Row& row, const Entry& entry, const Ledger::Machine& machine) const;
    void               photos_of(const Entry& entry, const std::string& where);
    void               last_entries(const Ledger::Machine& self, std::uint64_t last_in_text);

    const Ledger*         ledger_;
    const Progress*       progress_;
    CheckedSoFar*         so_far_;
    PhotoStore            photos_;
    OwnLines              own_;
    std::size_t           all_;
    std::set<std::string> photos_seen_;
    CheckReport           report_;
    bool                  in_chain_ = true;
};

std::string chain_name(const Ledger::Machine& machine)
{
    return machine.branch.empty() ? machine.dev : machine.dev + "#" + machine.branch;
}

/// The columns beside a line, and the copy of it that the catalogue is read from, must say what the line
/// says, or a query would show something else.
bool Checker::index_agrees(const Row& row, const Entry& entry, const Ledger::Machine& machine) const
{
    const auto id   = hash_from_hex(entry.id);
    const bool same = id && row.id == std::string(id->begin(), id->end()) && row.job == entry.said.job &&
                      row.kind == entry.said.kind && row.wall_ms == entry.wall_ms &&
                      row.hlc_ms == entry.hlc_ms && row.hlc_c == entry.hlc_c;
    return same && stands_beside(ledger_->db(), entry, Ledger::place_of(machine.number, entry.seq));
}

std::string Checker::hash_of_lines(const Ledger::Machine& machine, std::uint64_t last) const
{
    Sha256 hash;
    Query  query(ledger_->db(), "SELECT line FROM entry WHERE place > ?1 AND place <= ?2 ORDER BY place");
    query.bind(1, Ledger::place_of(machine.number, 0)).bind(2, Ledger::place_of(machine.number, last));
    while (query.row()) {
        hash.add(query.text(0));
        hash.add("\n");
    }
    return hex(hash.finish());
}

std::uint64_t Checker::taken_over(const Ledger::Machine& machine) const
{
    const auto known = so_far_->chains.find(chain_name(machine));
    if (known == so_far_->chains.end() || known->second.seq == 0) return 0;
    return hash_of_lines(machine, known->second.seq) == known->second.lines_sha256 ? known->second.seq : 0;
}

std::vector<Checker::Row> Checker::rows(const Ledger::Machine& machine, std::uint64_t after, std::size_t most,
                                        Status& status) const
{
    std::vector<Row> found;
    Query row(ledger_->db(), "SELECT place, id, job, kind, wall_ms, hlc_ms, hlc_c, line FROM entry "
                             "WHERE place > ?1 AND place < ?2 ORDER BY place LIMIT ?3");
    row.bind(1, Ledger::place_of(machine.number, after)).bind(2, Ledger::place_of(machine.number + 1, 0));
    row.bind(3, static_cast<std::int64_t>(most));
    std::uint64_t last = after;
    while (row.row()) {
        const auto seq = static_cast<std::uint64_t>(row.whole(0) - Ledger::place_of(machine.number, 0));
        if (seq <= last) { // a damaged tree leads back to where one was: there would be no end
            status = failure(Fault::corrupt, "its rows are out of order");
            return found;
        }
        last = seq;
        found.push_back({seq, std::string(row.text(1)), std::string(row.text(2)), std::string(row.text(3)),
                         std::string(row.text(7)), row.whole(4), row.whole(5), row.whole(6)});
    }
    status = row.status();
    return found;
}

Tail Checker::beginning_of(const Ledger::Machine& machine) const
{
    Tail tail;
    if (machine.branch.empty()) return tail;
    Query query(ledger_->db(),
                "SELECT line FROM entry WHERE place > ?1 AND place < ?2 ORDER BY place LIMIT 1");
    query.bind(1, Ledger::place_of(machine.number, 0)).bind(2, Ledger::place_of(machine.number + 1, 0));
    const auto first = query.row() ? read_trusted_line(query.text(0)) : failure(Fault::corrupt, "");
    if (!first) return tail;
    const auto parent = ledger_->where(first->prev);
    if (parent && ledger_->dev_of(parent->number) == machine.dev)
        tail = {parent->seq, first->prev, parent->hlc_ms, parent->hlc_c};
    return tail;
}

bool Checker::machine(const Ledger::Machine& machine)
{
    Tail                tail    = beginning_of(machine);
    const std::uint64_t trusted = taken_over(machine);
    const std::size_t   before  = report_.breaks;
    Status              status  = Unit{};
    bool                go_on   = true;
    while (go_on) {
        const std::vector<Row> next = rows(machine, tail.seq, kTellEvery, status);
        if (next.empty()) break;
        batch(next, machine, tail, trusted);
        if (!status) break;
        go_on = !*progress_ || (*progress_)(report_.entries, all_);
    }
    if (!status)
        broke(book_parts::place_name(machine.name, machine.dev, tail.seq + 1) +
              ": cannot be read, the file is damaged");
    // Only what was found whole is taken over by a later check.
    if (report_.breaks == before && tail.seq > 0)
        so_far_->chains[chain_name(machine)] = {tail.seq, hash_of_lines(machine, tail.seq)};
    else
        so_far_->chains.erase(chain_name(machine));
    return go_on;
}

/// `trusted`: up to there the signatures were proved before, and the bytes are the same.
void Checker::batch(const std::vector<Row>& found, const Ledger::Machine& machine, Tail& tail,
                    std::uint64_t trusted)
{
    std::vector<std::string_view> lines;
    for (const Row& row : found)
        if (row.seq > trusted) lines.emplace_back(row.line);
    const auto  opened = open_lines(lines);
    std::size_t at     = 0;
    for (const Row& row : found) {
        if (row.seq != tail.seq + 1)
            broke(book_parts::place_name(machine.name, machine.dev, tail.seq + 1) + ": is missing");
        tail.seq = row.seq;
        if (row.seq > trusted) {
            line(row, opened[at++], machine, tail);
        } else {
            ++report_.taken_over;
            line(row, read_trusted_line(row.line), machine, tail);
        }
        ++report_.entries;
    }
}

void Checker::line(const Row& row, const Result<Entry>& entry, const Ledger::Machine& machine, Tail& tail)
{
    const std::string where = book_parts::place_name(machine.name, machine.dev, row.seq);
    if (!entry) {
        tail.id.clear();
        return broke(where + ": " + reason_of(entry.error()));
    }
    ++report_.signatures;
    const std::tuple clock(entry->hlc_ms, entry->hlc_c);
    if (entry->dev != machine.dev || entry->seq != tail.seq)
        broke(where + ": the line stands in the place of another");
    else if (entry->prev != tail.id)
        broke(where + ": does not follow the entry before it");
    else if (tail.seq == 1 &&
             (entry->said.kind != kind::genesis || entry->body().value("name", "") != machine.name))
        broke(where + ": does not name its machine");
    else if (tail.seq > 1 && clock <= std::tuple(tail.hlc_ms, tail.hlc_c))
        broke(where + ": its clock runs behind the entry before it");
    else if (!index_agrees(row, *entry, machine))
        broke(where + ": the index does not say what the line says");
    tail.id     = entry->id;
    tail.hlc_ms = entry->hlc_ms;
    tail.hlc_c  = entry->hlc_c;
    photos_of(*entry, where);
}

void Checker::photos_of(const Entry& entry, const std::string& where)
{
    for (const std::string& sha256 : photos_named(entry)) {
        if (!photos_seen_.insert(sha256).second) continue;
        const auto bytes = photos_.read(sha256);
        if (bytes) {
            ++report_.photos;
            continue;
        }
        const bool missing = bytes.error().fault == Fault::not_found;
        if (missing && ledger_->mark(("away " + sha256).c_str()) > 0) { // let go, perhaps asked back since
            ++report_.photos_away;
            continue;
        }
        if (missing) ++report_.photos_missing;
        broke(where + ": its photo " + sha256.substr(0, 8) +
              (missing ? " is not here" : " was changed or damaged"));
    }
}

void Checker::own_text(const Ledger::Machine& self)
{
    std::uint64_t last = 0;
    for (const std::uint64_t first : own_.firsts()) {
        const auto        text  = own_.text_of(first);
        const std::string truth = ledger_->lines(ledger_->self(), first, OwnLines::kLinesPerFile);
        if (!text)
            return broke("machine " + self.name + ": its own lines from " + std::to_string(first) +
                         " cannot be read");
        std::uint64_t seq  = first;
        std::size_t   from = 0;
        for (std::size_t end = text->find('\n'); end != std::string::npos;
             end             = text->find('\n', from), ++seq) {
            const bool more = from >= truth.size();
            if (!more && truth.compare(from, end + 1 - from, *text, from, end + 1 - from) != 0)
                return broke(book_parts::place_name(self.name, self.dev, seq) +
                             ": the line beside the book differs from the one inside");
            from = end + 1;
            last = seq;
        }
    }
    last_entries(self, last);
}

void Checker::last_entries(const Ledger::Machine& self, std::uint64_t last_in_text)
{
    const std::uint64_t last = ledger_->tail_of(ledger_->self()).seq;
    if (last_in_text > last)
        return broke(book_parts::place_name(self.name, self.dev, last + 1) +
                     ": stands in the lines beside the book but is missing inside");
    if (ledger_->witnessed(self.dev) > last)
        broke(book_parts::place_name(self.name, self.dev, last + 1) +
              ": another machine has read it, here it is missing");
}

void Checker::tables()
{
    Query      query(ledger_->db(), "PRAGMA integrity_check(1)");
    const bool sound = query.row() && query.text(0) == "ok";
    Query stray(ledger_->db(), "SELECT count(*) FROM plain LEFT JOIN entry ON entry.place = plain.place AND "
                               "entry.kind = plain.kind WHERE entry.place IS NULL");
    const bool same = stray.row() && stray.whole(0) == 0;
    if (!sound || !same)
        broke("the index of the book is damaged; move the file away and it is made anew from the lines "
              "beside it");
}

} // namespace

Result<CheckReport> check_book(const std::filesystem::path&                                  file,
                               const std::function<bool(std::size_t done, std::size_t all)>& progress,
                               CheckedSoFar*                                                 so_far)
{
    auto ledger = Ledger::open(file, Db::Mode::read);
    if (!ledger) return ledger.failure();
    CheckedSoFar nothing;
    Checker      checker(file, *ledger, progress, so_far != nullptr ? *so_far : nothing);
    const auto   machines = ledger->machines();
    if (machines.empty())
        return failure(Fault::corrupt,
                       "The book " + file.filename().string() + " holds no machine and no entry.");
    for (const Ledger::Machine& machine : machines)
        if (!checker.machine(machine))
            return failure(Fault::refused, "The check was stopped before its end; nothing is proved.");
    checker.chains_end();
    for (const Ledger::Machine& machine : machines)
        if (machine.number == ledger->self()) checker.own_text(machine);
    checker.tables();
    return checker.report();
}

} // namespace engine
