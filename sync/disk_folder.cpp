#include "sync/disk_folder.h"

#include "sync/names.h"

#include <dirent.h>
#include <fcntl.h>
#include <linux/openat2.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <memory>

namespace share {
namespace {

using engine::failure;
using engine::Fault;

class Fd {
  public:
    explicit Fd(int fd) : fd_(fd) {}
    Fd(const Fd&)            = delete;
    Fd& operator=(const Fd&) = delete;
    Fd(Fd&&)                 = delete;
    Fd& operator=(Fd&&)      = delete;
    ~Fd() { close(); }
    [[nodiscard]] bool is_open() const { return fd_ >= 0; }
    [[nodiscard]] int  get() const { return fd_; }
    [[nodiscard]] int  release() { return std::exchange(fd_, -1); }
    bool               close()
    {
        const int fd = release();
        return fd < 0 || ::close(fd) == 0;
    }

  private:
    int fd_;
};

std::pair<std::string, std::string> split(const std::string& path)
{
    const std::size_t cut = path.rfind('/');
    if (cut == std::string::npos) return {".", path};
    return {path.substr(0, cut), path.substr(cut + 1)};
}

/// Walks part by part and never through a link. errno as openat leaves it.
int open_by_hand(int root, const std::string& path, int flags)
{
    if (path == ".") return ::openat(root, ".", flags);
    const std::size_t cut  = path.find('/');
    const std::string part = path.substr(0, cut);
    if (part.empty() || part == "." || part == "..") {
        errno = EXDEV;
        return -1;
    }
    if (cut == std::string::npos) return ::openat(root, part.c_str(), flags | O_NOFOLLOW);
    const Fd next(::openat(root, part.c_str(), O_PATH | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
    return next.is_open() ? open_by_hand(next.get(), path.substr(cut + 1), flags) : -1;
}

bool write_all(int fd, std::span<const unsigned char> bytes)
{
    while (!bytes.empty()) {
        const ssize_t wrote = ::write(fd, bytes.data(), bytes.size());
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote < 0) return false;
        bytes = bytes.subspan(static_cast<std::size_t>(wrote));
    }
    return true;
}

/// Shares often cannot sync a folder; that alone is no failure.
bool sync_folder(int folder)
{
    return ::fsync(folder) == 0 || errno == EINVAL || errno == ENOTSUP || errno == EACCES;
}

std::string random_name(const std::string& writer)
{
    std::array<unsigned char, 8> noise{};
    if (::getentropy(noise.data(), noise.size()) != 0) noise.fill(0);
    std::string           name   = temporary_prefix(writer);
    constexpr const char* kDigit = "0123456789abcdef";
    for (const unsigned char byte : noise) {
        name += kDigit[byte >> 4U];
        name += kDigit[byte & 15U];
    }
    return name;
}

FolderItem::Sort sort_of(int folder, const dirent& item)
{
    if (item.d_type == DT_REG) return FolderItem::Sort::file;
    if (item.d_type == DT_DIR) return FolderItem::Sort::folder;
    if (item.d_type != DT_UNKNOWN) return FolderItem::Sort::other;
    struct stat facts {}; // some file systems do not say
    if (::fstatat(folder, item.d_name, &facts, AT_SYMLINK_NOFOLLOW) != 0) return FolderItem::Sort::other;
    if (S_ISREG(facts.st_mode)) return FolderItem::Sort::file;
    return S_ISDIR(facts.st_mode) ? FolderItem::Sort::folder : FolderItem::Sort::other;
}

} // namespace

engine::Result<DiskFolder> DiskFolder::open(const std::filesystem::path& share, Resolve resolve)
{
    const std::filesystem::path last =
        share.has_filename() ? share.filename() : share.parent_path().filename();
    const int root = ::open(share.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (root < 0)
        return failure(errno == ENOENT || errno == ENOTDIR ? Fault::not_found : Fault::io,
                       "The shared folder " + last.string() +
                           " cannot be reached; plug it in or connect it, then try again.",
                       share.string() + ": " + std::strerror(errno));
    return DiskFolder(root, resolve, last.string());
}

DiskFolder::~DiskFolder()
{
    if (root_ >= 0) ::close(root_);
}

int DiskFolder::open_below(const std::string& path, int flags) const
{
    if (resolve_ == Resolve::by_hand) return open_by_hand(root_, path, flags);
    open_how how{};
    how.flags     = static_cast<decltype(how.flags)>(flags);
    how.resolve   = RESOLVE_BENEATH | RESOLVE_NO_SYMLINKS | RESOLVE_NO_MAGICLINKS;
    const long fd = ::syscall(SYS_openat2, root_, path.c_str(), &how, sizeof how);
    if (fd < 0 && (errno == ENOSYS || errno == EPERM)) return open_by_hand(root_, path, flags);
    return static_cast<int>(fd);
}

int DiskFolder::open_folder(const std::string& path, bool make) const
{
    constexpr int kFlags = O_RDONLY | O_DIRECTORY | O_CLOEXEC;
    const int     fd     = open_below(path, kFlags);
    if (fd >= 0 || errno != ENOENT || !make || path == ".") return fd;
    const auto [above, name] = split(path);
    const Fd parent(open_folder(above, true));
    if (!parent.is_open()) return -1;
    if (::mkdirat(parent.get(), name.c_str(), S_IRWXU | S_IRWXG | S_IROTH | S_IXOTH) != 0 && errno != EEXIST)
        return -1;
    if (!sync_folder(parent.get())) return -1;
    return open_below(path, kFlags);
}

engine::Failure DiskFolder::trouble(const std::string& path, int code) const
{
    const std::string context = path + ": " + std::strerror(code);
    if (code == ENOSPC || code == EDQUOT || code == EFBIG)
        return failure(Fault::no_space,
                       "The shared folder " + name_ + " is full; make room there. Nothing is lost here.",
                       context);
    if (code == EACCES || code == EPERM || code == EROFS)
        return failure(Fault::io,
                       "The shared folder " + name_ +
                           " cannot be written to or read; ask who looks after it for the right.",
                       context);
    if (code == ELOOP || code == EXDEV || code == ENOTDIR || code == EISDIR || code == ENXIO)
        return failure(Fault::bad_input, path + " is not a plain file in the shared folder.", context);
    if (code == ENOENT)
        return failure(Fault::not_found, path + " is not in the shared folder " + name_ + ".", context);
    return failure(Fault::io,
                   "The shared folder " + name_ +
                       " does not answer; plug it in again. What was not sent goes out next time.",
                   context);
}

engine::Result<std::vector<FolderItem>> DiskFolder::list(const std::string& path, std::size_t most)
{
    Fd fd(open_folder(path, false));
    if (!fd.is_open()) return trouble(path, errno);
    struct Closer {
        void operator()(DIR* folder) const { ::closedir(folder); }
    };
    const std::unique_ptr<DIR, Closer> folder(::fdopendir(fd.get()));
    if (!folder) return trouble(path, errno);
    const int               owned = fd.release(); // closed with the DIR
    std::vector<FolderItem> items;
    while (items.size() <= most) {
        errno              = 0;
        const dirent* item = ::readdir(folder.get()); // NOLINT(concurrency-mt-unsafe): own DIR
        if (item == nullptr && errno != 0) return trouble(path, errno);
        if (item == nullptr) break;
        const std::string name = item->d_name;
        if (name != "." && name != "..") items.push_back({name, sort_of(owned, *item)});
    }
    return items;
}

engine::Result<std::vector<unsigned char>> DiskFolder::read(const std::string& path, std::size_t most)
{
    // Without O_NONBLOCK a pipe would hold us for ever.
    const Fd fd(open_below(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC));
    if (!fd.is_open()) return trouble(path, errno);
    struct stat facts {};
    if (::fstat(fd.get(), &facts) != 0) return trouble(path, errno);
    if (!S_ISREG(facts.st_mode)) return trouble(path, EISDIR);
    if (static_cast<std::uint64_t>(facts.st_size) > most)
        return failure(Fault::out_of_range,
                       path + " is longer than the " + std::to_string(most) + " bytes it may have.");
    std::vector<unsigned char> bytes(static_cast<std::size_t>(facts.st_size));
    std::size_t                have = 0;
    while (have < bytes.size()) {
        const ssize_t got = ::read(fd.get(), bytes.data() + have, bytes.size() - have);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return trouble(path, errno);
        if (got == 0) break; // shorter than a moment ago: what is there is what it is
        have += static_cast<std::size_t>(got);
    }
    bytes.resize(have);
    return bytes;
}

engine::Status DiskFolder::write_new(const std::string& path, std::span<const unsigned char> bytes,
                                     const std::string& writer)
{
    const auto same = [&](const std::vector<unsigned char>& there) {
        return there.size() == bytes.size() && std::equal(there.begin(), there.end(), bytes.begin());
    };
    const auto there = read(path, bytes.size());
    if (there && same(*there)) return engine::Unit{};
    if (there || there.error().fault == Fault::out_of_range || there.error().fault == Fault::bad_input)
        return failure(Fault::conflict, "Something else stands in the shared folder as " + path + ".");
    if (there.error().fault != Fault::not_found) return there.failure();

    const auto [above, name] = split(path);
    const Fd folder(open_folder(above, true));
    if (!folder.is_open())
        return trouble(above, errno == ENOENT ? ENODEV : errno); // the share itself is gone
    const std::string temporary = random_name(writer);
    Fd out(::openat(folder.get(), temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                    S_IRUSR | S_IWUSR | S_IRGRP | S_IWGRP | S_IROTH));
    if (!out.is_open()) return trouble(path, errno);
    const bool placed = write_all(out.get(), bytes) && ::fsync(out.get()) == 0 && out.close() &&
                        ::renameat(folder.get(), temporary.c_str(), folder.get(), name.c_str()) == 0;
    if (!placed) {
        const int why = errno;
        ::unlinkat(folder.get(), temporary.c_str(), 0);
        return trouble(path, why);
    }
    if (!sync_folder(folder.get())) return trouble(path, errno);
    const auto back = read(path, bytes.size());
    if (!back) return back.failure();
    if (!same(*back)) return trouble(path, EIO);
    return engine::Unit{};
}

engine::Status DiskFolder::remove_temporary(const std::string& path, const std::string& writer)
{
    const auto [above, name] = split(path);
    if (name.rfind(temporary_prefix(writer), 0) != 0)
        return failure(Fault::bad_input, path + " is not an unfinished file of this machine.");
    const Fd folder(open_folder(above, false));
    if (!folder.is_open()) return trouble(path, errno);
    if (::unlinkat(folder.get(), name.c_str(), 0) != 0 && errno != ENOENT) return trouble(path, errno);
    return engine::Unit{};
}

} // namespace share
