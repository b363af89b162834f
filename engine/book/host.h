#pragma once
// Which machine a book belongs to. A data folder copied to another tablet, or an older copy put back, would
// sign with a key that signs elsewhere too; this is noticed before the first entry, and the copy goes on with
// a key of its own.
#include "engine/book/book.h"
#include "engine/book/io.h"

#include <filesystem>
#include <string>

namespace engine {

struct Host {
    std::string machine; ///< hash of the machine's own id, 64 hex; empty: it has none
    std::filesystem::path
        notes; ///< folder apart from the book, where the machine keeps its half of the proof
};
/// Of /etc/machine-id and the user's state folder.
[[nodiscard]] Host this_host();

enum class Binding {
    begun,   ///< first start on a machine that keeps notes
    same,    ///< where it was left
    replaced ///< a copy: the key was replaced
};

/// Once a start, before anything is signed. At each start book and notes get a new secret number; a book
/// whose number is not the noted one is a copy from before. Notes that are gone prove nothing: the book stays
/// what it is. A place for notes that cannot be written leaves only the machine's id to compare. Faults: of
/// Book::replace_key, io (book's side).
[[nodiscard]] Result<Binding> bind_to_host(Book& book, const Host& host, Io& io = disk_io());

} // namespace engine
