// One identity on two machines, and the key that is replaced because of it.
#include "engine/book/inside.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <system_error>

namespace engine {
namespace {

Draft machine_says(const char* kind, nlohmann::json body)
{
    Draft draft;
    draft.kind = kind;
    draft.body = std::make_shared<const nlohmann::json>(std::move(body));
    return draft;
}

std::string sent_mark(std::int64_t number)
{
    return "sent " + std::to_string(number);
}

} // namespace

std::vector<Book::Fork> Book::forks() const
{
    const Ledger&     ledger = inside_->ledger;
    std::vector<Fork> found;
    for (const Ledger::Machine& machine : ledger.machines()) {
        if (machine.branch.empty()) continue;
        Query query(ledger.db(),
                    "SELECT line FROM entry WHERE place > ?1 AND place < ?2 ORDER BY place LIMIT 1");
        query.bind(1, Ledger::place_of(machine.number, 0)).bind(2, Ledger::place_of(machine.number + 1, 0));
        if (!query.row()) continue;
        const auto first = read_trusted_line(query.text(0));
        if (!first) continue;
        const auto parent = ledger.where(first->prev);
        const auto beside = parent ? parent->number : ledger.number_of(machine.dev).value_or(0);
        const auto rival  = ledger.id_at(beside, first->seq);
        Fork       fork{machine.dev, machine.name, first->seq, {first->id, rival.value_or("")}};
        if (fork.ids[1] < fork.ids[0]) std::swap(fork.ids[0], fork.ids[1]);
        found.push_back(std::move(fork));
    }
    return found;
}

Status Book::replace_key(const std::string& reason)
{
    Inside& inside = *inside_;
    if (inside.read_only || !inside.key)
        return failure(Fault::locked, "The book was opened for reading only; its key is not replaced here.");
    const MachineKey            next  = MachineKey::generate();
    const std::filesystem::path place = book_parts::beside(inside.file, ".key.next");
    std::error_code             none;
    std::filesystem::remove(place, none); // of a replacement that was cut short before it counted
    if (Status saved = next.save(place); !saved) return saved;

    const Instant now  = inside.clock->now();
    Tail          tail = inside.tail;
    auto last = inside.next_entry(machine_says(kind::retire, {{"reason", reason}, {"next", next.device()}}),
                                  now, tail);
    if (!last) return last.failure();
    if (Status put = inside.insert_own({*last}); !put) return put;

    const std::string   old_dev    = inside.device;
    const std::int64_t  old_number = inside.ledger.self();
    const std::uint64_t sent       = published_seq();
    {
        Transaction transaction(inside.ledger.db());
        if (!transaction.status()) return transaction.status();
        const auto number = inside.ledger.number_for(next.device());
        if (!number) return number.failure();
        if (Status set = inside.ledger.set_self(*number); !set) return set;
        if (Status set =
                inside.ledger.set_mark(sent_mark(old_number).c_str(), static_cast<std::int64_t>(sent));
            !set)
            return set;
        if (Status set = inside.ledger.set_mark("published", 0); !set) return set;
        if (Status done = transaction.commit(); !done) return done;
    }
    return inside.begin_again(next, old_dev, last->id);
}

Status Book::Inside::begin_again(const MachineKey& next, const std::string& old_dev,
                                 const std::string& last_id)
{
    // From the commit on the new key counts; a start after a cut finds it beside the book.
    ledger.reload_self();
    std::error_code why;
    std::filesystem::rename(book_parts::beside(file, ".key.next"), book_parts::beside(file, ".key"), why);
    if (why)
        return failure(Fault::io, "The new machine key could not be put in its place; start again.",
                       why.message());
    key      = next;
    device   = next.device();
    tail     = {};
    has_last = false;
    own.write_waiting();
    own                 = OwnLines(book_parts::own_folder(file, device, true), *io);
    Tail           from = tail;
    nlohmann::json body{{"name", name}, {"replaces", old_dev}, {"continues", last_id}};
    put_plant_mark(body, mark);
    const Draft first = machine_says(kind::genesis, std::move(body));
    auto        entry = next_entry(first, clock->now(), from);
    if (!entry) return entry.failure();
    if (Status put = insert_own({*entry}); !put) return put;
    size.reset();
    return own.complete(ledger);
}

std::vector<Book::Retired> Book::retired() const
{
    std::vector<Retired> found;
    const Ledger&        ledger = inside_->ledger;
    for (const Ledger::Machine& machine : ledger.machines()) {
        if (machine.number == ledger.self() || !machine.branch.empty() || !ledger.is_own(machine.number))
            continue;
        found.push_back({machine.dev, ledger.tail_of(machine.number).seq,
                         static_cast<std::uint64_t>(ledger.mark(sent_mark(machine.number).c_str()))});
    }
    return found;
}

Status Book::mark_sent(const std::string& retired_dev, std::uint64_t seq)
{
    const auto number = inside_->ledger.number_of(retired_dev);
    if (!number) return failure(Fault::not_found, "There is no such machine in this book.");
    return inside_->ledger.set_mark(sent_mark(*number).c_str(), static_cast<std::int64_t>(seq));
}

} // namespace engine
