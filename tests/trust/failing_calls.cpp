// Loaded before the C library (LD_PRELOAD): the n-th call that touches a file below the named folders fails,
// once or from then on. Told by the environment:
//   WM_FAIL_UNDER   folders, parted by ':'; calls elsewhere are left alone and not counted
//   WM_FAIL_AT      number of the call that fails; 0: none, they are only counted
//   WM_FAIL_FOR     how many calls fail from there on
//   WM_FAIL_WITH    errno, or 0: a read or a write moves only half of its bytes
//   WM_FAIL_CALLS   which calls count: all, read, write, sync
//   WM_FAIL_TALLY   file that takes "calls failed" at the end
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdarg>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace {

enum class Sort { other, read, write, sync };

std::atomic<long> calls{0};
std::atomic<long> failed{0};

const char* told(const char* name)
{
    const char* const value = std::getenv(name);
    return value == nullptr ? "" : value;
}

struct Order {
    const char* under    = told("WM_FAIL_UNDER");
    const char* tally    = told("WM_FAIL_TALLY");
    long        at       = std::strtol(told("WM_FAIL_AT"), nullptr, 10);
    long        how_many = std::strtol(told("WM_FAIL_FOR"), nullptr, 10);
    int         with     = static_cast<int>(std::strtol(told("WM_FAIL_WITH"), nullptr, 10));
    char        which    = *told("WM_FAIL_CALLS"); // a, r, w or s
};

const Order& order()
{
    static const Order given;
    return given;
}

bool is_below(const char* path)
{
    for (const char* one = order().under; *one != '\0';) {
        const char* const end  = std::strchr(one, ':');
        const std::size_t size = end == nullptr ? std::strlen(one) : static_cast<std::size_t>(end - one);
        if (std::strncmp(path, one, size) == 0 &&
            (path[size] == '/' || path[size] == '\0' || path[size] == ' '))
            return true;
        one += end == nullptr ? size : size + 1;
    }
    return false;
}

bool is_ours(int fd)
{
    char link[64];
    char path[4096];
    std::snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    const ssize_t size = ::readlink(link, path, sizeof path - 1);
    if (size <= 0) return false;
    path[size] = '\0';
    return is_below(path);
}

bool is_ours(int folder, const char* path)
{
    if (path == nullptr) return false;
    return path[0] == '/' ? is_below(path) : folder != AT_FDCWD && is_ours(folder);
}

/// Counts the call; true: it is to fail, errno is set (0 stands for half a write).
bool fails(Sort sort)
{
    const char which = order().which;
    if ((which == 'r' && sort != Sort::read) || (which == 'w' && sort != Sort::write) ||
        (which == 's' && sort != Sort::sync))
        return false;
    const long now = ++calls;
    if (order().at == 0 || now < order().at || now - order().at >= order().how_many) return false;
    ++failed;
    errno = order().with;
    return true;
}

template <class F> F* real(F* /*same*/, const char* name)
{
    return reinterpret_cast<F*>(::dlsym(RTLD_NEXT, name));
}

mode_t mode_of(int flags, va_list list)
{
    return (flags & (O_CREAT | O_TMPFILE)) != 0 ? static_cast<mode_t>(va_arg(list, int)) : mode_t{0};
}

/// What was not synced before a sync failed may be gone: here it is, where the file was never synced before.
void lose_unsynced(int fd)
{
    char link[64];
    char path[4096];
    std::snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    const ssize_t size = ::readlink(link, path, sizeof path - 1);
    if (size <= 0) return;
    path[size]             = '\0';
    const char* const name = std::strrchr(path, '/');
    const bool        is_new =
        name != nullptr && (std::strncmp(name, "/.p-", 4) == 0 || std::strncmp(name, "/.new-", 6) == 0);
    if (is_new) (void)::syscall(SYS_ftruncate, fd, 0);
}

std::size_t half_of(std::size_t size)
{
    return size > 1 ? size / 2 : size;
}

[[gnu::destructor]] void write_tally()
{
    if (*order().tally == '\0') return;
    char      text[64];
    const int size = std::snprintf(text, sizeof text, "%ld %ld\n", calls.load(), failed.load());
    const int fd   = static_cast<int>(
        ::syscall(SYS_openat, AT_FDCWD, order().tally, O_WRONLY | O_CREAT | O_TRUNC, S_IRUSR | S_IWUSR));
    if (fd < 0) return;
    (void)::syscall(SYS_write, fd, text, static_cast<std::size_t>(size));
    ::syscall(SYS_close, fd);
}

} // namespace

#define WM_REAL(name) static auto* const next = real(&::name, #name)

extern "C" {

int open(const char* path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    const mode_t mode = mode_of(flags, list);
    va_end(list);
    WM_REAL(open);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path, flags, mode);
}

int open64(const char* path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    const mode_t mode = mode_of(flags, list);
    va_end(list);
    WM_REAL(open64);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path, flags, mode);
}

int openat(int folder, const char* path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    const mode_t mode = mode_of(flags, list);
    va_end(list);
    WM_REAL(openat);
    return is_ours(folder, path) && fails(Sort::other) ? -1 : next(folder, path, flags, mode);
}

int openat64(int folder, const char* path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    const mode_t mode = mode_of(flags, list);
    va_end(list);
    WM_REAL(openat64);
    return is_ours(folder, path) && fails(Sort::other) ? -1 : next(folder, path, flags, mode);
}

