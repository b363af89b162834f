// bench [FOLDER]: figures of the product beside limits of this machine. Exit 0 when every bar holds.
#include <CLI/CLI.hpp>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <system_error>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"

namespace {

struct Figure {
    const char* name;
    bool (*measure)(bench::Ground& ground);
};

constexpr Figure kFigures[] = {
    {"numbers", [](bench::Ground& g) { return bench::numbers(g.folder); }},
    {"append", [](bench::Ground& g) { return bench::append_beside_sqlite(g.folder); }},
    {"import", [](bench::Ground& g) { return bench::take_in_beside_sodium(g.folder); }},
    {"photo", [](bench::Ground& g) { return bench::photo_beside_copy(g.folder); }},
    {"touch", [](bench::Ground& g) { return bench::touch_to_entry(g.folder); }},
    {"start", [](bench::Ground& g) { return bench::start_to_frame(g.year_book()); }},
    {"memory", [](bench::Ground& g) { return bench::memory_with_photos(g.year_book()); }},
    {"idle", [](bench::Ground& g) { return bench::idle_offscreen(g.year_book()); }},
    {"window", [](bench::Ground& g) { return bench::idle_window(g.year_book()); }},
    {"frames", [](bench::Ground& g) { return bench::frames_while_receiving(g.folder); }},
    {"publish", [](bench::Ground& g) { return bench::publish_beside_rsync(g); }},
    {"intake", [](bench::Ground& g) { return bench::intake_memory(g); }},
    {"nothing", [](bench::Ground& g) { return bench::nothing_to_do_beside_rsync(g); }},
    {"prove", [](bench::Ground& g) { return bench::check_beside_sha256sum(g); }},
    {"first", [](bench::Ground& g) { return bench::first_pass_beside_limits(g.folder / "first"); }},
    {"pack", [](bench::Ground& g) { return bench::pack_growth(g.folder); }},
    {"rebuild", [](bench::Ground& g) { return bench::rebuild_beside_sqlite(g); }},
    {"cold", [](bench::Ground& g) { return bench::cold_start(g); }},
    {"trace", [](bench::Ground& g) { return bench::trace_beside_sqlite(g); }},
};

std::string all_names()
{
    std::string names;
    for (const Figure& figure : kFigures)
        names += (names.empty() ? "" : ", ") + std::string(figure.name);
    return names;
}

} // namespace

int main(int argc, char** argv)
{
    namespace fs = std::filesystem;
    std::error_code          none;
    bench::Ground            ground;
    std::string              where = fs::current_path(none).string();
    std::vector<std::string> only;
    CLI::App                 app("Figures of the product beside limits of this machine.");
    app.add_option("folder", where, "where to write: a real disk, not memory");
    app.add_option("--only", only, "of: " + all_names())->delimiter(',');
    app.add_option("--entries", ground.entries, "of the large book (cold, trace)");
    app.add_option("--segments", ground.segments, "of the shared folder (publish, intake, nothing, prove)");
    app.add_option("--photos", ground.photos, "of the shared folder");
    CLI11_PARSE(app, argc, argv);

    std::string name = where + "/witnessmark-bench-XXXXXX";
    if (mkdtemp(name.data()) == nullptr) bench::give_up("no folder can be made in " + where);
    ground.folder = name;
    // Only what was written to a disk and synced counts: the folder must not be in memory.
    std::printf("witnessmark bench in %s; load %s\n", where.c_str(), bench::load_now().c_str());
    bool good = true;
    for (const Figure& figure : kFigures)
        if (only.empty() || std::find(only.begin(), only.end(), figure.name) != only.end())
            good &= figure.measure(ground);
    fs::remove_all(ground.folder, none);
    std::printf("\n%s; load %s\n", good ? "every bar holds" : "a bar is missed", bench::load_now().c_str());
    return good ? 0 : 1;
}
