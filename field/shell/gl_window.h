#pragma once
// What the two OpenGL shells share: letters and pictures as textures, drawing a frame. Loads OpenGL by name,
// so that nothing links against a driver.
#include "field/shell/shell.h"

namespace field::shell {

class GlDrawing {
  public:
    using Loader = void* (*)(const char* name);
    /// The window's context must be current. False when the driver lacks OpenGL 3.
    [[nodiscard]] bool start(Loader loader);
    void               stop();
    void               letters_changed(); ///< bakes and uploads the font texture again
    void               new_frame();
    void               draw(look::Colour ground, int w_px, int h_px);

    [[nodiscard]] engine::Result<look::Texture> upload(const Image& picture);
    void                                        release(look::Texture texture);

  private:
    Loader loader_{};
    bool   started_{};
};

} // namespace field::shell
