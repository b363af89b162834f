#pragma once
// The seam to window, fingers and glass. One shell at a time; it owns the Dear ImGui context and the baked
// letters. All calls from the screen's thread, except wake().
#include "engine/base/result.h"
#include "field/look/canvas.h"

#include <chrono>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

namespace field::shell {

/// A picture as it comes from a photo or goes to a PNG: 4 bytes a pixel, rows from the top.
struct Image {
    int                       w{};
    int                       h{};
    std::vector<std::uint8_t> rgba;
};

struct Options {
    look::ScreenSize screen; ///< size wanted; a full screen takes what the display has
    bool             full_screen{false};
    std::string      title{"Witnessmark"};
};

class Shell {
  public:
    Shell()                        = default;
    Shell(const Shell&)            = delete;
    Shell& operator=(const Shell&) = delete;
    virtual ~Shell()               = default;

    /// Waits for events at most `timeout`, less when a redraw is still owed (3 frames after each event). True
    /// when a frame has to be drawn.
    virtual bool poll(std::chrono::milliseconds timeout) = 0;
    /// Ends a poll() that waits; from any thread.
    virtual void wake() = 0;
    /// Starts a Dear ImGui frame with at most one new state of the finger.
    virtual void begin_frame() = 0;
    /// Ends the frame and shows it on `ground`.
    virtual void               present(look::Colour ground) = 0;
    [[nodiscard]] virtual bool quit() const                 = 0;

    [[nodiscard]] virtual look::ScreenSize size() const = 0;
    /// A new scale (bank card held to the glass): letters are baked again.
    virtual engine::Status                  set_scale(float px_per_mm) = 0;
    [[nodiscard]] virtual const look::Type& type() const               = 0;

    /// Characters typed by a keyboard, wired gauge or scanner since the last call; Enter is '\n', Backspace
    /// '\b', Escape '\x1b'. Latin-1 and beyond as UTF-8.
    [[nodiscard]] virtual std::string take_text() = 0;

    /// `pixels` is w * h * 4 bytes. The texture lives until release() or the end of the shell.
    [[nodiscard]] virtual engine::Result<look::Texture> upload(const Image& picture)   = 0;
    virtual void                                        release(look::Texture texture) = 0;
};

/// The tablet: SDL2 with OpenGL 3, fingers and mouse.
[[nodiscard]] engine::Result<std::unique_ptr<Shell>> open_tablet(const Options& options);
/// The desk: a GLFW window, mouse and keyboard.
[[nodiscard]] engine::Result<std::unique_ptr<Shell>> open_desk(const Options& options);

} // namespace field::shell
