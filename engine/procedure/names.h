#pragma once
// The few steps and asks of the procedure the code knows by name. All else is data.
namespace engine::step_name {

inline constexpr const char* kIsolate =
    "isolate"; ///< each person at the machine locks it: more than one may answer
inline constexpr const char* kPapers   = "papers";    ///< unit and sheet are settled when it is done
inline constexpr const char* kLock     = "lock";      ///< the nut is locked when it is done
inline constexpr const char* kClose    = "close";     ///< the job is closed when it is done
inline constexpr const char* kFollowUp = "follow_up"; ///< the one step after it
inline constexpr const char* kSlideOn  = "slide_on";  ///< where the serial of the new unit is read ...
inline constexpr const char* kSerial   = "serial";    ///< ... under this ask
inline constexpr const char* kTurnRule = "turn";      ///< limit rule of the nut angle, which never decreases
inline constexpr const char* kTabRule  = "tab";       ///< limit rule of what the lock tab asks for on top

} // namespace engine::step_name
