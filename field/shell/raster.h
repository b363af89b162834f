#pragma once
// Draws a Dear ImGui frame into memory: 28.4 fixed-point edges and the top-left rule, so that two triangles
// with a common edge share no pixel and leave none; bilinear textures; the same pixels on every machine.
#include "field/look/theme.h"
#include "field/shell/shell.h"

#include <cstdint>
#include <map>
#include <vector>

struct ImDrawData;

namespace field::shell {

struct SoftTexture {
    int                       w{};
    int                       h{};
    int                       channels{4}; ///< 4: red, green, blue, alpha; 1: alpha of white
    std::vector<std::uint8_t> pixels;
};
using SoftTextures = std::map<std::uintptr_t, SoftTexture>;

/// Draws frame after frame into one image. Squares of it where a frame asks for just what stood there before
/// are left as they are: most frames change a clock or a count, and a tablet without a graphics chip has
/// other work.
class Raster {
  public:
    /// Clears `out` to `ground` and draws all lists. Commands whose texture is unknown are left out. `out` is
    /// the image of the call before, or of another size.
    void draw(const ImDrawData& frame, look::Colour ground, const SoftTextures& textures, Image& out);
    /// To be said when a texture has changed under its id: everything is drawn again.
    void forget() { drawn_.clear(); }

  private:
    std::vector<std::uint64_t> drawn_; ///< a square: all that was drawn on it, as one number
};

} // namespace field::shell
