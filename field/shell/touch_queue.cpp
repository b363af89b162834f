#include "field/shell/touch_queue.h"

namespace field::shell {

void TouchQueue::down(std::int64_t finger, float x_px, float y_px)
{
    if (finger_) return; // a palm or a second finger
    finger_ = finger;
    steps_.push_back({Kind::down, x_px, y_px});
}

void TouchQueue::move(std::int64_t finger, float x_px, float y_px)
{
    if (finger_ != finger) return;
    if (!steps_.empty() && steps_.back().kind == Kind::move)
        steps_.back() = {Kind::move, x_px, y_px}; // only the latest place matters
    else
        steps_.push_back({Kind::move, x_px, y_px});
}

void TouchQueue::up(std::int64_t finger)
{
    if (finger_ != finger) return;
    finger_.reset();
    steps_.push_back({Kind::up});
    steps_.push_back({Kind::gone});
}

void TouchQueue::hover(float x_px, float y_px)
{
    if (finger_) return;
    if (!steps_.empty() && (steps_.back().kind == Kind::hover || steps_.back().kind == Kind::gone))
        steps_.back() = {Kind::hover, x_px, y_px};
    else
        steps_.push_back({Kind::hover, x_px, y_px});
}

void TouchQueue::clear()
{
    steps_.clear();
    finger_.reset();
    if (now_.down)
        steps_.push_back({Kind::gone}); // away first, so that nothing is released over a button
    else
        now_ = {};
}

PointerState TouchQueue::next()
{
    if (steps_.empty()) return now_;
    const Step step = steps_.front();
    steps_.pop_front();
    switch (step.kind) {
    case Kind::down:
        now_ = {step.x_px, step.y_px, true, true};
        break;
    case Kind::move:
        now_ = {step.x_px, step.y_px, now_.down, true};
        break;
    case Kind::up: // keeps its place for this frame, or the release would not be over the button
        now_.down = false;
        break;
    case Kind::gone:
        now_ = {};
        break;
    case Kind::hover:
        now_ = {step.x_px, step.y_px, false, true};
        break;
    }
    return now_;
}

} // namespace field::shell