/// openat2 has no function of its own in the C library.
long syscall(long number, ...)
{
    va_list list;
    va_start(list, number);
    long arguments[6];
    for (long& one : arguments)
        one = va_arg(list, long);
    va_end(list);
    WM_REAL(syscall);
    if (number == SYS_openat2 &&
        is_ours(static_cast<int>(arguments[0]), reinterpret_cast<const char*>(arguments[1])) &&
        fails(Sort::other))
        return -1;
    return next(number, arguments[0], arguments[1], arguments[2], arguments[3], arguments[4], arguments[5]);
}

FILE* fopen(const char* path, const char* mode)
{
    WM_REAL(fopen);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? nullptr : next(path, mode);
}

FILE* fopen64(const char* path, const char* mode)
{
    WM_REAL(fopen64);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? nullptr : next(path, mode);
}

int mkostemp(char* path, int flags)
{
    WM_REAL(mkostemp);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path, flags);
}

int mkostemp64(char* path, int flags)
{
    WM_REAL(mkostemp64);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path, flags);
}

int mkdir(const char* path, mode_t mode)
{
    WM_REAL(mkdir);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path, mode);
}

int mkdirat(int folder, const char* path, mode_t mode)
{
    WM_REAL(mkdirat);
    return is_ours(folder, path) && fails(Sort::other) ? -1 : next(folder, path, mode);
}

int rename(const char* from, const char* to)
{
    WM_REAL(rename);
    return is_ours(AT_FDCWD, to) && fails(Sort::other) ? -1 : next(from, to);
}

int renameat(int from_folder, const char* from, int to_folder, const char* to)
{
    WM_REAL(renameat);
    return is_ours(to_folder, to) && fails(Sort::other) ? -1 : next(from_folder, from, to_folder, to);
}

int unlink(const char* path) noexcept
{
    WM_REAL(unlink);
    return is_ours(AT_FDCWD, path) && fails(Sort::other) ? -1 : next(path);
}

int unlinkat(int folder, const char* path, int flags) noexcept
{
    WM_REAL(unlinkat);
    return is_ours(folder, path) && fails(Sort::other) ? -1 : next(folder, path, flags);
}

int stat(const char* path, struct stat* facts) noexcept
{
    WM_REAL(stat);
    return is_ours(AT_FDCWD, path) && fails(Sort::read) ? -1 : next(path, facts);
}

int stat64(const char* path, struct stat64* facts) noexcept
{
    WM_REAL(stat64);
    return is_ours(AT_FDCWD, path) && fails(Sort::read) ? -1 : next(path, facts);
}

ssize_t read(int fd, void* bytes, size_t size)
{
    WM_REAL(read);
    if (!is_ours(fd) || !fails(Sort::read)) return next(fd, bytes, size);
    return order().with == 0 ? next(fd, bytes, half_of(size)) : -1;
}

ssize_t pread(int fd, void* bytes, size_t size, off_t offset)
{
    WM_REAL(pread);
    if (!is_ours(fd) || !fails(Sort::read)) return next(fd, bytes, size, offset);
    return order().with == 0 ? next(fd, bytes, half_of(size), offset) : -1;
}

ssize_t pread64(int fd, void* bytes, size_t size, off64_t offset)
{
    WM_REAL(pread64);
    if (!is_ours(fd) || !fails(Sort::read)) return next(fd, bytes, size, offset);
    return order().with == 0 ? next(fd, bytes, half_of(size), offset) : -1;
}

ssize_t write(int fd, const void* bytes, size_t size)
{
    WM_REAL(write);
    if (!is_ours(fd) || !fails(Sort::write)) return next(fd, bytes, size);
    return order().with == 0 ? next(fd, bytes, half_of(size)) : -1;
}

ssize_t pwrite(int fd, const void* bytes, size_t size, off_t offset)
{
    WM_REAL(pwrite);
    if (!is_ours(fd) || !fails(Sort::write)) return next(fd, bytes, size, offset);
    return order().with == 0 ? next(fd, bytes, half_of(size), offset) : -1;
}

ssize_t pwrite64(int fd, const void* bytes, size_t size, off64_t offset)
{
    WM_REAL(pwrite64);
    if (!is_ours(fd) || !fails(Sort::write)) return next(fd, bytes, size, offset);
    return order().with == 0 ? next(fd, bytes, half_of(size), offset) : -1;
}

int fsync(int fd)
{
    WM_REAL(fsync);
    if (!is_ours(fd) || !fails(Sort::sync)) return next(fd);
    lose_unsynced(fd);
    errno = order().with;
    return -1;
}

int fdatasync(int fd)
{
    WM_REAL(fdatasync);
    return is_ours(fd) && fails(Sort::sync) ? -1 : next(fd);
}

int ftruncate(int fd, off_t size) noexcept
{
    WM_REAL(ftruncate);
    return is_ours(fd) && fails(Sort::other) ? -1 : next(fd, size);
}

int ftruncate64(int fd, off64_t size) noexcept
{
    WM_REAL(ftruncate64);
    return is_ours(fd) && fails(Sort::other) ? -1 : next(fd, size);
}

void* mmap(void* at, size_t size, int rights, int flags, int fd, off_t offset) noexcept
{
    if (fd >= 0 && is_ours(fd) && fails(Sort::other)) return MAP_FAILED;
    // Straight to the kernel: this one is called before anything can be looked up.
    return reinterpret_cast<void*>(::syscall(SYS_mmap, at, size, rights, flags, fd, offset));
}

void* mmap64(void* at, size_t size, int rights, int flags, int fd, off64_t offset) noexcept
{
    return ::mmap(at, size, rights, flags, fd, offset);
}

} // extern "C"
