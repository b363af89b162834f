#include "engine/book/io.h"

#include "engine/book/posix_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <system_error>

namespace engine {
namespace {

namespace fs = std::filesystem;

Failure trouble(const std::string& what, const fs::path& file)
{
    const int  code = errno;
    const bool full = code == ENOSPC || code == EDQUOT || code == EFBIG;
    return failure(full ? Fault::no_space : Fault::io,
                   full ? "The disk is full: " + what + " was not kept; free some space and try again."
                        : what + " could not be kept; the disk did not do it.",
                   file.string() + ": " + std::strerror(code));
}

bool write_all(int fd, const char* data, std::size_t size)
{
    while (size > 0) {
        const ssize_t wrote = ::write(fd, data, size);
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote < 0) return false;
        data += wrote;
        size -= static_cast<std::size_t>(wrote);
    }
    return true;
}

/// Nothing behind `offset`, and the next byte goes there. A file that already ends there is not touched:
/// cutting it would cost the file system a journal entry at every line.
bool starts_at(int fd, std::uint64_t offset)
{
    const auto  from = static_cast<off_t>(offset);
    struct stat facts {};
    if (::fstat(fd, &facts) != 0) return false;
    if (facts.st_size != from && ::ftruncate(fd, from) != 0) return false;
    return ::lseek(fd, from, SEEK_SET) == from;
}

/// Opens `file` unless `held` is it already, and nobody put another file in its place. False: it had to be
/// made.
bool hold(const fs::path& file, OpenFile& held)
{
    struct stat open {};
    struct stat there {};
    if (held.is_open() && ::fstat(held.fd(), &open) == 0 && ::stat(file.c_str(), &there) == 0 &&
        open.st_ino == there.st_ino && open.st_dev == there.st_dev)
        return true;
    held.close();
    held = OpenFile(::open(file.c_str(), O_WRONLY | O_CLOEXEC));
    if (held.is_open() || errno != ENOENT) return true;
    held = OpenFile(::open(file.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, S_IRUSR | S_IWUSR | S_IRGRP));
    return false;
}

/// Some file systems refuse to sync a folder; that alone is no failure of the write.
bool sync_folder(const fs::path& folder)
{
    const OpenFile place(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!place.is_open()) return false;
    return ::fsync(place.fd()) == 0 || errno == EINVAL || errno == ENOTSUP || errno == EACCES;
}

fs::path folder_of(const fs::path& file)
{
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

} // namespace

Status Io::reserve(const fs::path& file, std::uint64_t bytes)
{
    OpenFile out(::open(file.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, S_IRUSR | S_IWUSR));
    if (!out.is_open()) return trouble(file.filename().string(), file);
    errno = ::posix_fallocate(out.fd(), 0, static_cast<off_t>(bytes)); // it hands the error back
    if (errno != 0 || ::fsync(out.fd()) != 0) return trouble(file.filename().string(), file);
    return Unit{};
}

Status Io::remove(const fs::path& file)
{
    if (::unlink(file.c_str()) == 0 || errno == ENOENT) return Unit{};
    return failure(Fault::io, file.filename().string() + " could not be removed.",
                   file.string() + ": " + std::strerror(errno));
}

Result<std::uint64_t> Io::free_bytes(const fs::path& folder) const
{
    struct statvfs facts {};
    if (::statvfs(folder.c_str(), &facts) != 0)
        return failure(Fault::io, "The disk does not say how much room is left.",
                       folder.string() + ": " + std::strerror(errno));
    return std::uint64_t{facts.f_bavail} * facts.f_frsize;
}

namespace {

class DiskIo final : public Io {
  public:
    [[nodiscard]] Status write_whole(const fs::path& file, std::span<const unsigned char> bytes) override
    {
        std::error_code none;
        if (fs::exists(file, none)) return Unit{};
        std::string temporary = (folder_of(file) / ".new-XXXXXX").string();
        OpenFile    out(::mkostemp(temporary.data(), O_CLOEXEC));
        if (!out.is_open()) return trouble(file.filename().string(), file);
        const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
        const bool whole = write_all(out.fd(), text.data(), text.size()) && ::fsync(out.fd()) == 0 &&
                           out.close() && ::rename(temporary.c_str(), file.c_str()) == 0;
        if (!whole) {
            const Failure why = trouble(file.filename().string(), file);
            fs::remove(temporary, none);
            return why;
        }
        if (!sync_folder(folder_of(file))) return trouble(file.filename().string(), file);
        return Unit{};
    }

    [[nodiscard]] Status write_tail(const fs::path& file, OpenFile& held, std::uint64_t offset,
                                    std::string_view bytes, bool durable) override
    {
        const bool is_new = !hold(file, held);
        if (!held.is_open() || !starts_at(held.fd(), offset) ||
            !write_all(held.fd(), bytes.data(), bytes.size()) || (durable && ::fsync(held.fd()) != 0)) {
            const Failure why = trouble(file.filename().string(), file);
            held.close();
            return why;
        }
        if (durable && is_new && !sync_folder(folder_of(file)))
            return trouble(file.filename().string(), file);
        return Unit{};
    }

    [[nodiscard]] Result<std::vector<unsigned char>> read_whole(const fs::path& file,
                                                                std::size_t     most) const override
    {
        const OpenFile in(::open(file.c_str(), O_RDONLY | O_CLOEXEC));
        if (!in.is_open())
            return failure(errno == ENOENT ? Fault::not_found : Fault::io,
                           file.filename().string() +
                               (errno == ENOENT ? " is not there." : " cannot be read."),
                           file.string() + ": " + std::strerror(errno));
        struct stat facts {};
        if (::fstat(in.fd(), &facts) != 0 || !S_ISREG(facts.st_mode))
            return failure(Fault::io, file.filename().string() + " is not a plain file.", file.string());
        if (static_cast<std::uint64_t>(facts.st_size) > most)
            return failure(Fault::out_of_range,
                           file.filename().string() + " is longer than the " + std::to_string(most) +
                               " bytes it may have.",
                           file.string());
        std::vector<unsigned char> bytes(static_cast<std::size_t>(facts.st_size));
        std::size_t                have = 0;
        while (have < bytes.size()) {
            const ssize_t got = ::read(in.fd(), bytes.data() + have, bytes.size() - have);
            if (got < 0 && errno == EINTR) continue;
            if (got < 0)
                return failure(Fault::io, file.filename().string() + " cannot be read.",
                               file.string() + ": " + std::strerror(errno));
            if (got == 0) break; // shorter than a moment ago: what is there is what it is
            have += static_cast<std::size_t>(got);
        }
        bytes.resize(have);
        return bytes;
    }

    [[nodiscard]] Status make_folder(const fs::path& folder) override
    {
        std::error_code why;
        if (folder.empty() || fs::is_directory(folder, why)) return Unit{};
        const fs::path above = folder_of(folder);
        if (const Status made = make_folder(above); !made) return made;
        if (::mkdir(folder.c_str(), S_IRWXU | S_IRGRP | S_IXGRP) != 0 && errno != EEXIST)
            return trouble("the folder " + folder.filename().string(), folder);
        if (!sync_folder(above)) return trouble("the folder " + folder.filename().string(), folder);
        return Unit{};
    }
};

} // namespace

Io& disk_io()
{
    static DiskIo io;
    return io;
}

} // namespace engine
