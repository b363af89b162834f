#pragma once
// Where the user is, and what each place remembers that is not recorded yet.
#include "field/screens/fitter/bolts.h"
#include "field/screens/fitter/camera.h"
#include "field/screens/fitter/coming_back.h"
#include "field/screens/fitter/correct.h"
#include "field/screens/fitter/job_sheet.h"
#include "field/screens/fitter/kit_list.h"
#include "field/screens/fitter/my_key.h"
#include "field/screens/fitter/people.h"
#include "field/screens/fitter/problem.h"
#include "field/screens/fitter/record.h"
#include "field/screens/fitter/release.h"
#include "field/screens/fitter/send_box.h"
#include "field/screens/fitter/settings.h"
#include "field/screens/fitter/step.h"
#include "field/screens/fitter/this_tablet.h"
#include "field/screens/fitter/today.h"
#include "field/screens/fitter/turn.h"
#include "field/screens/planner/member.h"
#include "field/screens/planner/members.h"
#include "field/screens/planner/plant_sign.h"

#include <vector>

namespace field::app {

enum class Place {
    today,
    sheet,
    step,
    camera,
    problem,
    release,
    coming_back,
    people,
    send_box,
    settings,
    kit,
    record,
    correct,
    this_tablet,
    my_key,
    members,
    member,
    plant_sign
};

/// The way back: the last place is on the screen, the first is always today.
class Way {
  public:
    [[nodiscard]] Place here() const { return places_.back(); }
    void                go(Place place) { places_.push_back(place); }
    void                back()
    {
        if (places_.size() > 1) places_.pop_back();
    }
    void home() { places_.resize(1); }
    /// Today, then these: used when a job is opened past its sheet.
    void lead(std::initializer_list<Place> places)
    {
        home();
        places_.insert(places_.end(), places);
    }

  private:
    std::vector<Place> places_{Place::today};
};

/// Plain data of all places; a restart loses nothing that was recorded.
struct Memory {
    screens::TodayState    today;
    screens::JobSheetState sheet;
    screens::StepInHand    step;
    screens::CameraState   camera;
    screens::ProblemState  problem;
    screens::ReleaseState  release;
    screens::PeopleState   people;
    screens::SendBoxState  send_box;
    screens::SettingsState settings;
    screens::KitListState  kit;
    screens::RecordState   record;
    screens::CorrectState  correct;

    screens::ThisTabletState this_tablet;
    screens::MyKeyState      my_key;
    screens::MembersState    members;
    screens::MemberState     member;
    screens::PlantSignState  plant_sign;
};

} // namespace field::app
