#pragma once
// A thread beside the screen's: folders that are slow, keys that are slow on purpose.
#include <sys/resource.h>

#include <atomic>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <thread>

namespace field::app {

/// One piece at a time is handed over and brought back; what it wrote may be read once it is not busy any
/// more. Gives way to the screen: a finger comes first where there is one processor for both.
class Worker {
  public:
    Worker() : thread_([this] { run(); }) {}
    ~Worker()
    {
        {
            const std::lock_guard lock(mutex_);
            quit_   = true;
            cancel_ = true;
        }
        wake_.notify_one();
        thread_.join();
    }
    Worker(const Worker&)            = delete;
    Worker& operator=(const Worker&) = delete;

    void on_news(std::function<void()> call)
    {
        const std::lock_guard lock(mutex_);
        news_ = std::move(call);
    }
    void give(std::function<void()> task)
    {
        {
            const std::lock_guard lock(mutex_);
            task_ = std::move(task);
            busy_ = true;
        }
        wake_.notify_one();
    }
    [[nodiscard]] bool busy() const
    {
        const std::lock_guard lock(mutex_);
        return busy_;
    }
    std::atomic<bool>& cancel() { return cancel_; }

  private:
    static constexpr int kAside = 10;

    void run()
    {
        // Of this thread and those it starts. Refused: nothing is lost.
        (void)setpriority(PRIO_PROCESS, 0, kAside);
        std::unique_lock lock(mutex_);
        while (true) {
            wake_.wait(lock, [this] { return quit_ || task_; });
            if (quit_) return;
            const auto task = std::move(task_);
            task_           = nullptr;
            lock.unlock();
            task();
            lock.lock();
            busy_ = false;
            if (news_) news_();
        }
    }

    mutable std::mutex      mutex_;
    std::condition_variable wake_;
    std::function<void()>   task_, news_;
    bool                    busy_ = false, quit_ = false;
    std::atomic<bool>       cancel_{false};
    std::thread             thread_;
};

} // namespace field::app
