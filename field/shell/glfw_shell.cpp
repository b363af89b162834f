// The desk's window: GLFW with mouse and keyboard (it has no touch).
#include "field/shell/context.h"
#include "field/shell/gl_window.h"
#include "field/shell/glfw_calls.h"

#include <imgui.h>

#include <algorithm>
#include <utility>

namespace field::shell {
namespace {

constexpr std::int64_t kGlfwMouse = -1;

/// GLFW has one state a process, and it calls back without an object of ours.
GlfwCalls glfw;

std::string utf8(unsigned int code)
{
    std::string out;
    if (code < 0x80)
        out += static_cast<char>(code);
    else if (code < 0x800) {
        out += static_cast<char>(0xC0U | (code >> 6U));
        out += static_cast<char>(0x80U | (code & 0x3FU));
    } else if (code < 0x10000) {
        out += static_cast<char>(0xE0U | (code >> 12U));
        out += static_cast<char>(0x80U | ((code >> 6U) & 0x3FU));
        out += static_cast<char>(0x80U | (code & 0x3FU));
    }
    return out;
}

void* load_gl(const char* name)
{
    return reinterpret_cast<void*>(glfw.GetProcAddress(name));
}

class Glfw final : public Shell {
  public:
    static engine::Result<std::unique_ptr<Shell>> open(const Options& options);
    ~Glfw() override;

    bool                            poll(std::chrono::milliseconds timeout) override;
    void                            wake() override;
    void                            begin_frame() override;
    void                            present(look::Colour ground) override;
    [[nodiscard]] bool              quit() const override { return glfw.WindowShouldClose(window_) != 0; }
    [[nodiscard]] look::ScreenSize  size() const override { return context_->screen(); }
    engine::Status                  set_scale(float px_per_mm) override;
    [[nodiscard]] const look::Type& type() const override { return context_->type(); }
    [[nodiscard]] std::string       take_text() override { return context_->take_text(); }
    [[nodiscard]] engine::Result<look::Texture> upload(const Image& picture) override
    {
        return gl_.upload(picture);
    }
    void release(look::Texture texture) override { gl_.release(texture); }

  private:
    [[nodiscard]] engine::Status   start(const Options& options);
    void                           listen();
    [[nodiscard]] look::ScreenSize measured() const;
    static Glfw& of(GLFWwindow* window) { return *static_cast<Glfw*>(glfw.GetWindowUserPointer(window)); }
    void         mouse_button(int button, int action);
    void         key(int code, int action);

