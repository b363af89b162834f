#pragma once
// The tables of a book and how they are brought up to date. An index, not a format: all of it can be made
// anew from the lines. Private to engine/book.
#include "engine/book/entry.h"
#include "engine/book/store.h"

namespace engine {

inline constexpr std::int64_t kTablesVersion = 3; ///< sqlite user_version

/// First column of the first row; -1 when there is none.
[[nodiscard]] std::int64_t ask_number(Db& db, const char* sql);

/// Makes the tables of a new book, or brings those of an earlier version up; opened for reading only, what is
/// missing is put into memory.
[[nodiscard]] Status bring_up(Db& db, bool is_new, Db::Mode mode);

/// Everything the tables keep of an entry beside its own row. Inside the caller's transaction.
[[nodiscard]] Status insert_beside(Db& db, const Entry& entry, std::int64_t place);

/// Whether all of that is there and says what the entry says.
[[nodiscard]] bool stands_beside(Db& db, const Entry& entry, std::int64_t place);

} // namespace engine
