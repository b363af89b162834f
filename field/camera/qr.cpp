#include "field/camera/qr.h"

#include <BitMatrix.h>
#include <MultiFormatWriter.h>

#include <exception>

namespace field::camera {

std::optional<QrBits> qr_of(const std::string& text)
{
    // Level M of error correction: a scratch or a reflection on the glass costs up to 15 % (from memory).
    constexpr int kLevelM = 3; // the library counts 0 to 8 over four levels
    try {
        const ZXing::BitMatrix matrix = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode)
                                            .setEncoding(ZXing::CharacterSet::UTF8)
                                            .setEccLevel(kLevelM)
                                            .setMargin(0)
                                            .encode(text, 0, 0);
        QrBits bits;
        bits.side = matrix.width();
        if (bits.side < 21 || matrix.height() != bits.side) return std::nullopt; // 21: the smallest there is
        for (int y = 0; y < bits.side; ++y)
            for (int x = 0; x < bits.side; ++x)
                bits.dark.push_back(matrix.get(x, y));
        return bits;
    } catch (const std::exception&) {
        return std::nullopt;
    }
}

} // namespace field::camera
