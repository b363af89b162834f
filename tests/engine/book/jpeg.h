#pragma once
// A small real picture for tests.
#include <turbojpeg.h>

#include <memory>
#include <vector>

inline std::vector<unsigned char> picture(int width, int height, unsigned char shade = 90)
{
    std::vector<unsigned char> pixels(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3);
    unsigned                   mix = shade;
    for (unsigned char& pixel : pixels) { // noise, so that every part of the file matters
        mix   = mix * 1664525U + 1013904223U;
        pixel = static_cast<unsigned char>(mix >> 24U);
    }
    const tjhandle encoder = tjInitCompress();
    unsigned char* made    = nullptr;
    unsigned long  size    = 0;
    tjCompress2(encoder, pixels.data(), width, 0, height, TJPF_RGB, &made, &size, TJSAMP_420, 80, 0);
    std::vector<unsigned char> jpeg(made, made + size);
    tjFree(made);
    tjDestroy(encoder);
    return jpeg;
}
