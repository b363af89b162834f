#pragma once
// Where the records are: on this tablet, in the folder, read back by another machine. Work never waits on it.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct SendBoxState {
    int page = 0;
};

struct SendLine {
    std::string job;                                    ///< "2219 Lime dryer fan 4"
    int         entries = 0, photos = 0;                ///< of this machine
    std::string words;                                  ///< "31 entries, 9 photos"; filled by view_of
    int         here = 0, in_folder = 0, read_back = 0; ///< entries in each state
};

/// What the exchange in the background is doing.
struct ExchangeGlance {
    bool                     folder_set = false, reached = false, running = false;
    std::string              folder; ///< as shown to people
    int                      done = 0, all = 0;
    std::string              doing;           ///< "photo 12 of 40"
    std::string              last;            ///< "last reached 09:12"
    std::vector<std::string> set_aside;       ///< sentences of refused files
    std::string              trouble;         ///< one sentence
    int                      photos_away = 0; ///< photos that are in the folder and no longer on this tablet
};

struct SendBoxView {
    std::string           title, back, cancel, head_here, head_folder, head_read, none;
    Heading               heading;
    std::string           folder_line;
    std::string           space_line; ///< little room on this tablet, and photos that left it
    engine::SpaceLevel    space_level = engine::SpaceLevel::ok;
    std::vector<SendLine> lines;
    ExchangeGlance        exchange;
    std::string           main_title, main_sub;
    bool                  main_on = false;
};

enum class SendBoxAsk { nothing, back, send, cancel };

/// `lines` newest job first.
[[nodiscard]] SendBoxView view_of(const ViewContext& context, std::vector<SendLine> lines,
                                  const ExchangeGlance& exchange);
[[nodiscard]] SendBoxAsk  draw(kit::Ui& ui, SendBoxState& state, const SendBoxView& view);

} // namespace field::screens
