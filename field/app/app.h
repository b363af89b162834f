#pragma once
// The tablet app: shows one place, takes what the user asks there, and lets the engine do it.
//   take what the worker brought -> view_of -> draw -> act on the ask.
// One thread: the screen's. The book is written here and nowhere else.
#include "field/app/photo_desk.h"
#include "field/app/places.h"
#include "field/app/plant_desk.h"
#include "field/app/sender.h"
#include "field/camera/camera.h"
#include "field/look/words.h"
#include "field/shell/shell.h"

#include <chrono>
#include <filesystem>
#include <memory>

namespace field::app {

struct Wiring { ///< all must outlive the app
    engine::Workbench*    bench  = nullptr;
    const engine::Clock*  clock  = nullptr;
    const look::Words*    words  = nullptr;
    shell::Shell*         shell  = nullptr;
    camera::Camera*       camera = nullptr;
    std::filesystem::path shared;    ///< shared folder, empty: none set
    std::filesystem::path plant_key; ///< file or folder of the plant key; empty: looked for, see key_file.h
    std::filesystem::path settings_file;
    screens::Settings     settings;
};

/// Away longer than this, and the next thing seen is the coming-back screen.
inline constexpr std::int64_t kAwayMs = 120'000;

class App {
  public:
    explicit App(Wiring wiring);

    /// Draws one frame and does what was asked in it.
    void frame();
    /// What is left for the moment nobody acts; before the loop sleeps.
    void rest() const;
    /// How long the loop may sleep before the next frame is due without an event.
    [[nodiscard]] std::chrono::milliseconds patience() const;
    [[nodiscard]] const look::FrameLedger&  ledger() const { return ledger_; }
    [[nodiscard]] Place                     here() const { return way_.here(); }
    [[nodiscard]] Sender&                   sender() { return sender_; }
    /// The plant's desk works on something beside the screen.
    [[nodiscard]] bool desk_busy() const { return plant_.busy(); }

  private:
    using JobPtr = std::shared_ptr<const engine::JobState>;

    [[nodiscard]] screens::ViewContext context() const;
    [[nodiscard]] std::string          plant_note() const;
    [[nodiscard]] const engine::Space& space() const;
    [[nodiscard]] JobPtr               job() const; ///< the job in hand, null when it cannot be read
    void                               draw_place(kit::Ui& ui);
    void                               watch_absence(kit::Ui& ui);

    // app_jobs.cpp: from today to a step
    void                                          draw_today(kit::Ui& ui);
    void                                          draw_sheet(kit::Ui& ui);
    void                                          draw_kit(kit::Ui& ui);
    void                                          open_record();
    void                                          fetch_photo(const std::string& sha256);
    void                                          draw_record(kit::Ui& ui);
    void                                          draw_correct(kit::Ui& ui);
    void                                          draw_coming_back(kit::Ui& ui);
    void                                          open_job(const std::string& number);
    void                                          open_step(const engine::StepRef& at);
    void                                          carry_on();
    [[nodiscard]] std::vector<screens::JobGlance> glances() const;

    // app_step.cpp: the step in hand
    void draw_step_place(kit::Ui& ui);
    void act_on_step(const screens::StepAsk& ask);
    void close_step();
    void record_turn();
    void click_bolt(const screens::StepAsk& ask);
    void open_cell(const screens::StepAsk& ask);
    void take_reading(const screens::StepAsk& ask);
    void open_next_reading();
    void prepare_step(const engine::StepRef& at);
    bool carry_out(const engine::Act& act, std::string& refusal);

    // app_people.cpp: problem, release, hand over, settings, send box
    void draw_problem(kit::Ui& ui);
    void draw_release(kit::Ui& ui);
    void draw_people(kit::Ui& ui);
    void draw_send_box(kit::Ui& ui);
    void draw_settings(kit::Ui& ui);
    void open_release();

    // app_plant.cpp: this tablet to the others, who belongs to the plant
    void open_this_tablet();
    void draw_this_tablet(kit::Ui& ui);
    void draw_my_key(kit::Ui& ui);
    void draw_members(kit::Ui& ui);
    void open_member(const share::EnrolCode& code);
    void take_enrol_code(const std::string& text);
    void draw_member(kit::Ui& ui);
    void draw_plant_sign(kit::Ui& ui);

    // app_camera.cpp
    void draw_camera(kit::Ui& ui);
    void open_camera(const std::string& ask, bool scanning);
    void leave_camera();
    void scan_frame(kit::Ui& ui);
    void take_code(const std::string& code);

    Wiring                wiring_;
    PhotoDesk             photos_;
    Sender                sender_;
    PlantDesk             plant_;
    look::FrameLedger     ledger_;
    look::Theme           theme_;
    Way                   way_;
    Memory                memory_;
    std::string           job_number_;
    std::string           tool_kept_[10]; ///< last instrument used, by engine::Tool
    mutable engine::Space space_;         ///< asked for now and then
    mutable std::int64_t  space_until_mono_ = 0;
    std::int64_t          last_touch_mono_  = 0;
    std::int64_t          away_since_ms_    = 0;    ///< wall clock
    bool                  fresh_            = true; ///< no job opened since the start
};

} // namespace field::app
