#pragma once
// Taking the photo a step asks for, or scanning a tag: one tap to take, one to keep.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct CameraState {
    engine::StepRef            at; ///< step of the photo; empty when a tag is scanned
    std::string                ask;
    bool                       scanning  = false;
    bool                       enrolling = false; ///< the code is a tablet's or person's, not a machine's tag
    std::string                typed; ///< by a scanner that acts as a keyboard, up to its line end
    std::vector<unsigned char> taken; ///< JPEG as taken, until kept
    std::string                source;
    std::string                trouble; ///< one sentence, no camera or broken picture
};

struct CameraView {
    Heading     heading;
    std::string title, subject; ///< "Photo of the marks on nut and shaft"
    std::string shoot, shoot_sub, keep, keep_sub, again, back, waiting;
    bool        taken = false, scanning = false;
    std::string trouble;
};

struct CameraAsk {
    enum class Kind { nothing, back, shoot, again, keep } kind = Kind::nothing;
};

[[nodiscard]] CameraView view_of(const ViewContext& context, const engine::JobState* job,
                                 const CameraState& state);
/// `picture` is the live picture or, once taken, the photo itself.
[[nodiscard]] CameraAsk draw(kit::Ui& ui, const CameraView& view, look::Texture picture);

} // namespace field::screens
