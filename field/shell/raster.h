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

/// Clears `out` to `ground` and draws all lists. Commands whose texture is unknown are left out.
void rasterise(const ImDrawData& frame, look::Colour ground, const SoftTextures& textures, Image& out);

} // namespace field::shell
