#pragma once
// What one frame showed: every text and every place that can be touched. Tests and scripts read it; nothing
// is drawn from it.
#include "field/look/geometry.h"

#include <optional>
#include <string>
#include <vector>

namespace field::look {

struct TextSeen {
    std::string         text;
    float               cap_mm{}; ///< height of its capitals
    Rect                ink;      ///< the box its letters really fill
    Rect                clip;     ///< the part of the glass it was allowed to reach
    std::optional<Rect> owner;    ///< the button, card or cell it belongs to, if any
    bool                gaps{};   ///< a letter is in none of the fonts baked for its role
    std::optional<Rect> panel;    ///< the panel it was drawn for, if any; `owner` may be a part of it
};

struct TargetSeen {
    std::string id;            ///< stable name, for example "main", "back", "key.7"
    Rect        rect;          ///< where a finger counts
    bool        enabled{true}; ///< a disabled target is shown and takes no tap
    std::string says;          ///< the words on it, for scripts; may be empty
};

struct FrameLedger {
    Rect                    screen;
    std::vector<TextSeen>   texts;
    std::vector<TargetSeen> targets;
    std::vector<Rect> panels; ///< buttons, cards, cells, hazard panels: the ground of their own words only

    void clear()
    {
        texts.clear();
        targets.clear();
        panels.clear();
    }
    [[nodiscard]] const TargetSeen* target(const std::string& id) const
    {
        for (const TargetSeen& t : targets)
            if (t.id == id) return &t;
        return nullptr;
    }
    [[nodiscard]] bool says(const std::string& text) const
    {
        for (const TextSeen& t : texts)
            if (t.text.find(text) != std::string::npos) return true;
        return false;
    }
};

} // namespace field::look
