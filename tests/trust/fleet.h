#pragma once
// A simulated fleet: machines that only write, and a folder that shows each reader something else.
#include "engine/book/codec.h"
#include "sync/segment.h"

#include <map>
#include <random>
#include <string>
#include <vector>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

namespace trust {

/// One machine without a book of its own; may be a clone of another.
struct Device {
    engine::MachineKey         key;
    std::vector<engine::Entry> said;
    std::size_t                sent = 0;
    std::int64_t               skew = 0; ///< of its clock, ms

    /// Nth of a run; one in fifty has a clock that was never set (1970), the others are up to two days off.
    static Device made(int number, unsigned seed, std::mt19937& random);
    void          say(std::int64_t now, int value);
    /// Power lost: what was not sent yet is gone with the tablet's last seconds.
    void lose_unsent() { said.resize(sent); }
    /// All that is new, as segments. Sometimes the share loses the end of one and it is sent again as a
    /// second copy; sometimes a replicator leaves a copy of its own beside it.
    void publish(MemoryFolder& folder, std::mt19937& random);
};

/// What one reader sees of the folder: files come later, half at first, under strange names as well; a
/// listing may be an old one; writing may fail.
class View final : public share::Folder {
  public:
    View(MemoryFolder& truth, unsigned seed) : truth_(&truth), random_(seed) {}
    bool all = false; ///< everything is to be seen from now on

    [[nodiscard]] engine::Result<std::vector<share::FolderItem>> list(const std::string& path,
                                                                      std::size_t        most) override;
    [[nodiscard]] engine::Result<std::vector<unsigned char>>     read(const std::string& path,
                                                                      std::size_t        most) override;
    [[nodiscard]] engine::Status write_new(const std::string& path, std::span<const unsigned char> bytes,
                                           const std::string& writer) override;
    [[nodiscard]] engine::Status remove_temporary(const std::string& path,
                                                  const std::string& writer) override;

  private:
    [[nodiscard]] bool one_in(unsigned count) { return random_() % count == 0; }

    MemoryFolder*                                         truth_;
    std::mt19937                                          random_;
    std::map<std::string, std::vector<share::FolderItem>> listed_; ///< as last shown
};

/// A machine with a book, and how it sees the folder.
class Reader {
  public:
    Reader(const support::TempFolder& place, const engine::Clock& clock, int number, MemoryFolder& truth,
           unsigned seed);
    /// One pass; may be cut off in the middle, with the power, when `random` is there.
    void exchange(std::mt19937* random);
    /// Nothing is hidden any more.
    void                             see_all() { view_.all = true; }
    [[nodiscard]] engine::Book&      book() { return machine_->book; }
    [[nodiscard]] int                cut_off() const { return cut_off_; }
    [[nodiscard]] const std::string& last_words() const { return last_words_; } ///< findings of the last pass

  private:
    const support::TempFolder* place_;
    const engine::Clock*       clock_;
    int                        number_;
    View                       view_;
    std::optional<Machine>     machine_;
    int                        cut_off_ = 0;
    std::string                last_words_;
};

/// The share's own disk lost its last writes: the end of one of the readers' files becomes zeros.
void lose_end_of_one(MemoryFolder& folder, const std::string& devid, std::mt19937& random);

struct Outcome {
    bool        equal      = false; ///< all readers show one state, and the job as the sorted import does
    bool        complete   = true;  ///< every entry that was sent is in every book
    bool        forks_seen = true;
    std::size_t entries = 0, clones = 0, passes = 0;
    int         cut_off = 0;
};
/// Passes with nothing hidden until nothing moves; then every reader against every other and against one
/// import in sorted order.
void settle(std::vector<std::unique_ptr<Reader>>& readers, const support::TempFolder& place,
            support::FakeClock& clock, MemoryFolder& folder, const std::set<std::string>& said,
            Outcome& outcome);

} // namespace trust