    std::unique_ptr<Context> context_;
    GlDrawing                gl_;
    GLFWwindow*              window_{};
    double                   last_frame_{};
    float                    px_per_mm_{5.884F};
    bool                     started_{};
};

engine::Result<std::unique_ptr<Shell>> Glfw::open(const Options& options)
{
    auto shell   = std::make_unique<Glfw>();
    auto started = shell->start(options);
    if (!started) return started.failure();
    return std::unique_ptr<Shell>(std::move(shell));
}

engine::Status Glfw::start(const Options& options)
{
    auto calls = GlfwCalls::load();
    if (!calls) return calls.failure();
    glfw                 = *calls;
    const auto no_window = [](const std::string& what) {
        const char* why = nullptr;
        glfw.GetError(&why);
        return engine::failure(
            engine::Fault::unsupported,
            what + " Start it on a machine with a screen, or use `witnessmark rehearse` to draw without one.",
            why != nullptr ? why : "");
    };
    if (glfw.Init() == 0) return no_window("There is no display to open a window on.");
    started_ = true;
    glfw.WindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfw.WindowHint(GLFW_CONTEXT_VERSION_MINOR, 0);
    window_ =
        glfw.CreateWindow(options.screen.w_px, options.screen.h_px, options.title.c_str(), nullptr, nullptr);
    if (window_ == nullptr) return no_window("The window could not be opened on this display.");
    glfw.MakeContextCurrent(window_);
    glfw.SwapInterval(1);
    px_per_mm_   = options.screen.px_per_mm;
    auto context = Context::make(measured());
    if (!context) return context.failure();
    context_ = std::move(*context);
    if (!gl_.start(&load_gl)) return no_window("The display offers no OpenGL 3.");
    listen();
    last_frame_ = glfw.GetTime();
    return engine::Unit{};
}

void Glfw::listen()
{
    glfw.SetWindowUserPointer(window_, this);
    glfw.SetMouseButtonCallback(
        window_, [](GLFWwindow* w, int button, int action, int) { of(w).mouse_button(button, action); });
    glfw.SetCursorPosCallback(window_, [](GLFWwindow* w, double x, double y) {
        of(w).context_->touch.move(kGlfwMouse, static_cast<float>(x), static_cast<float>(y));
        of(w).context_->owe();
    });
    glfw.SetCharCallback(window_, [](GLFWwindow* w, unsigned int code) {
        of(w).context_->type_text(utf8(code));
        of(w).context_->owe();
    });
    glfw.SetKeyCallback(window_,
                        [](GLFWwindow* w, int code, int, int action, int) { of(w).key(code, action); });
    glfw.SetWindowRefreshCallback(window_, [](GLFWwindow* w) { of(w).context_->owe(); });
    glfw.SetWindowCloseCallback(window_, [](GLFWwindow* w) { of(w).context_->owe(); });
    glfw.SetFramebufferSizeCallback(window_, [](GLFWwindow* w, int, int) { of(w).context_->owe(); });
}

void Glfw::mouse_button(int button, int action)
{
    context_->owe();
    if (button != GLFW_MOUSE_BUTTON_LEFT) return;
    double x = 0, y = 0;
    glfw.GetCursorPos(window_, &x, &y);
    if (action == GLFW_PRESS)
        context_->touch.down(kGlfwMouse, static_cast<float>(x), static_cast<float>(y));
    else
        context_->touch.up(kGlfwMouse);
}

void Glfw::key(int code, int action)
{
    if (action == GLFW_RELEASE) return;
    context_->owe();
    if (code == GLFW_KEY_ENTER || code == GLFW_KEY_KP_ENTER || code == GLFW_KEY_TAB)
        context_->type_text("\n");
    else if (code == GLFW_KEY_BACKSPACE)
        context_->type_text("\b");
    else if (code == GLFW_KEY_ESCAPE)
        context_->type_text("\x1b");
}

Glfw::~Glfw()
{
    gl_.stop();
    context_.reset();
    if (window_ != nullptr) glfw.DestroyWindow(window_);
    if (started_) glfw.Terminate();
}

look::ScreenSize Glfw::measured() const
{
    look::ScreenSize screen{1, 1, px_per_mm_};
    glfw.GetFramebufferSize(window_, &screen.w_px, &screen.h_px);
    screen.w_px = std::max(1, screen.w_px);
    screen.h_px = std::max(1, screen.h_px);
    return screen;
}

void Glfw::wake() // safe from any thread
{
    context_->wake();
    glfw.PostEmptyEvent();
}

bool Glfw::poll(std::chrono::milliseconds timeout)
{
    if (context_->frame_due())
        timeout = std::min(timeout, std::chrono::milliseconds(context_->finger_down() ? 16 : 0));
    if (timeout.count() <= 0)
        glfw.PollEvents();
    else
        glfw.WaitEventsTimeout(static_cast<double>(timeout.count()) / 1000.0);
    return context_->frame_due();
}

void Glfw::begin_frame()
{
    const auto baked = context_->resize(measured());
    if (baked && *baked) gl_.letters_changed();
    gl_.new_frame();
    const double now = glfw.GetTime();
    context_->feed(static_cast<float>(std::clamp(now - std::exchange(last_frame_, now), 0.001, 0.1)));
    ImGui::NewFrame();
}

void Glfw::present(look::Colour ground)
{
    ImGui::Render();
    gl_.draw(ground, context_->screen().w_px, context_->screen().h_px);
    glfw.SwapBuffers(window_);
    context_->drawn();
}

engine::Status Glfw::set_scale(float px_per_mm)
{
    px_per_mm_ = px_per_mm;
    auto baked = context_->resize(measured());
    if (!baked) return baked.failure();
    if (*baked) gl_.letters_changed();
    return engine::Unit{};
}

} // namespace

engine::Result<std::unique_ptr<Shell>> open_desk(const Options& options)
{
    return Glfw::open(options);
}

} // namespace field::shell
