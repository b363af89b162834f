#include "field/kit/letter_pad.h"

#include "engine/book/locked_key.h"

#include <algorithm>
#include <array>
#include <vector>

namespace field::kit {
namespace {

using look::Rect;
using look::Role;

constexpr std::array<std::string_view, kLetterLayers> kLayers{
    "abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "0123456789.,-_!?@#+*/=:;'&",
    "\"$%()<>[\\]^`{|}~"};
constexpr std::size_t kHalf      = 13; ///< characters of an upright page
constexpr float       kLetterGap = 2.95F;

struct PadPlan {
    int columns, rows;
};
constexpr PadPlan kWide{9, 3}, kUpright{4, 5};

bool is_printable(char c)
{
    return c >= ' ' && c <= '~';
}

/// "a–z" of letters and digits, the first few of signs
std::string face_of(std::string_view characters)
{
    const char first = characters.front();
    if (first == '0') return "0\u20139 . ,";
    if ((first >= 'a' && first <= 'z') || (first >= 'A' && first <= 'Z'))
        return std::string(1, first) + "\u2013" + std::string(1, characters.back());
    return std::string(1, first) + " " + characters[1] + " " + characters[2];
}

struct LetterKey {
    std::string id, face;
    Role        role = Role::label;
};

std::string_view half_of(std::string_view layer, int half)
{
    return half == 0 ? layer.substr(0, kHalf) : layer.substr(std::min(kHalf, layer.size()));
}

std::vector<LetterKey> keys_of(Ui& ui, const LetterPadState& state)
{
    std::vector<LetterKey> keys;
    const auto             layer = characters_of(state.layer());
    for (const char c : ui.portrait() ? half_of(layer, state.half()) : layer)
        keys.push_back({std::string(1, c), std::string(1, c), Role::key});
    const auto& plan  = ui.portrait() ? kUpright : kWide;
    const auto  cells = static_cast<std::size_t>(plan.columns) * static_cast<std::size_t>(plan.rows);
    std::vector<LetterKey> last;
    if (ui.portrait())
        last = {{"half", face_of(half_of(layer, 1 - state.half()))},
                {"back", ui.say("pad.back")},
                {"space", ui.say("pad.space")},
                {"erase", ui.say("pad.erase")}};
    last.push_back({"page", face_of(characters_of((state.layer() + 1) % kLetterLayers))});
    keys.resize(cells - last.size()); // keys of the lower right corner keep their places on every layer
    keys.insert(keys.end(), last.begin(), last.end());
    return keys;
}

} // namespace

std::string_view characters_of(int layer)
{
    return kLayers[static_cast<std::size_t>(layer)];
}

bool LetterPadState::press(std::string_view key)
{
    if (key == "page") return layer_ = (layer_ + 1) % kLetterLayers, half_ = 0, true;
    if (key == "half") return half_ = 1 - half_, true;
    if (key == "erase") {
        if (text_.empty()) return false;
        text_.pop_back();
        return true;
    }
    if (key == "space") key = " ";
    if (key.size() != 1 || !is_printable(key.front()) || text_.size() >= kLongestSecret) return false;
    // Never moved by growing: an older copy of the letters would be left behind in memory.
    text_.reserve(kLongestSecret);
    text_.push_back(key.front());
    return true;
}

bool LetterPadState::feed(char character)
{
    if (character == '\n') return true;
    (void)press(character == '\b' ? std::string_view("erase") : std::string_view(&character, 1));
    return false;
}

void LetterPadState::clear()
{
    engine::wipe(text_);
    *this = {};
}

Rect letter_pad_area(const ScreenAreas& areas)
{
    const PadPlan plan   = areas.portrait ? kUpright : kWide;
    const auto    rows   = static_cast<float>(plan.rows);
    const float   height = rows * kTarget + (rows - 1) * kLetterGap + 0.1F;
    const float   bottom = (areas.portrait ? areas.main.y : areas.bar.y) - kGap;
    return {areas.strip.x, bottom - height, areas.strip.w, height};
}

LetterPadTap letter_pad(Ui& ui, LetterPadState& state)
{
    LetterPadTap tap;
    for (const char c : ui.take_typed()) {
        tap.changed = true;
        if (state.feed(c)) break;
    }
    const Rect    area = letter_pad_area(ui.areas());
    const PadPlan plan = ui.portrait() ? kUpright : kWide;
    const auto    keys = keys_of(ui, state);
    std::string   pressed;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (keys[i].id.empty()) continue;
        const Rect box = look::cell(area, {plan.columns, plan.rows, kLetterGap}, static_cast<int>(i));
        if (button(ui, "key." + keys[i].id, box, {.title = keys[i].face, .role = keys[i].role}))
            pressed = keys[i].id;
    }
    if (pressed == "back")
        tap.back = true;
    else if (!pressed.empty())
        tap.changed = state.press(pressed) || tap.changed;
    return tap;
}

void secret_dots(look::Canvas& canvas, const Rect& box, std::string_view text)
{
    constexpr float kStep_mm = 4.0F, kDot_mm = 1.4F;
    const auto      fit    = static_cast<std::size_t>(std::max(1.0F, (box.w - 8.0F) / kStep_mm));
    const auto      hidden = text.empty() ? 0 : text.size() - 1;
    const auto      dots   = std::min(hidden, fit);
    const float     middle = box.y + box.h / 2;
    float           x      = box.x + kDot_mm;
    for (std::size_t i = 0; i < dots; ++i) {
        canvas.circle({x, middle}, kDot_mm, canvas.palette().ink);
        x += kStep_mm;
    }
    if (!text.empty() && text.back() != ' ')
        x += canvas.text({x, middle}, text.substr(hidden),
                         {Role::value, canvas.palette().ink, look::Across::left, look::Upright::middle}) +
             1.0F;
    canvas.line({x, box.y}, {x, box.bottom()}, {canvas.palette().act, 0.7F});
}

} // namespace field::kit
