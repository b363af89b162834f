#include "field/app/house.h"

#include "engine/base/files.h"
#include "field/app/settings_file.h"
#include "sync/disk_folder.h"
#include "sync/plant_file.h"

#include <system_error>

namespace field::app {
namespace {

/// A book that is made in reach of its folder is of the folder's plant.
void name_plant(engine::BookOptions& as, const HouseOptions& options)
{
    as.plant = options.plant;
    std::error_code none;
    if (options.shared.empty() || std::filesystem::exists(options.book, none)) return;
    auto folder = share::DiskFolder::open(options.shared);
    if (!folder) return;
    const auto plant = share::plant_to_join(*folder);
    if (!plant || !*plant) return;
    as.plant = (*plant)->name;
    as.mark  = (*plant)->mark;
}

} // namespace

engine::Result<std::unique_ptr<AppHouse>> AppHouse::open(const HouseOptions& options, shell::Shell& shell,
                                                         const engine::Clock& clock)
{
    std::unique_ptr<AppHouse> house(new AppHouse);
    auto                      words = look::Words::load_folder(engine::assets_folder() / "words");
    if (!words) return words.failure();
    house->words_.emplace(std::move(*words));
    auto procedure = engine::load_procedure(engine::assets_folder() / "procedure");
    if (!procedure) return procedure.failure();
    house->procedure_.emplace(std::move(*procedure));
    engine::BookOptions as;
    as.machine_name  = options.machine_name;
    as.ballast_bytes = options.ballast_bytes;
    name_plant(as, options);
    auto book = engine::Book::open(options.book, clock, as);
    if (!book) return book.failure();
    house->book_.emplace(std::move(*book));
    if (options.host)
        if (const auto bound = engine::bind_to_host(*house->book_, *options.host); !bound)
            return bound.failure();
    house->bench_.emplace(*house->book_, *house->procedure_, clock);

    Wiring wiring;
    house->camera_       = camera::make_camera(options.camera);
    wiring.bench         = &*house->bench_;
    wiring.clock         = &clock;
    wiring.words         = &*house->words_;
    wiring.shell         = &shell;
    wiring.camera        = house->camera_.get();
    wiring.shared        = options.shared;
    wiring.plant_key     = options.plant_key;
    wiring.settings_file = options.book.string() + ".settings.json";
    wiring.settings      = load_settings(wiring.settings_file);
    if (options.units) wiring.settings.units = *options.units;
    if (options.light) wiring.settings.light = *options.light;
    if (options.badge) wiring.settings.badge = *options.badge;
    if (wiring.settings.px_per_mm > 0)
        if (auto scaled = shell.set_scale(wiring.settings.px_per_mm); !scaled) return scaled.failure();
    house->app_.emplace(std::move(wiring));
    return house;
}

void run(shell::Shell& shell, App& app)
{
    // Patience that ran out is a reason to draw as well: a live picture, the next minute of the clock.
    while (!shell.quit()) {
        if (!shell.poll(std::chrono::milliseconds(0))) {
            app.rest();
            (void)shell.poll(app.patience());
        }
        app.frame();
    }
}

} // namespace field::app
