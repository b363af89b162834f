#pragma once
// A camera without a camera: numbered pictures.
#include "field/camera/camera.h"

#include <optional>
#include <utility>

#include "tests/support/picture.h"

namespace support {

class FakeCamera final : public field::camera::Camera {
  public:
    explicit FakeCamera(int first_number = 1) : number_(first_number) {}

    [[nodiscard]] engine::Status                              start() override;
    void                                                      stop() override { running_ = false; }
    [[nodiscard]] std::shared_ptr<const field::camera::Frame> latest() override;
    [[nodiscard]] engine::Result<field::camera::Shot>         shoot() override;

    void unplug() { unplugged_ = true; } ///< from now on start() and shoot() fail
    void show(std::vector<unsigned char> jpeg) { shown_ = std::move(jpeg); } ///< instead of the numbers
    [[nodiscard]] bool running() const { return running_; }
    [[nodiscard]] int  next_number() const { return number_; }

  private:
    [[nodiscard]] std::vector<unsigned char> now() const { return shown_ ? *shown_ : numbered_jpeg(number_); }

    int                                       number_;
    bool                                      running_ = false, unplugged_ = false;
    std::uint64_t                             frames_ = 0;
    std::optional<std::vector<unsigned char>> shown_;
};

} // namespace support
