#pragma once
// A key to be enrolled, as others see it: whose it is, its figures large, its code to be read, how it stands
// with the plant.
#include "field/camera/qr.h"
#include "field/kit/ui.h"
#include "field/look/symbols.h"

#include <optional>
#include <string>
#include <vector>

namespace field::screens {

struct CodeCard {
    std::string                   title, figures_label;
    std::vector<std::string>      figures; ///< groups of four
    std::optional<camera::QrBits> qr;
    look::Symbol                  symbol = look::Symbol::none;
    std::string                   standing; ///< enrolled, waiting, or a plant without a list
    std::string                   plant_label, note;
    std::vector<std::string>      plant_lines; ///< figures of the plant key, two lines
};

/// Fills in what is told by the key and its code ("WM1:...").
void show_key(CodeCard& card, const std::string& key_hex, const std::string& code);
/// 64 hex of a plant key as its figures on paper: two lines of four groups.
[[nodiscard]] std::vector<std::string> paper_lines(const std::string& key_hex);

void draw_code_card(kit::Ui& ui, look::Rect body, const CodeCard& card);

} // namespace field::screens
