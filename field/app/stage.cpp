#include "field/app/stage.h"

#include "engine/base/numbers.h"
#include "field/app/house.h"
#include "field/kit/ledger.h"

#include <chrono>
#include <cmath>
#include <sstream>
#include <thread>

namespace field::app {

using engine::failure;
using engine::Fault;

namespace {
constexpr std::int64_t kFrameMs = 17;
}

Stage::Stage(const RehearsalSetup& setup, std::int64_t wall_ms) : setup_(setup), clock_(wall_ms) {}
Stage::~Stage() = default;

engine::Result<std::unique_ptr<Stage>> Stage::open(const RehearsalSetup& setup, std::int64_t wall_ms)
{
    std::unique_ptr<Stage> stage(new Stage(setup, wall_ms));
    auto                   shell = shell::open_offscreen({.screen = setup.screen});
    if (!shell) return shell.failure();
    stage->shell_ = std::move(*shell);
    stage->shell_->set_raster(false);
    HouseOptions options{.book         = setup.book,
                         .shared       = setup.shared,
                         .plant_key    = setup.plant_key,
                         .camera       = {.camera = setup.camera, .folder = setup.camera_folder},
                         .light        = setup.light,
                         .machine_name = setup.machine_name,
                         .plant        = setup.plant};
    if (!setup.badge.empty()) options.badge = setup.badge;
    auto house = AppHouse::open(options, *stage->shell_, stage->clock_);
    if (!house) return house.failure();
    stage->house_ = std::move(*house);
    stage->app_   = &stage->house_->app();
    stage->frames(2);
    return stage;
}

engine::Book& Stage::book()
{
    return house_->book();
}

void Stage::frames(int count)
{
    for (int i = 0; i < count; ++i) {
        clock_.pass(kFrameMs);
        (void)shell_->poll(std::chrono::milliseconds(0));
        app_->frame();
    }
}

std::string Stage::seen() const
{
    std::string list;
    for (const auto& target : app_->ledger().targets)
        list += (list.empty() ? "" : ", ") + target.id + (target.enabled ? "" : " (off)");
    std::string texts;
    for (const auto& text : app_->ledger().texts)
        texts += (texts.empty() ? "'" : ", '") + text.text + "'";
    return "On the screen: " + list + ". Texts: " + texts + ".";
}

engine::Status Stage::tap(const std::string& name)
{
    const look::TargetSeen* target = app_->ledger().target(name);
    for (int tries = 0; target == nullptr && tries < 30; ++tries) { // a camera may need some frames
        frames(1);
        target = app_->ledger().target(name);
    }
    if (target == nullptr) return failure(Fault::refused, "There is no target '" + name + "'. " + seen());
    if (!target->enabled) return failure(Fault::refused, "The target '" + name + "' is off. " + seen());
    shell_->touch_down(target->rect.centre());
    frames(2);
    shell_->touch_up();
    frames(4);
    ++taps_;
    return engine::Unit{};
}

engine::Status Stage::type(const std::string& text)
{
    constexpr int kMostPages = 8;
    for (const char c : text) {
        const std::string key = c == ' ' ? "key.space" : std::string("key.") + c;
        for (int turned = 0; app_->ledger().target(key) == nullptr && turned < kMostPages; ++turned) {
            const bool half = turned % 2 == 0 && app_->ledger().target("key.half") != nullptr;
            if (!half && app_->ledger().target("key.page") == nullptr) break;
            if (auto done = tap(half ? "key.half" : "key.page"); !done) return done;
        }
        if (auto done = tap(key); !done) return done;
    }
    return engine::Unit{};
}

engine::Status Stage::turn(const std::string& from_to)
{
    std::istringstream in(from_to);
    float              from = 0, to = 0;
    if (!(in >> from >> to))
        return failure(Fault::bad_input, "turn takes two angles in degrees, such as 'turn 0 300'.");
    const look::TargetSeen* dial = app_->ledger().target("dial");
    if (dial == nullptr) return failure(Fault::refused, "There is no dial. " + seen());
    // The target is a square that may be cut short below: its width tells the circle.
    const look::Point centre{dial->rect.centre().x, dial->rect.y + dial->rect.w / 2};
    const float       radius = dial->rect.w * 0.4F;
    shell_->touch_down(look::on_circle(centre, radius, from));
    frames(2);
    const float step  = to >= from ? 8.0F : -8.0F;
    const int   steps = static_cast<int>(std::ceil((to - from) / step));
    for (int i = 0; i < steps; ++i) {
        shell_->touch_move(look::on_circle(centre, radius, from + step * static_cast<float>(i)));
        frames(2);
    }
    shell_->touch_move(look::on_circle(centre, radius, to));
    frames(2);
    shell_->touch_up();
    frames(3);
    return engine::Unit{};
}

void Stage::judge(const std::string& place)
{
    for (const std::string& complaint :
         kit::complaints(app_->ledger(), kit::demands_at_machine(setup_.screen)))
        if (told_.insert(complaint).second) faults_.emplace_back(place).append(": ").append(complaint);
}

engine::Status Stage::shot(const std::string& name)
{
    if (!setup_.pictures) return engine::Unit{};
    return shell::write_png(setup_.out / (name + ".png"), picture());
}

const shell::Image& Stage::picture()
{
    shell_->set_raster(true);
    frames(3);
    shell_->set_raster(false);
    return shell_->image();
}

engine::Status Stage::photo()
{
    for (const char* name : {"photo", "main", "main"}) { // open the camera, take, keep
        if (auto done = tap(name); !done) return done;
        frames(2);
    }
    return engine::Unit{};
}

engine::Status Stage::exchange()
{
    if (auto done = app_->sender().finish_one(); !done) return done;
    frames(2);
    return engine::Unit{};
}

engine::Status Stage::settle()
{
    constexpr auto kMost =
        std::chrono::seconds(60); ///< a key is slow on purpose, a sanitizer makes it slower
    const auto before = std::chrono::steady_clock::now();
    while (app_->desk_busy()) {
        if (std::chrono::steady_clock::now() - before > kMost)
            return failure(Fault::io, "What runs beside the screen does not come back.");
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
        frames(1);
    }
    frames(2);
    return engine::Unit{};
}

engine::Status Stage::perform(const std::string& command, const std::string& rest)
{
    if (command == "tap") return tap(rest);
    if (command == "type") return type(rest);
    if (command == "turn") return turn(rest);
    if (command == "photo") return photo();
    if (command == "shot") return shot(rest);
    if (command == "exchange") return exchange();
    if (command == "settle") return settle();
    if (command == "send") {
        std::string text = rest;
        if (text.ends_with("\\n")) text.replace(text.size() - 2, 2, "\n");
        shell_->type_text(text);
        frames(4);
        return engine::Unit{};
    }
    if (command == "wait") {
        const auto seconds = engine::parse_number(rest);
        if (!seconds) return seconds.failure();
        clock_.pass(static_cast<std::int64_t>(*seconds * 1000));
        frames(2);
        return engine::Unit{};
    }
    const bool there = app_->ledger().says(rest);
    if (command == "expect" && !there)
        return failure(Fault::refused, "No text says '" + rest + "'. " + seen());
    if (command == "absent" && there) return failure(Fault::refused, "A text says '" + rest + "'.");
    if (command == "off") {
        const look::TargetSeen* target = app_->ledger().target(rest);
        if (target == nullptr || target->enabled)
            return failure(Fault::refused, "The target '" + rest + "' is not there and off. " + seen());
    }
    return engine::Unit{};
}

} // namespace field::app
