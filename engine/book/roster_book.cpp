// The roster of a book: statements beside it, the key it trusts, and what both say to each entry.
#include "engine/book/inside.h"
#include "engine/book/json_text.h"
#include "engine/book/locked_key.h"

#include <algorithm>
#include <array>
#include <system_error>

namespace engine {
namespace {

constexpr std::size_t kMostStatements = 100'000;

std::string file_name(const Statement& statement)
{
    std::string digits = std::to_string(statement.seq);
    digits.insert(0, 10 - std::min<std::size_t>(10, digits.size()), '0');
    return digits + "-" + hex(sha256(statement.line + "\n")).substr(0, 32) + ".json";
}

/// The lines beside the book, by name: by number, that is.
std::vector<std::string> lines_beside(const std::filesystem::path& folder, const Io& io)
{
    std::vector<std::filesystem::path> files;
    std::error_code                    why;
    for (auto at = std::filesystem::directory_iterator(folder, why);
         !why && at != std::filesystem::directory_iterator() && files.size() < kMostStatements;
         at.increment(why))
        if (at->path().extension() == ".json") files.push_back(at->path());
    std::sort(files.begin(), files.end());
    std::vector<std::string> lines;
    for (const auto& file : files) {
        const auto bytes = io.read_whole(file, kLongestStatement + 1);
        if (!bytes || bytes->empty() || bytes->back() != '\n') continue;
        lines.emplace_back(bytes->begin(), bytes->end() - 1);
    }
    return lines;
}

} // namespace

std::filesystem::path Book::Inside::roster_folder() const
{
    return book_parts::beside(file, ".d") / "roster";
}

Status Book::Inside::load_roster()
{
    std::string root;
    for (const Entry& entry : ledger.of_kind(kind::trust)) {
        const auto number = ledger.number_of(entry.dev);
        if (number && ledger.is_own(*number)) root = text_in(entry.body(), "root");
    }
    roster = root.empty() ? Roster() : Roster(plant, root);
    if (root.empty()) return Unit{};
    for (const std::string& line : lines_beside(roster_folder(), *io)) {
        const auto statement = open_statement(line);
        if (!statement) continue;
        if (Status applied = roster.apply(*statement); !applied && applied.error().fault != Fault::conflict)
            break; // what follows hangs on it; an exchange brings what is missing
    }
    const bool moved = ledger.mark("judged") != static_cast<std::int64_t>(roster.seq());
    return moved && !read_only ? judge_all() : Status(Unit{});
}

Status Book::Inside::known_machine(const std::string& dev) const
{
    if (!roster.enrolled() || roster.machines().count(dev) > 0) return Unit{};
    const auto number = ledger.number_of(dev);
    if (number && ledger.is_own(*number)) return Unit{};
    return failure(Fault::unknown_signer,
                   "the machine " + dev.substr(0, 16) +
                       " is not on the enrolment list; the holder of the plant key enrols it");
}

bool Book::Inside::stands(const Entry& entry, std::int64_t number) const
{
    if (!roster.enrolled()) return true;
    // This very machine goes on working while it waits to be enrolled.
    if (roster.machines().count(entry.dev) == 0 && ledger.is_own(number)) return true;
    return roster.judge(entry).stands();
}

Status Book::Inside::judge(const Entry& entry, std::int64_t number, std::vector<SetAside>* set_aside)
{
    if (stands(entry, number)) return Unit{};
    const Judgement judgement = roster.judge(entry);
    if (judgement.stands()) return Unit{};
    if (set_aside != nullptr) set_aside->push_back({entry.seq, judgement.code, judgement.sentence});
    return ledger.bar(number, entry.seq, judgement.code, judgement.sentence);
}

Status Book::Inside::judge_machine(const Ledger::Machine& machine)
{
    const auto on_roster = roster.machines().find(machine.dev);
    const bool unknown   = on_roster == roster.machines().end();
    if (unknown && ledger.is_own(machine.number)) return Unit{};
    const bool every = unknown || on_roster->second.revoked ||
                       std::any_of(on_roster->second.roles.begin(), on_roster->second.roles.end(),
                                   [](const auto& spell) { return spell.role == MachineRole::auditor; });
    // What any machine but an auditor's may say needs no look. The second list of kinds is that of the index,
    // which sqlite takes only when it is named: without it every line of the machine would be read.
    Query  all(ledger.db(), "SELECT line FROM entry WHERE place > ?1 AND place < ?2");
    Query  few(ledger.db(),
               "SELECT line FROM entry WHERE place > ?1 AND place < ?2 AND kind IN "
                "('decision', 'countersign', 'return', 'unit', 'person', 'instrument', 'job.open') "
                "AND kind NOT IN ('reading', 'choice', 'photo', 'code', 'done', 'witness')");
    Query& query = every ? all : few;
    query.bind(1, Ledger::place_of(machine.number, 0)).bind(2, Ledger::place_of(machine.number + 1, 0));
    while (query.row()) {
        const auto entry = read_trusted_line(query.text(0));
        if (!entry) return entry.failure();
        if (Status judged = judge(*entry, machine.number, nullptr); !judged) return judged;
    }
    return query.status();
}

Status Book::Inside::judge_all()
{
    Transaction transaction(ledger.db());
    if (!transaction.status()) return transaction.status();
    if (Status run = ledger.db().run("DELETE FROM barred"); !run) return run;
    if (roster.enrolled())
        for (const Ledger::Machine& machine : ledger.machines())
            if (Status judged = judge_machine(machine); !judged) return judged;
    if (Status set = ledger.set_mark("judged", static_cast<std::int64_t>(roster.seq())); !set) return set;
    if (Status done = transaction.commit(); !done) return done;
    everything_moved();
    return Unit{};
}

const Roster& Book::roster() const
{
    return inside_->roster;
}

Status Book::trust_root(const std::string& key_hex)
{
    if (!is_key(key_hex)) return failure(Fault::bad_input, "The plant key is no valid key.");
    if (inside_->roster.root_key() == key_hex) return Unit{};
    Draft draft;
    draft.kind = kind::trust;
    draft.body = std::make_shared<const nlohmann::json>(
        nlohmann::json{{"root", key_hex}, {"fingerprint", fingerprint_of(key_hex)}});
    if (const auto kept = append(draft); !kept) return kept.failure();
    return inside_->load_roster();
}

Result<int> Book::take_statements(const std::vector<std::string>& lines)
{
    if (!inside_->roster.trusts())
        return failure(Fault::unknown_signer,
                       "This machine trusts no plant key yet; compare the fingerprint with the paper "
                       "under Settings, or by `enrol trust`.");
    std::vector<Statement> statements;
    Status                 trouble = Unit{};
    for (const std::string& line : lines) {
        auto statement = open_statement(line);
        if (statement)
            statements.push_back(std::move(*statement));
        else if (trouble)
            trouble = statement.failure();
    }
    std::sort(statements.begin(), statements.end(),
              [](const Statement& a, const Statement& b) { return a.seq < b.seq; });
    const std::uint64_t before = inside_->roster.seq();
    if (Status made = inside_->io->make_folder(inside_->roster_folder()); !made) return made.failure();
    for (const Statement& statement : statements) {
        const std::uint64_t had     = inside_->roster.seq();
        Roster              next    = inside_->roster;
        Status              applied = next.apply(statement);
        if (applied) applied = inside_->is_this_plant(next.mark());
        if (!applied) {
            if (trouble) trouble = applied;
            continue;
        }
        if (next.seq() == had) continue;
        const std::string                    text = statement.line + "\n";
        const std::span<const unsigned char> bytes(reinterpret_cast<const unsigned char*>(text.data()),
                                                   text.size());
        if (Status kept = inside_->io->write_whole(inside_->roster_folder() / file_name(statement), bytes);
            !kept)
            return kept.failure();
        inside_->roster = std::move(next);
    }
    const auto fresh = static_cast<int>(inside_->roster.seq() - before);
    if (fresh > 0)
        if (Status judged = inside_->judge_all(); !judged) return judged.failure();
    if (Status adopted = adopt_plant(inside_->roster.mark()); !adopted) return adopted.failure();
    if (!trouble) return trouble.failure();
    return fresh;
}

std::vector<std::string> Book::statements() const
{
    std::vector<std::string> lines;
    Roster                   again(inside_->plant, "");
    for (std::string& line : lines_beside(inside_->roster_folder(), *inside_->io)) {
        const auto statement = open_statement(line);
        const bool ours      = statement && statement->seq >= 1 && statement->seq <= inside_->roster.seq() &&
                          inside_->roster.id_at(statement->seq) == statement->id;
        if (ours) lines.push_back(std::move(line));
    }
    return lines;
}

std::vector<Book::Barred> Book::barred(std::size_t most) const
{
    std::vector<Barred> found;
    for (auto& one : inside_->ledger.barred(most))
        found.push_back({inside_->ledger.dev_of(one.number), one.seq, std::move(one.code),
                         std::move(one.sentence), inside_->ledger.id_at(one.number, one.seq).value_or("")});
    return found;
}

std::size_t Book::barred_count() const
{
    return inside_->ledger.barred_count();
}

Result<MachineKey> Book::Inside::person_key(const std::string& badge, std::string_view pin) const
{
    const auto locked = LockedKey::load(book_parts::beside(file, ".d") / "person" / (badge + ".key"));
    if (!locked && locked.error().fault == Fault::not_found)
        return failure(Fault::not_found, "Badge " + badge +
                                             " has no signing key on this machine; make one with `enrol "
                                             "person-key` and have it enrolled.");
    if (!locked) return locked.failure();
    return locked->unlock(pin);
}

std::filesystem::path Book::person_key_file(const std::string& badge) const
{
    return book_parts::beside(inside_->file, ".d") / "person" / (badge + ".key");
}

Result<Draft> Book::signed_by_person(Draft draft, std::string_view pin) const
{
    auto all = signed_by_person(std::vector<Draft>{std::move(draft)}, pin);
    if (!all) return all.failure();
    return std::move(all->front());
}

Result<std::vector<Draft>> Book::signed_by_person(std::vector<Draft> drafts, std::string_view pin) const
{
    const Roster&             roster = inside_->roster;
    const std::uint64_t       seq    = inside_->tail.seq + 1;
    std::optional<MachineKey> key; // opened once: that takes a moment on purpose
    for (Draft& draft : drafts) {
        const bool planned = is_signed_by_planner(draft.kind);
        if (!roster.enrolled() || !(planned || is_signed_by_person(draft.kind))) continue;
        if (!planned || roster.wants_planner(device(), seq)) {
            if (!key) {
                auto opened = inside_->person_key(draft.actor, pin);
                if (!opened) return opened.failure();
                key = std::move(*opened);
            }
            if (Status done = sign_as(draft, *key, inside_->plant); !done) return done.failure();
        }
        // What every reader would set aside must not look taken.
        Entry would;
        would.dev            = device();
        would.seq            = seq;
        would.plant          = inside_->plant;
        would.said           = std::move(draft);
        const auto judgement = roster.judge(would);
        if (!judgement.stands())
            return failure(Fault::refused, std::string("Nothing is ") + (planned ? "taken" : "decided") +
                                               ", for it would not count: " + judgement.sentence +
                                               ". Ask the holder of the plant key.");
        draft = std::move(would.said);
    }
    return drafts;
}

} // namespace engine
