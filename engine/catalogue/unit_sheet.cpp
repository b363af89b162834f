#include "engine/catalogue/unit_sheet.h"

#include <algorithm>

namespace engine {

bool UnitSheet::asks_for(std::string_view reading) const
{
    return std::ranges::find(asks, reading) != asks.end();
}

} // namespace engine
