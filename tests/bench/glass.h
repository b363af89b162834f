#pragma once
// The real app on an offscreen glass with the machine's own clock, and a finger.
#include "field/app/house.h"
#include "field/app/stage.h"
#include "field/shell/offscreen_shell.h"

#include <memory>
#include <string>

namespace bench {

class Glass {
  public:
    Glass(const std::filesystem::path& book, bool raster, const std::filesystem::path& shared = {});

    void frames(int count);
    void press(const std::string& name); ///< a whole tap, with frames around it
    /// Finger down and up at once, as a quick tap reaches the queue; no frame drawn.
    void                                        touch(const std::string& name);
    void                                        frame() { app().frame(); }
    [[nodiscard]] field::app::App&              app() { return house_->app(); }
    [[nodiscard]] engine::Book&                 book() { return house_->book(); }
    [[nodiscard]] field::shell::OffscreenShell& shell() { return *shell_; }

  private:
    std::unique_ptr<engine::Clock>                clock_;
    std::unique_ptr<field::shell::OffscreenShell> shell_;
    std::unique_ptr<field::app::AppHouse>         house_;
};

/// `witnessmark demo` with so many shifts of history; the book's file.
[[nodiscard]] std::filesystem::path demo_book(const std::filesystem::path& file, int shifts);

/// Plays lines such as "tap main" on the book with Stage, the program's own rehearsal.
void play(const std::filesystem::path& book, const std::vector<std::string>& lines);

} // namespace bench
