#include "sync/names.h"

#include <algorithm>

namespace sync {

bool is_own_name(std::string_view name)
{
    if (name.empty() || name.size() > 80 || name.front() == '.') return false;
    return std::all_of(name.begin(), name.end(), [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || c == '.' || c == '-';
    });
}

} // namespace sync
