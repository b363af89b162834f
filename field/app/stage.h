#pragma once
// The app on an offscreen glass with its own clock: what a rehearsal, a walk or a bench plays on.
#include "field/app/house.h"
#include "field/app/rehearsal.h"

#include <memory>
#include <set>

namespace field::app {

/// A clock that moves only when told: by the frame and by `wait`.
class StageClock final : public engine::Clock {
  public:
    explicit StageClock(std::int64_t wall_ms) : wall_ms_(wall_ms) {}
    void                          pass(std::int64_t ms) { wall_ms_ += ms; }
    [[nodiscard]] engine::Instant now() const override { return {wall_ms_, 0, wall_ms_}; }
    [[nodiscard]] std::string     boot_id() const override { return "stage"; }

  private:
    std::int64_t wall_ms_;
};

class Stage {
  public:
    [[nodiscard]] static engine::Result<std::unique_ptr<Stage>> open(const RehearsalSetup& setup,
                                                                     std::int64_t          wall_ms);
    ~Stage();

    /// One command of a script (see rehearsal.h).
    [[nodiscard]] engine::Status perform(const std::string& command, const std::string& rest);

    /// Looks for clipped, shortened or overlapping text and small targets in what is on the glass now. Each
    /// fault is told once, with the place in the script it was first seen at; a script plays on and fails at
    /// its end.
    void                                          judge(const std::string& place);
    [[nodiscard]] const std::vector<std::string>& faults() const { return faults_; }
    [[nodiscard]] int taps() const { return taps_; } ///< of a finger, drags not counted
    /// Draws what is on the glass now into NAME.png.
    [[nodiscard]] engine::Status shot(const std::string& name);
    /// What is on the glass now, drawn.
    [[nodiscard]] const shell::Image& picture();

    [[nodiscard]] std::int64_t   wall_ms() const { return clock_.now().wall_ms; }
    [[nodiscard]] engine::Book&  book();
    [[nodiscard]] App&           app() { return *app_; }
    void                         frames(int count);
    [[nodiscard]] engine::Status tap(const std::string& name);

  private:
    explicit Stage(const RehearsalSetup& setup, std::int64_t wall_ms);
    [[nodiscard]] engine::Status type(const std::string& text);
    [[nodiscard]] engine::Status turn(const std::string& from_to);
    [[nodiscard]] engine::Status photo();
    [[nodiscard]] engine::Status exchange();
    [[nodiscard]] engine::Status settle();
    [[nodiscard]] std::string    seen() const; ///< for complaints: targets and first texts

    RehearsalSetup                         setup_;
    StageClock                             clock_;
    std::unique_ptr<shell::OffscreenShell> shell_;
    std::unique_ptr<AppHouse>              house_;
    App*                                   app_ = nullptr;
    std::vector<std::string>               faults_;
    int                                    taps_ = 0;
    std::set<std::string>                  told_; ///< complaints already in faults_
};

} // namespace field::app
