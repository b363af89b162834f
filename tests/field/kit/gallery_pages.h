#pragma once
// Pages that show every part of the kit, for the eye (gallery.cpp) and for the complaints test. All values
// invented.
#include "field/kit/ui.h"
#include "field/shell/shell.h"

#include <string>
#include <vector>

namespace gallery {

struct Page {
    std::string name;
    void (*draw)(field::kit::Ui& ui, field::look::Texture photo);
};
const std::vector<Page>& pages();

/// A picture made of bands, to stand for a photo.
field::shell::Image test_picture();

} // namespace gallery
