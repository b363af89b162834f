#pragma once
// Everything the app stands on, opened in order and closed in reverse: words, procedure, book, camera,
// settings, app.
#include "engine/book/host.h"
#include "field/app/app.h"
#include "field/app/plant_name.h"

namespace field::app {

struct HouseOptions {
    std::filesystem::path         book;
    std::filesystem::path         shared;    ///< empty: none
    std::filesystem::path         plant_key; ///< file or folder of the plant key; empty: looked for
    camera::CameraChoice          camera;
    std::optional<screens::Units> units; ///< over the kept settings
    std::optional<look::Light>    light;
    std::optional<std::string>    badge;
    std::string                   machine_name = "T-01";
    std::string                   plant = kUnnamedPlant; ///< of a book that is made away from its folder
    std::uint64_t                 ballast_bytes = 0;     ///< kept free on the disk for the step in hand
    std::optional<engine::Host>   host; ///< the machine the book must belong to; none: not asked
};

class AppHouse {
  public:
    /// `shell` and `clock` must outlive it. A missing camera is no fault: the camera place says why. Faults
    /// of book, procedure or words come back as they are.
    [[nodiscard]] static engine::Result<std::unique_ptr<AppHouse>>
    open(const HouseOptions& options, shell::Shell& shell, const engine::Clock& clock);

    [[nodiscard]] App&          app() { return *app_; }
    [[nodiscard]] engine::Book& book() { return *book_; }

  private:
    AppHouse() = default;
    std::optional<look::Words>       words_;
    std::optional<engine::Procedure> procedure_;
    std::optional<engine::Book>      book_;
    std::optional<engine::Workbench> bench_;
    std::unique_ptr<camera::Camera>  camera_;
    std::optional<App>               app_;
};

/// Waits for events and draws frames until the window is closed.
void run(shell::Shell& shell, App& app);

} // namespace field::app
