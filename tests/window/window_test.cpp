// The real window, drawn by OpenGL on a virtual display and touched with its pointer: the same places, the
// same pictures and the same record as on the offscreen glass.
#include "field/app/stage.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdlib>
#include <functional>
#include <string>
#include <thread>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using support::run;
using support::run_shell;

constexpr auto kPatience = 60s; ///< a machine under load; what is waited for comes in a moment

/// A process that is gone when the test ends.
class Child {
  public:
    explicit Child(const std::function<void()>& become)
    {
        pid_ = ::fork();
        if (pid_ != 0) return;
        become();
        ::_exit(127);
    }
    Child(const Child&)            = delete;
    Child& operator=(const Child&) = delete;
    ~Child() { end(SIGKILL); }
    void end(int signal)
    {
        if (pid_ <= 0) return;
        ::kill(pid_, signal);
        int status = 0;
        ::waitpid(pid_, &status, 0);
        pid_ = 0;
    }

  private:
    pid_t pid_ = 0;
};

/// A display that nobody sees, with a number nobody else uses.
class Display {
  public:
    Display()
    {
        REQUIRE(::pipe(pipe_.data()) == 0);
        server_ = std::make_unique<Child>([&] {
            ::close(pipe_[0]);
            const int nowhere = ::open("/dev/null", O_WRONLY);
            ::dup2(nowhere, STDERR_FILENO);
            const std::string number = std::to_string(pipe_[1]);
            ::execlp("Xvfb", "Xvfb", "-displayfd", number.c_str(), "-screen", "0", "1280x800x24", "-nolisten",
                     "tcp", nullptr);
        });
        ::close(pipe_[1]);
        std::string number;
        for (char c = 0; ::read(pipe_[0], &c, 1) == 1 && c != '\n';)
            number += c;
        ::close(pipe_[0]);
        REQUIRE_MESSAGE(!number.empty(), "Xvfb could not be started; tests/run installs it.");
        name_ = ":" + number;
    }
    [[nodiscard]] const std::string& name() const { return name_; }

  private:
    std::array<int, 2>     pipe_{};
    std::unique_ptr<Child> server_;
    std::string            name_;
};

/// The app in its window, and the same app offscreen beside it that says where things are.
class Both {
  public:
    Both()
    {
        for (const char* name : {"book", "twin"})
            REQUIRE(run("demo --shifts 0 --book '" + place(name) + "'", folder_.path()).code == 0);
        for (const char* name : {"book", "twin"}) // who holds the tablet
            std::ofstream(place(name) + ".settings.json") << R"({"badge":"112"})";
        open();
        field::app::RehearsalSetup setup{
            .book = place("twin"), .out = folder_.path(), .shared = {}, .light = {}, .badge = "112"};
        auto stage = field::app::Stage::open(setup, 1795590000000);
        REQUIRE(stage.has_value());
        twin_ = std::move(*stage);
    }
    void open()
    {
        app_             = std::make_unique<Child>([&] {
            const int nowhere = ::open("/dev/null", O_WRONLY);
            ::dup2(nowhere, STDERR_FILENO);
            ::setenv("DISPLAY", display_.name().c_str(), 1);
            ::setenv("LIBGL_ALWAYS_SOFTWARE", "1", 1);
            ::unsetenv("WAYLAND_DISPLAY");
            ::execl(WM_PROGRAM, WM_PROGRAM, "--book", place("book").c_str(), "--camera", "test", "--size",
                                "1280x800", nullptr);
        });
        const auto start = std::chrono::steady_clock::now();
        while (x("search --name Witnessmark").code != 0) {
            REQUIRE_MESSAGE(std::chrono::steady_clock::now() - start < kPatience, "no window came up");
            std::this_thread::sleep_for(100ms);
        }
        (void)x("search --name Witnessmark windowmove 0 0");
        std::this_thread::sleep_for(800ms);
    }
    void kill_it() { app_->end(SIGKILL); }
    void close() { app_->end(SIGTERM); }

    /// The same tap on both.
    void tap(const std::string& target)
    {
        const auto* seen = twin_->app().ledger().target(target);
        REQUIRE_MESSAGE(seen != nullptr, "no target " << target);
        const auto middle = seen->rect.centre();
        const auto px     = [](float mm) { return std::to_string(std::lround(mm * 5.884F)); };
        REQUIRE(x("mousemove " + px(middle.x) + " " + px(middle.y)).code == 0);
        REQUIRE(x("mousedown 1").code == 0);
        std::this_thread::sleep_for(60ms);
        REQUIRE(x("mouseup 1").code == 0);
        REQUIRE(twin_->tap(target).has_value());
        std::this_thread::sleep_for(250ms);
    }
    void type(const std::string& digits)
    {
        for (const char c : digits)
            tap(std::string("key.") + c);
    }
    /// Mean difference of the two pictures, 0 to 1.
    [[nodiscard]] double difference()
    {
        REQUIRE(twin_->shot("twin").has_value());
        const std::string files = "'" + place("window.png") + "' '" + place("twin.png") + "'";
        const auto        taken =
            run_shell("DISPLAY=" + display_.name() + " import -window root '" + place("window.png") + "'",
                      folder_.path());
        REQUIRE_MESSAGE(taken.code == 0, taken.says);
        const auto told =
            run_shell("compare -metric MAE " + files + " null:", folder_.path()); // "1234.5 (0.0188)"
        const auto open = told.says.find('(');
        REQUIRE_MESSAGE(open != std::string::npos, told.says);
        return std::stod(told.says.substr(open + 1));
    }
    [[nodiscard]] std::string entries_of(const std::string& job) const
    {
        return run("trace --json --job " + job + " --book '" + place("book") + "'", folder_.path()).out;
    }
    [[nodiscard]] int check() const
    {
        return run("check --book '" + place("book") + "'", folder_.path()).code;
    }

  private:
    [[nodiscard]] support::Ran x(const std::string& command) const
    {
        return run_shell("DISPLAY=" + display_.name() + " xdotool " + command, folder_.path());
    }
    [[nodiscard]] std::string place(const std::string& name) const
    {
        return (folder_.path() / name).string();
    }

    support::TempFolder                folder_;
    Display                            display_;
    std::unique_ptr<Child>             app_;
    std::unique_ptr<field::app::Stage> twin_;
};

} // namespace

TEST_SUITE("field/window")
{
    TEST_CASE("the window shows what the offscreen glass shows, and a touch in it ends in the book")
    {
        Both both;
        CHECK(both.difference() < 0.02);
        both.tap("job.2219");
        CHECK(both.difference() < 0.02);
        both.tap("main");
        both.tap("cell.lock_number");
        both.type("4471");
        CHECK(both.difference() < 0.02);
        both.tap("key.enter");
        both.kill_it(); // what was entered is kept the moment it is entered
        CHECK(both.entries_of("2219").find("4471") != std::string::npos);
        CHECK(both.check() == 0);
    }
}
