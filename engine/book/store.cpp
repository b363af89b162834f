#include "engine/book/store.h"

#include <sqlite3.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace engine {
namespace {

constexpr int kPatienceMs = 2000; ///< for another program that holds the file for a moment

/// A quota or a limit of file size comes as a plain write error; the file that had it remembers why.
bool no_room(sqlite3* db)
{
    for (const int which : {SQLITE_FCNTL_FILE_POINTER, SQLITE_FCNTL_JOURNAL_POINTER}) {
        sqlite3_file* file = nullptr;
        int           why  = 0;
        if (sqlite3_file_control(db, "main", which, &file) != SQLITE_OK || file == nullptr) continue;
        if (file->pMethods == nullptr ||
            file->pMethods->xFileControl(file, SQLITE_FCNTL_LAST_ERRNO, &why) != SQLITE_OK)
            continue;
        if (why == ENOSPC || why == EDQUOT || why == EFBIG) return true;
    }
    return false;
}

Fault fault_of(sqlite3* db, int code)
{
    switch (code & 0xff) {
    case SQLITE_FULL:
        return Fault::no_space;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return Fault::locked;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return Fault::corrupt;
    case SQLITE_NOMEM:
        return Fault::no_memory;
    case SQLITE_IOERR:
        if (code == SQLITE_IOERR_NOMEM) return Fault::no_memory;
        return no_room(db) ? Fault::no_space : Fault::io;
    default:
        return Fault::io;
    }
}

std::string sentence(Fault fault, const std::string& name, const std::string& doing)
{
    switch (fault) {
    case Fault::no_space:
        return "The disk is full: the book " + name + " could not " + doing +
               "; nothing was changed. Free some space and try again.";
    case Fault::no_memory:
        return "This machine has no memory left: the book " + name + " could not " + doing +
               "; nothing was changed. Close other programs and try again.";
    case Fault::locked:
        return "The book " + name + " is held by another program; close it there and try again.";
    case Fault::corrupt:
        return "The book " + name +
               " is damaged or is not a book; move it away and start again: it is made anew from the lines "
               "beside it.";
    default:
        return "The book " + name + " could not " + doing + "; the disk did not do it.";
    }
}

int flags_of(Db::Mode mode)
{
    switch (mode) {
    case Db::Mode::make:
        return SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    case Db::Mode::write:
        return SQLITE_OPEN_READWRITE;
    case Db::Mode::read:
        break;
    }
    return SQLITE_OPEN_READONLY;
}

} // namespace

void Db::Closer::operator()(sqlite3* db) const
{
    sqlite3_close_v2(db);
}

void Db::Finisher::operator()(sqlite3_stmt* statement) const
{
    sqlite3_finalize(statement);
}

Db::Db(Db&&) noexcept            = default;
Db& Db::operator=(Db&&) noexcept = default;
Db::~Db()                        = default;

Result<Db> Db::open(const std::filesystem::path& file, Mode mode)
{
    // Nobody asks how much memory sqlite holds: counting it would lock around every piece it takes.
    static const int uncounted = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
    (void)uncounted; // too late when sqlite was begun by somebody else: then it counts
    Db db;
    db.name_     = file.filename().string();
    sqlite3* raw = nullptr;
    // A Db belongs to one thread at a time: sqlite need not lock around every value it is handed.
    const int flags  = flags_of(mode) | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX;
    const int opened = sqlite3_open_v2(file.c_str(), &raw, flags, nullptr);
    db.db_.reset(raw);
    if (opened != SQLITE_OK) return db.trouble("be opened");
    sqlite3_busy_timeout(raw, kPatienceMs);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    // 16 MiB of pages: ids come in no order, so every entry of a large book touches another page of their
    // index.
    if (Status set = db.run("PRAGMA cell_size_check=ON; PRAGMA mmap_size=0; PRAGMA temp_store=MEMORY; PRAGMA "
                            "cache_size=-16384;");
        !set)
        return set.failure();
    return db;
}

Status Db::make_durable()
{
    {
        Query wal(*this, "PRAGMA journal_mode=WAL");
        if (!wal.row() || wal.text(0) != "wal") {
            if (!wal.status()) return wal.status();
            return failure(Fault::io,
                           "The book " + name_ +
                               " lies on a disk that cannot keep it safely; put it on the internal disk.");
        }
    }
    // The log is folded in beside the work (upkeep.h); where nobody does, sqlite does at 8 MiB. A
    // log that still grows costs a journal entry of the file system at every sync: longer would be slower.
    return run("PRAGMA synchronous=FULL; PRAGMA wal_autocheckpoint=2000;");
}

Status Db::run(const char* sql)
{
    if (sqlite3_exec(db_.get(), sql, nullptr, nullptr, nullptr) != SQLITE_OK) return trouble("be changed");
    return Unit{};
}

Status Db::sync_commits(Durable durable)
{
    const bool syncs = durable == Durable::at_commit;
    if (syncs == syncs_) return Unit{};
    Status set = run(syncs ? "PRAGMA synchronous=FULL" : "PRAGMA synchronous=NORMAL");
    if (set) syncs_ = syncs;
    return set;
}

