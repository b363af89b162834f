// bench [FOLDER]: figures of the product beside limits of this machine. Exit 0 when every bar holds.
#include <cstdio>
#include <cstdlib>
#include <string>
#include <system_error>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"

int main(int argc, char** argv)
{
    namespace fs = std::filesystem;
    std::error_code   none;
    const std::string where = argc > 1 ? argv[1] : fs::current_path(none).string();
    std::string       name  = where + "/witnessmark-bench-XXXXXX";
    if (mkdtemp(name.data()) == nullptr) bench::give_up("no folder can be made in " + where);
    const fs::path folder(name);
    // Only what was written to a disk and synced counts: the folder must not be in memory.
    std::printf("witnessmark bench in %s\n", where.c_str());

    bool good = bench::numbers();
    good &= bench::append_beside_sqlite(folder);
    good &= bench::take_in_beside_sodium(folder);
    good &= bench::photo_beside_copy(folder);
    good &= bench::touch_to_entry(folder);
    const fs::path book = bench::large_book(folder);
    good &= bench::start_to_frame(book);
    good &= bench::memory_with_photos(book);
    good &= bench::idle_offscreen(book);
    good &= bench::idle_window(book);
    fs::remove_all(folder, none);
    std::printf("\n%s\n", good ? "every bar holds" : "a bar is missed");
    return good ? 0 : 1;
}
