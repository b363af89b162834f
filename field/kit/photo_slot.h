#pragma once
// A place for a photo: the thumbnail, or a dashed frame that says the photo is not taken.
#include "field/kit/ui.h"

#include <string>

namespace field::kit {

struct PhotoSlot {
    look::Texture picture; ///< none: not taken
    std::string   caption; ///< what has to be seen on it; may be empty
    bool          needed{true};
    bool          desk{};
};
/// A tap opens the photo or the camera.
bool photo_slot(Ui& ui, std::string_view id, const look::Rect& rect, const PhotoSlot& slot);

} // namespace field::kit