Failure Db::trouble(const std::string& doing) const
{
    const int   code  = sqlite3_extended_errcode(db_.get());
    const Fault fault = fault_of(db_.get(), code);
    return failure(fault, sentence(fault, name_, doing),
                   "sqlite " + std::to_string(code) + ": " + sqlite3_errmsg(db_.get()));
}

bool Db::in_transaction() const
{
    return sqlite3_get_autocommit(db_.get()) == 0;
}

int Db::rows_changed() const
{
    return sqlite3_changes(db_.get());
}

void Db::note(const Failure& what)
{
    if (first_trouble_) first_trouble_ = what;
}

sqlite3_stmt* Db::prepared(const char* sql)
{
    if (const auto at = kept_.find(sql); at != kept_.end()) return at->second.get();
    sqlite3_stmt* made = nullptr;
    if (sqlite3_prepare_v3(db_.get(), sql, -1, SQLITE_PREPARE_PERSISTENT, &made, nullptr) != SQLITE_OK)
        return nullptr;
    std::unique_ptr<sqlite3_stmt, Finisher> owned(made);
    return kept_.emplace(sql, std::move(owned)).first->second.get();
}

namespace {

/// sqlite takes a null pointer for no value at all.
const char* start_of(std::string_view text)
{
    return text.data() == nullptr ? "" : text.data();
}

} // namespace

Query::Query(Db& db, const char* sql) : db_(&db), statement_(db.prepared(sql))
{
    if (statement_ != nullptr) return;
    const Failure why = db.trouble("be read");
    db.note(why);
    status_ = why;
}

Query::~Query()
{
    if (statement_ == nullptr) return;
    sqlite3_reset(statement_); // its code repeats the failure `row` has already kept
    sqlite3_clear_bindings(statement_);
}

/// A value that could not be bound would be written as none: the statement must not run then.
Query& Query::bound(int code)
{
    if (code != SQLITE_OK && status_) status_ = db_->trouble("be changed");
    return *this;
}

Query& Query::bind(int at, std::int64_t value)
{
    return statement_ == nullptr ? *this : bound(sqlite3_bind_int64(statement_, at, value));
}

Query& Query::bind(int at, std::string_view text)
{
    return statement_ == nullptr ? *this
                                 : bound(sqlite3_bind_text64(statement_, at, start_of(text), text.size(),
                                                             SQLITE_TRANSIENT, SQLITE_UTF8));
}

Query& Query::bind_bytes(int at, const void* bytes, std::size_t size)
{
    return statement_ == nullptr ? *this
                                 : bound(sqlite3_bind_blob64(statement_, at, bytes, size, SQLITE_TRANSIENT));
}

Query& Query::bind_held(int at, std::string_view text)
{
    return statement_ == nullptr ? *this
                                 : bound(sqlite3_bind_text64(statement_, at, start_of(text), text.size(),
                                                             SQLITE_STATIC, SQLITE_UTF8));
}

bool Query::row()
{
    if (statement_ == nullptr || !status_) return false;
    const int step = sqlite3_step(statement_);
    if (step == SQLITE_ROW) return true;
    if (step == SQLITE_DONE) return false;
    const Failure why = db_->trouble(sqlite3_stmt_readonly(statement_) != 0 ? "be read" : "be written");
    if (sqlite3_stmt_readonly(statement_) != 0) db_->note(why);
    status_ = why;
    return false;
}

Status Query::run()
{
    while (row()) {
    }
    return status_;
}

Status Query::status() const
{
    return status_;
}

std::int64_t Query::whole(int column) const
{
    return sqlite3_column_int64(statement_, column);
}

std::string_view Query::text(int column) const
{
    const void* found = sqlite3_column_blob(statement_, column); // the bytes as they are, text or blob
    if (found == nullptr) return {};
    return {static_cast<const char*>(found),
            static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

bool Query::is_null(int column) const
{
    return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}

Transaction::Transaction(Db& db, Durable durable) : db_(&db)
{
    // Prepared while there is memory: to undo must not need any.
    if (db.prepared("ROLLBACK") == nullptr) {
        status_ = db.trouble("be changed");
        return;
    }
    if (db.in_transaction()) undo(); // one that could not be undone in its time
    status_ = db.sync_commits(durable);
    if (status_) status_ = Query(db, "BEGIN IMMEDIATE").run();
    open_ = status_.has_value();
}

Transaction::~Transaction()
{
    if (open_) undo();
    // What is written outside a transaction waits for the disk too. Failed: the next transaction sets it
    // first.
    const Status back = db_->sync_commits(Durable::at_commit);
    (void)back;
}

void Transaction::undo()
{
    const Status undone = Query(*db_, "ROLLBACK").run();
    (void)undone; // sqlite has undone it already after a full disk: then there is nothing left to undo
}

Status Transaction::commit()
{
    if (!status_) return status_;
    Status done = Query(*db_, "COMMIT").run();
    if (done) open_ = false;
    return done;
}

} // namespace engine
