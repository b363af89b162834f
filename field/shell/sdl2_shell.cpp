// The tablet's window: SDL2 and OpenGL 3. Fingers come as SDL_FINGER events and are handed on one change a
// frame; SDL's own translation of fingers to a mouse is off, or one tap would come twice.
#include "field/shell/context.h"
#include "field/shell/gl_window.h"
#include "field/shell/sdl_calls.h"

#include <imgui.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>
#include <utility>

namespace field::shell {
namespace {

constexpr std::int64_t kSdlMouse = -1; // no panel numbers its fingers so

class Sdl2 final : public Shell {
  public:
    static engine::Result<std::unique_ptr<Shell>> open(const Options& options);
    ~Sdl2() override;

    bool                                        poll(std::chrono::milliseconds timeout) override;
    void                                        wake() override;
    void                                        begin_frame() override;
    void                                        present(look::Colour ground) override;
    [[nodiscard]] bool                          quit() const override { return quit_; }
    [[nodiscard]] look::ScreenSize              size() const override { return context_->screen(); }
    engine::Status                              set_scale(float px_per_mm) override;
    [[nodiscard]] const look::Type&             type() const override { return context_->type(); }
    [[nodiscard]] std::string                   take_text() override { return context_->take_text(); }
    [[nodiscard]] engine::Result<look::Texture> upload(const Image& picture) override
    {
        return gl_.upload(picture);
    }
    void release(look::Texture texture) override { gl_.release(texture); }

  private:
    [[nodiscard]] engine::Status   start(const Options& options);
    [[nodiscard]] engine::Failure  no_window(const std::string& what) const;
    void                           handle(const SDL_Event& event);
    void                           handle_finger(const SDL_TouchFingerEvent& finger);
    void                           handle_mouse(const SDL_Event& event);
    void                           handle_key(const SDL_KeyboardEvent& key);
    [[nodiscard]] look::ScreenSize measured() const;

