#include "field/app/photo_desk.h"

#include "engine/book/photos.h"

#include <algorithm>

namespace field::app {

namespace {
constexpr int kLargest_px = 1000; ///< longest side of a picture on the glass
}

PhotoDesk::~PhotoDesk()
{
    forget_live();
    for (auto& [hash, shown] : kept_)
        shell_->release(shown.texture);
}

void PhotoDesk::forget_live()
{
    if (live_) shell_->release(live_);
    if (taken_) shell_->release(taken_);
    live_ = taken_ = {};
    live_number_   = 0;
    taken_bytes_   = 0;
}

look::Texture PhotoDesk::live(const camera::Picture& picture, std::uint64_t number)
{
    if (live_ && number == live_number_) return live_;
    auto texture = shell_->upload({picture.width, picture.height, picture.rgba});
    if (!texture) return live_;
    if (live_) shell_->release(live_);
    live_        = *texture;
    live_number_ = number;
    return live_;
}

look::Texture PhotoDesk::taken(std::span<const unsigned char> jpeg)
{
    if (taken_ && taken_bytes_ == jpeg.size()) return taken_;
    const auto small = camera::decode_jpeg(jpeg, kLargest_px, kLargest_px);
    if (!small) return {};
    auto texture = shell_->upload({small->width, small->height, small->rgba});
    if (!texture) return {};
    if (taken_) shell_->release(taken_);
    taken_       = *texture;
    taken_bytes_ = jpeg.size();
    return taken_;
}

look::Texture PhotoDesk::kept(const engine::PhotoStore& store, const std::string& sha256)
{
    if (const auto known = kept_.find(sha256); known != kept_.end()) {
        known->second.used = ++clock_;
        return known->second.texture;
    }
    const auto jpeg = store.read(sha256);
    if (!jpeg) return {};
    const auto small = camera::decode_jpeg(*jpeg, kLargest_px, kLargest_px);
    if (!small) return {};
    auto texture = shell_->upload({small->width, small->height, small->rgba});
    if (!texture) return {};
    if (kept_.size() >= kMost) {
        const auto oldest = std::min_element(kept_.begin(), kept_.end(), [](const auto& a, const auto& b) {
            return a.second.used < b.second.used;
        });
        shell_->release(oldest->second.texture);
        kept_.erase(oldest);
    }
    kept_[sha256] = {*texture, ++clock_};
    return *texture;
}

} // namespace field::app
