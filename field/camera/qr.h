#pragma once
// The other way round: a text as a QR code (ISO/IEC 18004), as squares to be drawn.
#include <optional>
#include <string>
#include <vector>

namespace field::camera {

inline constexpr int kQuietZone = 4; ///< light modules on every side (ISO/IEC 18004; from memory)

struct QrBits {
    int               side = 0; ///< modules, without the quiet zone
    std::vector<bool> dark;     ///< row by row from the top

    [[nodiscard]] bool at(int x, int y) const
    {
        return dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(side) +
                    static_cast<std::size_t>(x)];
    }
};

/// None when the text does not fit into a code.
[[nodiscard]] std::optional<QrBits> qr_of(const std::string& text);

} // namespace field::camera