    SdlCalls                 sdl_;
    std::unique_ptr<Context> context_;
    GlDrawing                gl_;
    SDL_Window*              window_{};
    SDL_GLContext            gl_context_{};
    Uint32                   wake_event_{};
    Uint64                   last_frame_{};
    float                    px_per_mm_{5.884F};
    bool                     quit_{};
    bool                     started_{};
};

engine::Failure Sdl2::no_window(const std::string& what) const
{
    return engine::failure(
        engine::Fault::unsupported,
        what + " Start it on a machine with a screen, or use `witnessmark rehearse` to draw without one.",
        sdl_.GetError());
}

engine::Result<std::unique_ptr<Shell>> Sdl2::open(const Options& options)
{
    auto shell   = std::make_unique<Sdl2>();
    auto started = shell->start(options);
    if (!started) return started.failure();
    return std::unique_ptr<Shell>(std::move(shell));
}

engine::Status Sdl2::start(const Options& options)
{
    auto calls = SdlCalls::load();
    if (!calls) return calls.failure();
    sdl_ = *calls;
    sdl_.SetHint(SDL_HINT_TOUCH_MOUSE_EVENTS, "0");
    sdl_.SetHint(SDL_HINT_MOUSE_TOUCH_EVENTS, "0");
    // Asked for a place it has no folder for, the Wayland client writes a line of its own.
    if (std::getenv("XDG_RUNTIME_DIR") == nullptr) sdl_.SetHint(SDL_HINT_VIDEODRIVER, "x11,kmsdrm");
    if (sdl_.Init(SDL_INIT_VIDEO) != 0) return no_window("There is no display to open a window on.");
    started_ = true;
    // Without a display SDL falls back to a driver that draws where nobody looks.
    const std::string_view driver = sdl_.GetCurrentVideoDriver();
    if (std::getenv("SDL_VIDEODRIVER") == nullptr && (driver == "offscreen" || driver == "dummy"))
        return no_window("There is no display to open a window on.");
    sdl_.GL_SetAttribute(SDL_GL_CONTEXT_PROFILE_MASK, SDL_GL_CONTEXT_PROFILE_CORE);
    sdl_.GL_SetAttribute(SDL_GL_CONTEXT_MAJOR_VERSION, 3);
    sdl_.GL_SetAttribute(SDL_GL_CONTEXT_MINOR_VERSION, 0);
    sdl_.GL_SetAttribute(SDL_GL_DOUBLEBUFFER, 1);
    Uint32 flags = SDL_WINDOW_OPENGL | SDL_WINDOW_RESIZABLE;
    if (options.full_screen) flags |= SDL_WINDOW_FULLSCREEN_DESKTOP;
    window_ = sdl_.CreateWindow(options.title.c_str(), SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED,
                                options.screen.w_px, options.screen.h_px, flags);
    if (window_ == nullptr) return no_window("The window could not be opened on this display.");
    gl_context_ = sdl_.GL_CreateContext(window_);
    if (gl_context_ == nullptr) return no_window("The display offers no OpenGL 3.");
    sdl_.GL_MakeCurrent(window_, gl_context_);
    sdl_.GL_SetSwapInterval(1);
    px_per_mm_   = options.screen.px_per_mm;
    auto context = Context::make(measured());
    if (!context) return context.failure();
    context_ = std::move(*context);
    if (!gl_.start(sdl_.GL_GetProcAddress)) return no_window("The display offers no OpenGL 3.");
    wake_event_ = sdl_.RegisterEvents(1);
    last_frame_ = sdl_.GetPerformanceCounter();
    sdl_.StartTextInput();
    return engine::Unit{};
}

Sdl2::~Sdl2()
{
    gl_.stop();
    context_.reset();
    if (gl_context_ != nullptr) sdl_.GL_DeleteContext(gl_context_);
    if (window_ != nullptr) sdl_.DestroyWindow(window_);
    if (started_) sdl_.Quit();
}

look::ScreenSize Sdl2::measured() const
{
    look::ScreenSize screen{1, 1, px_per_mm_};
    sdl_.GL_GetDrawableSize(window_, &screen.w_px, &screen.h_px);
    screen.w_px = std::max(1, screen.w_px);
    screen.h_px = std::max(1, screen.h_px);
    return screen;
}

bool Sdl2::poll(std::chrono::milliseconds timeout)
{
    if (context_->frame_due())
        timeout = std::min(timeout, std::chrono::milliseconds(context_->finger_down() ? 16 : 0));
    SDL_Event event;
    if (sdl_.WaitEventTimeout(&event, static_cast<int>(timeout.count())) != 0) {
        handle(event);
        while (sdl_.PollEvent(&event) != 0)
            handle(event);
    }
    return context_->frame_due();
}

void Sdl2::handle(const SDL_Event& event)
{
    context_->owe();
    switch (event.type) {
    case SDL_QUIT:
        quit_ = true;
        break;
    case SDL_FINGERDOWN:
    case SDL_FINGERMOTION:
    case SDL_FINGERUP:
        handle_finger(event.tfinger);
        break;
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP:
    case SDL_MOUSEMOTION:
        handle_mouse(event);
        break;
    case SDL_TEXTINPUT:
        context_->type_text(event.text.text);
        break;
    case SDL_KEYDOWN:
        handle_key(event.key);
        break;
    case SDL_WINDOWEVENT:
        if (event.window.event == SDL_WINDOWEVENT_FOCUS_LOST) context_->touch.clear();
        break;
    default:
        break;
    }
}

void Sdl2::handle_finger(const SDL_TouchFingerEvent& finger)
{
    const float x  = finger.x * static_cast<float>(context_->screen().w_px);
    const float y  = finger.y * static_cast<float>(context_->screen().h_px);
    const auto  id = static_cast<std::int64_t>(finger.fingerId);
    if (finger.type == SDL_FINGERDOWN)
        context_->touch.down(id, x, y);
    else if (finger.type == SDL_FINGERMOTION)
        context_->touch.move(id, x, y);
    else
        context_->touch.up(id);
}

void Sdl2::handle_mouse(const SDL_Event& event)
{
    if (event.type == SDL_MOUSEMOTION) {
        if (event.motion.which == SDL_TOUCH_MOUSEID || (event.motion.state & SDL_BUTTON_LMASK) == 0) return;
        context_->touch.move(kSdlMouse, static_cast<float>(event.motion.x),
                             static_cast<float>(event.motion.y));
        return;
    }
    if (event.button.which == SDL_TOUCH_MOUSEID || event.button.button != SDL_BUTTON_LEFT) return;
    const auto x = static_cast<float>(event.button.x);
    const auto y = static_cast<float>(event.button.y);
    if (event.type == SDL_MOUSEBUTTONDOWN)
        context_->touch.down(kSdlMouse, x, y);
    else
        context_->touch.up(kSdlMouse);
}

void Sdl2::handle_key(const SDL_KeyboardEvent& key)
{
    switch (key.keysym.sym) {
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
    case SDLK_TAB: // some gauges end a reading with Tab
        context_->type_text("\n");
        break;
    case SDLK_BACKSPACE:
        context_->type_text("\b");
        break;
    case SDLK_ESCAPE:
        context_->type_text("\x1b");
        break;
    default:
        break;
    }
}

void Sdl2::wake()
{
    SDL_Event event{};
    event.type = wake_event_;
    sdl_.PushEvent(&event); // safe from any thread
}

void Sdl2::begin_frame()
{
    const auto baked = context_->resize(measured());
    if (baked && *baked) gl_.letters_changed();
    gl_.new_frame();
    const Uint64 now = sdl_.GetPerformanceCounter();
    const auto   s =
        static_cast<double>(now - last_frame_) / static_cast<double>(sdl_.GetPerformanceFrequency());
    last_frame_ = now;
    context_->feed(static_cast<float>(std::clamp(s, 0.001, 0.1)));
    ImGui::NewFrame();
}

void Sdl2::present(look::Colour ground)
{
    ImGui::Render();
    gl_.draw(ground, context_->screen().w_px, context_->screen().h_px);
    sdl_.GL_SwapWindow(window_);
    context_->drawn();
}

engine::Status Sdl2::set_scale(float px_per_mm)
{
    px_per_mm_ = px_per_mm;
    auto baked = context_->resize(measured());
    if (!baked) return baked.failure();
    if (*baked) gl_.letters_changed();
    return engine::Unit{};
}

} // namespace

engine::Result<std::unique_ptr<Shell>> open_tablet(const Options& options)
{
    return Sdl2::open(options);
}

} // namespace field::shell
