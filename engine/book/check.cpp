// The whole book proved, entry by entry. Goes on after a break, so that the counts are of the whole book, but
// names the first.
#include "engine/book/inside.h"

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

    Checker(const std::filesystem::path& file, const Ledger& ledger, const Progress& progress)
        : ledger_(&ledger), progress_(&progress), photos_(book_parts::beside(file, ".d") / "blob", disk_io()),
          own_(own_folder_of(file, ledger), disk_io()), all_(ledger.size())
    {
    }

    /// False: stopped by `progress`.
    [[nodiscard]] bool machine(const Ledger::Machine& machine);
    void               own_text(const Ledger::Machine& self);
    void               tables();

    [[nodiscard]] const CheckReport& report() const { return report_; }

  private:
    void broke(const std::string& sentence)
    {
        if (report_.whole) report_.first_break = sentence;
        report_.whole = false;
    }
    /// Where a branch leaves the chain; the very beginning for any other.
    [[nodiscard]] Tail beginning_of(const Ledger::Machine& machine) const;
    void line(const Query& row, const Ledger::Machine& machine, Tail& tail, const std::string& where);
    void photos_of(const Entry& entry, const std::string& where);
    void last_entries(const Ledger::Machine& self, std::uint64_t last_in_text);

    const Ledger*         ledger_;
    const Progress*       progress_;
    PhotoStore            photos_;
    OwnLines              own_;
    std::size_t           all_;
    std::set<std::string> photos_seen_;
    CheckReport           report_;
};

/// The columns beside a line must say what the line says, or a query would show something else.
bool index_agrees(const Query& row, const Entry& entry)
{
    const auto id = hash_from_hex(entry.id);
    return id && row.text(1) == std::string(id->begin(), id->end()) && row.text(2) == entry.said.job &&
           row.text(3) == entry.said.kind && row.whole(4) == entry.wall_ms && row.whole(5) == entry.hlc_ms &&
           row.whole(6) == entry.hlc_c;
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
    Tail  tail = beginning_of(machine);
    Query row(ledger_->db(), "SELECT place, id, job, kind, wall_ms, hlc_ms, hlc_c, line FROM entry "
                             "WHERE place > ?1 AND place < ?2 ORDER BY place");
    row.bind(1, Ledger::place_of(machine.number, 0)).bind(2, Ledger::place_of(machine.number + 1, 0));
    while (row.row()) {
        const auto seq = static_cast<std::uint64_t>(row.whole(0) - Ledger::place_of(machine.number, 0));
        if (seq != tail.seq + 1)
            broke(book_parts::place_name(machine.name, machine.dev, tail.seq + 1) + ": is missing");
        tail.seq = seq;
        line(row, machine, tail, book_parts::place_name(machine.name, machine.dev, seq));
        ++report_.entries;
        if (*progress_ && report_.entries % kTellEvery == 0 && !(*progress_)(report_.entries, all_))
            return false;
    }
    if (!row.status())
        broke(book_parts::place_name(machine.name, machine.dev, tail.seq + 1) +
              ": cannot be read, the file is damaged");
    return true;
}

void Checker::line(const Query& row, const Ledger::Machine& machine, Tail& tail, const std::string& where)
{
    const auto entry = open_line(row.text(7));
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
    else if (!index_agrees(row, *entry))
        broke(where + ": the index does not say what the line says");
    tail.id     = entry->id;
    tail.hlc_ms = entry->hlc_ms;
    tail.hlc_c  = entry->hlc_c;
    photos_of(*entry, where);
}

void Checker::photos_of(const Entry& entry, const std::string& where)
{
    for (const std::string& sha256 : photos_named(entry.body())) {
        if (!photos_seen_.insert(sha256).second) continue;
        const auto bytes = photos_.read(sha256);
        if (bytes) {
            ++report_.photos;
            continue;
        }
        const bool missing = bytes.error().fault == Fault::not_found;
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
    if (!sound)
        broke("the index of the book is damaged; move the file away and it is made anew from the lines "
              "beside it");
}

} // namespace

Result<CheckReport> check_book(const std::filesystem::path&                                  file,
                               const std::function<bool(std::size_t done, std::size_t all)>& progress)
{
    auto ledger = Ledger::open(file, Db::Mode::read);
    if (!ledger) return ledger.failure();
    Checker    checker(file, *ledger, progress);
    const auto machines = ledger->machines();
    if (machines.empty())
        return failure(Fault::corrupt,
                       "The book " + file.filename().string() + " holds no machine and no entry.");
    for (const Ledger::Machine& machine : machines)
        if (!checker.machine(machine))
            return failure(Fault::refused, "The check was stopped before its end; nothing is proved.");
    for (const Ledger::Machine& machine : machines)
        if (machine.number == ledger->self()) checker.own_text(machine);
    checker.tables();
    return checker.report();
}

} // namespace engine
