#include "engine/book/upkeep.h"

#include "engine/book/store.h"

#include <system_error>

namespace engine {

Status fold_log(const std::filesystem::path& book, std::uint64_t least)
{
    std::error_code none;
    const auto      length = std::filesystem::file_size(book.string() + "-wal", none);
    if (none || length < least) return Unit{};
    auto db = Db::open(book, Db::Mode::write);
    if (!db) return db.failure();
    Query fold(*db, "PRAGMA wal_checkpoint(PASSIVE)");
    (void)fold.row(); // busy pages are left for the next time
    return fold.status();
}

} // namespace engine
