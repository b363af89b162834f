#pragma once
// A file descriptor that closes itself.
#include <unistd.h>

#include <utility>

namespace engine {

class OpenFile {
  public:
    explicit OpenFile(int fd = -1) : fd_(fd) {}
    OpenFile(OpenFile&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    OpenFile& operator=(OpenFile&& other) noexcept
    {
        std::swap(fd_, other.fd_);
        return *this;
    }
    OpenFile(const OpenFile&)            = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() { close(); }

    [[nodiscard]] bool is_open() const { return fd_ >= 0; }
    [[nodiscard]] int  fd() const { return fd_; }
    /// False when the last bytes could not be handed over; errno tells why.
    bool close()
    {
        const int fd = std::exchange(fd_, -1);
        return fd < 0 || ::close(fd) == 0;
    }

  private:
    int fd_;
};

} // namespace engine
