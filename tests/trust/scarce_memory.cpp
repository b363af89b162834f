#include "tests/trust/scarce_memory.h"

#include <dlfcn.h>
#include <execinfo.h>
#include <openssl/crypto.h>
#include <sqlite3.h>

#include <array>
#include <cstdlib>
#include <cstring>
#include <new>

namespace trust::memory {
namespace {

bool        counting = false;
bool        felt     = false;
std::size_t asked    = 0;
std::size_t fails_at = 0;
bool        goes_on  = false;

/// A destructor of a JSON value somewhere up the stack.
bool in_json_destructor()
{
    counting = false; // looking at the stack may allocate
    std::array<void*, 24> frames{};
    const int             depth = ::backtrace(frames.data(), static_cast<int>(frames.size()));
    bool                  found = false;
    for (int i = 2; i < depth && !found; ++i) {
        Dl_info about{};
        if (::dladdr(frames[static_cast<std::size_t>(i)], &about) == 0 || about.dli_sname == nullptr)
            continue;
        const char* const name = about.dli_sname;
        if (std::strstr(name, "basic_json") == nullptr) continue;
        found = std::strstr(name, "destroy") != nullptr || std::strstr(name, "D2Ev") != nullptr ||
                std::strstr(name, "D1Ev") != nullptr;
    }
    counting = true;
    return found;
}

bool fails()
{
    if (!counting) return false;
    ++asked;
    if (fails_at == 0 || asked < fails_at || (felt && !goes_on)) return false;
    if (in_json_destructor()) return false; // the next one then
    felt = true;
    return true;
}

sqlite3_mem_methods plain{};

void* scarce_malloc(int size)
{
    return fails() ? nullptr : plain.xMalloc(size);
}

void* scarce_realloc(void* old, int size)
{
    return fails() ? nullptr : plain.xRealloc(old, size);
}

void* crypto_malloc(std::size_t size, const char* /*file*/, int /*line*/)
{
    return fails() ? nullptr : std::malloc(size);
}

void* crypto_realloc(void* old, std::size_t size, const char* /*file*/, int /*line*/)
{
    return fails() ? nullptr : std::realloc(old, size);
}

void crypto_free(void* old, const char* /*file*/, int /*line*/)
{
    std::free(old);
}

} // namespace

void scarce(std::size_t at, bool for_ever)
{
    fails_at = at;
    goes_on  = for_ever;
    asked    = 0;
    felt     = false;
}

std::size_t enough()
{
    fails_at = 0;
    return asked;
}

bool was_felt()
{
    return felt;
}

void pause()
{
    counting = false;
}

void go_on()
{
    counting = true;
}

void watch_libraries()
{
    std::array<void*, 4> frames{};
    (void)::backtrace(frames.data(), 4); // loads what it needs now
    CRYPTO_set_mem_functions(&crypto_malloc, &crypto_realloc, &crypto_free);
    sqlite3_shutdown();
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &plain);
    sqlite3_mem_methods mine = plain;
    mine.xMalloc             = &scarce_malloc;
    mine.xRealloc            = &scarce_realloc;
    sqlite3_config(SQLITE_CONFIG_MALLOC, &mine);
    sqlite3_initialize();
}

static void* allocated(std::size_t size)
{
    return fails() ? nullptr : std::malloc(size > 0 ? size : 1);
}

} // namespace trust::memory

void* operator new(std::size_t size)
{
    if (void* const got = trust::memory::allocated(size)) return got;
    throw std::bad_alloc();
}

void* operator new[](std::size_t size)
{
    return ::operator new(size);
}

void* operator new(std::size_t size, const std::nothrow_t& /*tag*/) noexcept
{
    return trust::memory::allocated(size);
}

void* operator new[](std::size_t size, const std::nothrow_t& /*tag*/) noexcept
{
    return trust::memory::allocated(size);
}

void operator delete(void* old) noexcept
{
    std::free(old);
}

void operator delete[](void* old) noexcept
{
    std::free(old);
}

void operator delete(void* old, std::size_t /*size*/) noexcept
{
    std::free(old);
}

void operator delete[](void* old, std::size_t /*size*/) noexcept
{
    std::free(old);
}
