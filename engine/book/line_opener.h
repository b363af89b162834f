#pragma once
// Many lines opened by several threads, handed out in their order. Private to engine/book.
#include "engine/book/codec.h"

#include <condition_variable>
#include <cstddef>
#include <exception>
#include <map>
#include <mutex>
#include <span>
#include <string_view>
#include <thread>
#include <vector>

namespace engine {

/// Whoever is free takes the next few lines that nobody has begun: whoever asks for opened ones and finds
/// them not ready opens others meanwhile, so no thread waits while there is work. The lines must outlive
/// this.
class LineOpener {
  public:
    using Opened = std::vector<Result<Entry>>;

    /// `threads` 0: as many as the machine can spare; this one counts. `ahead`: most runs opened and not
    /// asked for.
    LineOpener(std::span<const std::string_view> lines, unsigned threads, std::size_t ahead);
    LineOpener(const LineOpener&)            = delete;
    LineOpener& operator=(const LineOpener&) = delete;
    ~LineOpener();

    /// The next lines, opened; none at the end. What went wrong on another thread is thrown here.
    [[nodiscard]] Opened next();

  private:
    void                 help();
    void                 open_one(std::unique_lock<std::mutex>& turn);
    [[nodiscard]] Opened open_run(std::size_t run) const;
    [[nodiscard]] bool   may_begin() const { return begun_ < runs_ && begun_ < asked_ + ahead_; }

    std::span<const std::string_view> lines_;
    std::size_t                       runs_, ahead_;
    std::mutex                        mutex_; ///< guards all below
    std::condition_variable           moved_;
    std::map<std::size_t, Opened>     ready_; ///< by run
    std::size_t                       begun_ = 0, asked_ = 0;
    std::exception_ptr                wrong_;
    bool                              over_ = false;
    std::vector<std::thread>          helpers_;
};

} // namespace engine
