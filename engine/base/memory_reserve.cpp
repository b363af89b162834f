#include "engine/base/memory_reserve.h"

#include <atomic>
#include <new>

namespace engine {
namespace {

std::atomic<char*>       reserve{nullptr};
std::atomic<std::size_t> reserve_bytes{0};

/// Called by operator new in whichever thread ran out; operator new then tries again, or gives up.
void give_back()
{
    char* const held = reserve.exchange(nullptr);
    if (held == nullptr) throw std::bad_alloc();
    delete[] held;
}

} // namespace

void keep_memory_reserve(std::size_t bytes)
{
    reserve_bytes = bytes;
    delete[] reserve.exchange(new (std::nothrow) char[bytes]);
    std::set_new_handler(give_back);
}

bool memory_is_short()
{
    if (reserve_bytes == 0 || reserve != nullptr) return false;
    std::set_new_handler(nullptr); // to ask for it must not give it back
    char* const again = new (std::nothrow) char[reserve_bytes];
    std::set_new_handler(give_back);
    if (again == nullptr) return true;
    char* none = nullptr;
    if (!reserve.compare_exchange_strong(none, again)) delete[] again;
    return false;
}

} // namespace engine
