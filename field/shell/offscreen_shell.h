#pragma once
// No window, no graphics driver: frames are drawn by our own rasteriser into memory, the same on every
// machine. Tests, pictures and `rehearse` use it.
#include "field/shell/shell.h"
#include "field/shell/touch_queue.h"

#include <filesystem>

namespace field::shell {

class OffscreenShell : public Shell {
  public:
    /// What a panel would report; places in mm. A frame takes one change at a time.
    virtual void touch_down(look::Point at)         = 0;
    virtual void touch_move(look::Point at)         = 0;
    virtual void touch_up()                         = 0;
    virtual void type_text(const std::string& text) = 0;
    virtual void ask_to_quit()                      = 0;
    /// A frame without pixels is enough for most tests: present() then skips the raster.
    virtual void                       set_raster(bool on) = 0;
    [[nodiscard]] virtual const Image& image() const       = 0; ///< the last frame presented with raster on
    /// Seconds that pass from frame to frame; 1/60 unless set.
    virtual void set_frame_time(float seconds) = 0;
};

[[nodiscard]] engine::Result<std::unique_ptr<OffscreenShell>> open_offscreen(const Options& options);

[[nodiscard]] engine::Status write_png(const std::filesystem::path& file, const Image& image);

} // namespace field::shell
