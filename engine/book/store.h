#pragma once
// sqlite, as little of it as the book needs: a connection, queries that close themselves, a transaction that
// undoes itself. Private to engine/book; only store.cpp includes the library.
#include "engine/base/result.h"

#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace engine {

/// When what a transaction wrote is on the disk for certain. The log keeps its order: `with_the_next` is
/// lost, if it is, together with all that was written after it, and the sync of the next one makes both
/// durable.
enum class Durable { at_commit, with_the_next };

class Db {
  public:
    enum class Mode { make, write, read };
    /// Faults: not_found, corrupt (not sqlite), locked, io.
    [[nodiscard]] static Result<Db> open(const std::filesystem::path& file, Mode mode);
    Db(Db&&) noexcept;
    Db& operator=(Db&&) noexcept;
    Db(const Db&)            = delete;
    Db& operator=(const Db&) = delete;
    ~Db();

    /// Write-ahead log and a sync at every commit. Changes the file: ask only once it is known to be a book.
    [[nodiscard]] Status make_durable();
    /// Statements without values, such as a schema.
    [[nodiscard]] Status run(const char* sql);
    /// The last failure of this connection as a sentence; `doing` completes "could not ...".
    [[nodiscard]] Failure trouble(const std::string& doing) const;
    /// First failure of any query so far, for readers that have no other way to tell.
    [[nodiscard]] const Status& first_trouble() const { return first_trouble_; }
    [[nodiscard]] int           rows_changed() const;
    void                        note(const Failure& what);

  private:
    friend class Query;
    friend class Transaction;
    struct Closer {
        void operator()(sqlite3* db) const;
    };
    struct Finisher {
        void operator()(sqlite3_stmt* statement) const;
    };
    Db() = default;
    [[nodiscard]] bool   in_transaction() const;
    sqlite3_stmt*        prepared(const char* sql); ///< kept for next time; null when it cannot be
    [[nodiscard]] Status sync_commits(Durable durable);

    std::string                      name_; ///< of the file, for sentences
    std::unique_ptr<sqlite3, Closer> db_;
    std::map<std::string_view, std::unique_ptr<sqlite3_stmt, Finisher>>
           kept_; ///< after db_: closed before it
    Status first_trouble_ = Unit{};
    bool   syncs_         = true; ///< every commit waits for the disk
};

/// One use of a prepared statement. `sql` must be a literal: it is the key under which the statement is kept.
class Query {
  public:
    Query(Db& db, const char* sql);
    Query(const Query&)            = delete;
    Query& operator=(const Query&) = delete;
    ~Query();

    Query& bind(int at, std::int64_t value);
    Query& bind(int at, std::string_view text);
    Query& bind_bytes(int at, const void* bytes, std::size_t size);
    Query& bind_held(int at, std::string_view text); ///< not copied: must outlive this use

    /// True while there is a row. False at the end and after a failure: `status` tells which.
    [[nodiscard]] bool row();
    /// For statements that give no rows.
    [[nodiscard]] Status run();
    [[nodiscard]] Status status() const;

    [[nodiscard]] std::int64_t     whole(int column) const;
    [[nodiscard]] std::string_view text(int column) const; ///< text or bytes; until the next row
    [[nodiscard]] bool             is_null(int column) const;

  private:
    Query& bound(int code);

    Db*           db_;
    sqlite3_stmt* statement_;
    Status        status_ = Unit{};
};

class Transaction {
  public:
    explicit Transaction(Db& db, Durable durable = Durable::at_commit);
    Transaction(const Transaction&)            = delete;
    Transaction& operator=(const Transaction&) = delete;
    ~Transaction(); ///< undoes what was not committed

    [[nodiscard]] Status status() const { return status_; } ///< did it begin
    [[nodiscard]] Status commit();

  private:
    void undo();

    Db*    db_;
    Status status_ = Unit{};
    bool   open_   = false;
};

} // namespace engine
