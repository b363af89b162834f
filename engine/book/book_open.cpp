// Opening a book: lock, key, tables, chain.
#include "engine/book/inside.h"
#include "engine/book/line_opener.h"

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>

namespace engine {
namespace {

constexpr std::size_t   kRunsAhead      = 16;  ///< verified before they are put in, while a book is made anew
constexpr std::uint64_t kVerifiedAtOpen = 512; ///< own entries looked at in the foreground: about 30 ms

/// Chains of keys that were replaced: their lines lie in folders beside the present one's.
Status rebuild_older(Ledger& ledger, const OwnLines& own, Io& io)
{
    std::error_code why;
    for (auto at = std::filesystem::directory_iterator(own.folder().parent_path(), why);
         !why && at != std::filesystem::directory_iterator(); at.increment(why)) {
        const bool of_own = at->path().filename().string().rfind("own", 0) == 0;
        if (!of_own || at->path() == own.folder()) continue;
        const OwnLines older(at->path(), io);
        const auto     text = older.text_of(1);
        const auto     first =
            text ? open_line(text->substr(0, text->find('\n'))) : Result<Entry>(text.failure());
        if (!first) continue;
        const auto number = ledger.number_for(first->dev);
        if (!number) return number.failure();
        if (Status set = ledger.set_mark(("own " + std::to_string(*number)).c_str(), 1); !set) return set;
        if (const auto rebuilt = book_parts::rebuild(ledger, older, first->dev); !rebuilt)
            return rebuilt.failure();
    }
    return Unit{};
}

Status found_chain(Ledger& ledger, const OwnLines& own, const MachineKey& key, Io& io)
{
    if (!ledger.dev_of(ledger.self()).empty()) {
        if (ledger.dev_of(ledger.self()) == key.device()) return Unit{};
        return failure(Fault::corrupt,
                       "The key beside the book is another machine's; bring the right key back "
                       "from a copy.");
    }
    Transaction transaction(ledger.db());
    if (!transaction.status()) return transaction.status();
    const auto self = ledger.number_for(key.device());
    if (!self) return self.failure();
    const auto rebuilt = book_parts::rebuild(ledger, own, key.device());
    if (!rebuilt) return rebuilt.failure();
    if (Status older = rebuild_older(ledger, own, io); !older) return older;
    return transaction.commit();
}

/// The file is gone and the key and lines it can be made anew from are there.
bool can_be_made_anew(const std::filesystem::path& file, Io& io)
{
    std::error_code none;
    return !std::filesystem::exists(file, none) &&
           std::filesystem::exists(book_parts::beside(file, ".key"), none) &&
           !OwnLines(book_parts::beside(file, ".d") / "own", io).firsts().empty();
}

} // namespace

Book::Inside::Inside(std::filesystem::path book_file, const Clock& time, Ledger tables, Io& disk,
                     bool reads_only)
    : file(std::move(book_file)), clock(&time), io(&disk), read_only(reads_only), ledger(std::move(tables)),
      own(book_parts::beside(file, ".d") / "own", disk),
      photos(book_parts::beside(file, ".d") / "blob", disk), boot(time.boot_id())
{
}

Status Book::Inside::load_self()
{
    device    = ledger.dev_of(ledger.self());
    name      = ledger.name_of(ledger.self());
    tail      = ledger.tail_of(ledger.self());
    remote_ms = ledger.mark("remote_ms");
    remote_c  = ledger.mark("remote_c");
    load_mark();
    if (!ledger.db().first_trouble()) return ledger.db().first_trouble();
    if (tail.seq == 0)
        return read_only
                   ? Status(failure(Fault::not_found, "The book " + file.filename().string() +
                                                          " is not made yet; open it for writing first."))
                   : Status(Unit{});
    const auto last = ledger.of_machine(ledger.self(), tail.seq, 1);
    if (!ledger.db().first_trouble()) return ledger.db().first_trouble();
    if (last.empty()) return Unit{};
    plant = last.front().plant;
    remember(last.front(), ledger.self());
    return Unit{};
}

/// The first entry of a chain: of a new book, or of a new key whose book was cut off before it spoke.
Status Book::Inside::begin(const BookOptions& options)
{
    nlohmann::json body{{"name", options.machine_name}};
    for (const Ledger::Machine& before : ledger.machines()) {
        if (before.number == ledger.self() || !before.branch.empty() || !ledger.is_own(before.number))
            continue;
        const Tail old = ledger.tail_of(before.number);
        body           = {{"name", before.name}, {"replaces", before.dev}, {"continues", old.id}};
        if (const auto last = ledger.of_machine(before.number, old.seq, 1); !last.empty())
            plant = last.front().plant;
    }
    name = body["name"].get<std::string>();
    if (!body.contains("replaces")) mark = options.mark;
    put_plant_mark(body, mark);
    Draft first;
    first.kind = kind::genesis;
    first.body = std::make_shared<const nlohmann::json>(std::move(body));
    Tail from  = tail;
    auto entry = next_entry(first, clock->now(), from);
    if (!entry) return entry.failure();
    return insert_own({*entry});
}

Status Book::Inside::verify_tail(std::uint64_t how_many) const
{
    const std::uint64_t from = tail.seq > how_many ? tail.seq - how_many + 1 : 1;
    Query query(ledger.db(), "SELECT line FROM entry WHERE place >= ?1 AND place < ?2 ORDER BY place");
    query.bind(1, Ledger::place_of(ledger.self(), from)).bind(2, Ledger::place_of(ledger.self() + 1, 0));
    const auto    before = from > 1 ? ledger.id_at(ledger.self(), from - 1) : std::string(64, '0');
    std::string   prev   = before.value_or("");
    std::uint64_t seq    = from;
    for (; query.row(); ++seq) {
        const auto        entry = open_line(query.text(0));
        const std::string where = book_parts::place_name(name, device, seq);
        if (!entry)
            return failure(Fault::corrupt, "The book is damaged at " + where + ": " + entry.error().message,
                           file.string());
        if (entry->dev != device || entry->seq != seq || entry->prev != prev)
            return failure(Fault::corrupt,
                           "The book is damaged at " + where + ": it does not follow the entry before it.",
                           file.string());
        prev = entry->id;
    }
    if (!query.status()) return query.status();
    if (seq != tail.seq + 1 || prev != tail.id)
        return failure(Fault::corrupt,
                       "The book is damaged at " + book_parts::place_name(name, device, seq) +
                           ": the chain ends early.",
                       file.string());
    return Unit{};
}

namespace book_parts {

std::filesystem::path beside(const std::filesystem::path& file, const char* ending)
{
    return file.string() + ending;
}

std::filesystem::path own_folder(const std::filesystem::path& file, const std::string& dev, bool replaced)
{
    const std::filesystem::path folder = beside(file, ".d");
    if (!replaced) return folder / "own";
    const auto key = hash_from_hex(dev);
    return folder / ("own-" + (key ? hex(sha256(std::span<const unsigned char>(*key))).substr(0, 16) : dev));
}

std::string place_name(const std::string& machine_name, const std::string& dev, std::uint64_t seq)
{
    return "machine " + (machine_name.empty() ? dev.substr(0, 16) : machine_name) + ", entry " +
           std::to_string(seq);
}

Result<OpenFile> hold(const std::filesystem::path& file)
{
    OpenFile lock(::open(beside(file, ".lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, S_IRUSR | S_IWUSR));
    if (!lock.is_open()) {
        const int why = errno;
        return failure(why == ENOSPC ? Fault::no_space : Fault::io,
                       "The folder of the book " + file.filename().string() +
                           " cannot be written to; choose another folder.",
                       file.string() + ".lock: " + std::strerror(why));
    }
    if (::flock(lock.fd(), LOCK_EX | LOCK_NB) != 0)
        return failure(Fault::locked,
                       "The book " + file.filename().string() +
                           " is open in another program; close it there and try again.",
                       file.string() + ".lock: " + std::strerror(errno));
    return lock;
}

Result<MachineKey> key_beside(const std::filesystem::path& file, const BookOptions& options,
                              bool chain_exists)
{
    const std::filesystem::path place = beside(file, ".key");
    std::error_code             none;
    if (std::filesystem::exists(place, none) || chain_exists) return MachineKey::load(place);
    MachineKey key = options.seed ? MachineKey::from_seed(*options.seed) : MachineKey::generate();
    if (Status saved = key.save(place); !saved) return saved.failure();
    return key;
}

/// A key that was replaced just before the machine died: the tables say which one counts.
Status finish_replacement(const std::filesystem::path& file, const Ledger& ledger)
{
    const std::filesystem::path next = beside(file, ".key.next");
    std::error_code             none;
    if (!std::filesystem::exists(next, none)) return Unit{};
    const auto key = MachineKey::load(next);
    if (!key || ledger.dev_of(ledger.self()) != key->device()) return Unit{};
    std::filesystem::rename(next, beside(file, ".key"), none);
    return none
               ? Status(failure(Fault::io, "The new machine key could not be put in its place; start again."))
               : Status(Unit{});
}

Result<std::uint64_t> rebuild(Ledger& ledger, const OwnLines& own, const std::string& device)
{
    const auto lines = own.read_all();
    if (!lines) return lines.failure();
    const auto number = ledger.number_for(device);
    if (!number) return number.failure();
    std::uint64_t                       seq  = 0;
    std::string                         prev = std::string(64, '0');
    const std::vector<std::string_view> all(lines->begin(), lines->end());
    LineOpener opener(all, 0, kRunsAhead); // the next lines are verified while these are put in
    for (auto run = opener.next(); !run.empty(); run = opener.next())
        for (const auto& entry : run) {
            const bool follows =
                entry && entry->dev == device && entry->seq == seq + 1 && entry->prev == prev;
            if (!follows && seq + 1 == all.size() && !entry)
                return seq; // torn by the power cut that ended it
            if (!follows)
                return failure(Fault::corrupt,
                               "The lines beside the book are damaged at " + place_name("", device, seq + 1) +
                                   "; bring a copy of them back before the book can be made anew.");
            if (Status put = ledger.insert(*entry, *number); !put) return put.failure();
            seq  = entry->seq;
            prev = entry->id;
        }
    return seq;
}

Failure reads_only(const std::filesystem::path& file)
{
    return failure(Fault::locked, "The book " + file.filename().string() +
                                      " was opened for reading only; nothing can be added to it here.");
}

} // namespace book_parts

Book::Book(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Book::Book(Book&&) noexcept            = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book()                          = default;

Result<Book> Book::open(const std::filesystem::path& file, const Clock& clock, const BookOptions& options,
                        bool create)
{
    using namespace book_parts;
    Io&             io = options.io != nullptr ? *options.io : disk_io();
    std::error_code none;
    if (options.read_only) {
        auto ledger = Ledger::open(file, Db::Mode::read);
        if (!ledger) return ledger.failure();
        if (options.one_moment) // a writer goes on meanwhile; what it commits later is not seen
            if (Status begun = ledger->db().run("BEGIN"); !begun) return begun.failure();
        auto inside = std::make_unique<Inside>(file, clock, std::move(*ledger), io, true);
        if (Status loaded = inside->load_self(); !loaded) return loaded.failure();
        if (Status loaded = inside->load_roster(); !loaded) return loaded.failure();
        return Book(std::move(inside));
    }
    const bool make = create || can_be_made_anew(file, io);
    if (!make && !std::filesystem::exists(file, none))
        return failure(Fault::not_found, "There is no book " + file.filename().string() + " in that place.",
                       file.string());
    if (Status made = io.make_folder(file.parent_path()); !made) return made.failure();
    auto lock = hold(file);
    if (!lock) return lock.failure();
    auto ledger = Ledger::open(file, make ? Db::Mode::make : Db::Mode::write);
    if (!ledger) return ledger.failure();
    const bool chained = !ledger->dev_of(ledger->self()).empty();
    if (Status moved = finish_replacement(file, *ledger); !moved) return moved.failure();
    auto key = key_beside(file, options, chained);
    if (!key) return key.failure();
    auto inside           = std::make_unique<Inside>(file, clock, std::move(*ledger), io, false);
    inside->lock          = std::move(*lock);
    inside->ballast_bytes = options.ballast_bytes;
    const std::filesystem::path replaced = own_folder(file, key->device(), true);
    if (std::filesystem::is_directory(replaced, none) || inside->ledger.self() > 1)
        inside->own = OwnLines(replaced, io);
    if (Status chain = found_chain(inside->ledger, inside->own, *key, io); !chain) return chain.failure();
    inside->key = std::move(*key);
    if (Status loaded = inside->load_self(); !loaded) return loaded.failure();
    if (inside->tail.seq == 0) {
        inside->plant = options.plant;
        if (Status begun = inside->begin(options); !begun) return begun.failure();
    }
    if (chained) // else every line was proved just now
        if (Status whole = inside->verify_tail(kVerifiedAtOpen); !whole) return whole.failure();
    if (Status loaded = inside->load_roster(); !loaded) return loaded.failure();
    if (Status text = inside->own.complete(inside->ledger); !text && text.error().fault != Fault::no_space)
        return text.failure();
    Book         book(std::move(inside));
    const Status ballast = book.tend_space(); // none is no reason to stop work: `space` says how things stand
    (void)ballast;
    return book;
}

} // namespace engine
