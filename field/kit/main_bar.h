#pragma once
// The bottom of a fitter's screen: back, problem, photo, and the one action that moves the job on.
#include "field/kit/button.h"

#include <optional>
#include <string>
#include <vector>

namespace field::kit {

struct MainAction {
    std::string title; ///< what happens
    std::string sub;   ///< what comes next; when not enabled: why it cannot act yet
    bool        enabled{true};
};
struct PhotoCount {
    int taken{};
    int needed{};
};
/// Up to three buttons beside the main action: own ids and words, or the usual ones by usual_bar().
struct SideButton {
    std::string id;
    ButtonSpec  look;
};
struct MainBar {
    std::vector<SideButton> side;
    MainAction              main;
};
struct BarTap {
    std::string        side; ///< id of the small button tapped, empty for none
    bool               main{};
    [[nodiscard]] bool is(std::string_view id) const { return side == id; }
};

/// Targets: the ids of the side buttons and "main". A main action that is not enabled takes no tap.
BarTap main_bar(Ui& ui, const MainBar& bar);

/// "back", "problem" and, when a photo belongs to the step, "photo" with its count.
[[nodiscard]] MainBar usual_bar(const Ui& ui, const MainAction& main, std::optional<PhotoCount> photos);

/// Top line: title bold at the left; the frame's note, status and clock at the right. On the narrow glass
/// the note has a line of its own above them.
struct Strip {
    std::string title;
    std::string status;
    std::string clock;
};
void strip(Ui& ui, const Strip& strip);

} // namespace field::kit
