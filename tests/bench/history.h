#pragma once
// Years of other machines' work, as an exchange would bring them: finished jobs of a demo book under new
// numbers, sealed anew by the engine's own codec. The demo is the invented scenario; nothing here is a check
// value.
#include "engine/book/book.h"

#include <map>

namespace bench {

class History {
  public:
    /// Takes the finished jobs of the demo book as patterns.
    History(const std::filesystem::path& demo_book, int machines, std::int64_t ends_wall_ms);

    /// The whole record of the next job, by the machines in turn; in sequence, ready to be taken in.
    [[nodiscard]] std::vector<engine::Entry> next_job();
    /// A serial number that stands in that job and in no other.
    [[nodiscard]] static std::string serial_of(int job);
    /// Photo entries name these in turn from now on.
    void              use_photos(std::vector<std::string> sha256s) { photos_ = std::move(sha256s); }
    [[nodiscard]] int jobs() const { return jobs_; }
    [[nodiscard]] const std::string& plant() const { return plant_; }

    struct Machine {
        engine::MachineKey key;
        std::string        name;
        std::uint64_t      seq     = 0;
        std::string        prev    = std::string(64, '0');
        std::int64_t       wall_ms = 0;
    };
    [[nodiscard]] const std::vector<Machine>& machines() const { return machines_; }

  private:
    [[nodiscard]] engine::Entry say(Machine& machine, engine::Draft draft);

    std::string                             plant_;
    std::vector<std::vector<engine::Entry>> patterns_;
    std::vector<Machine>                    machines_;
    std::vector<std::string>                photos_;
    std::size_t                             next_photo_ = 0;
    int                                     jobs_       = 0;
};

} // namespace bench
