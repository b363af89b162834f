#pragma once
// One exchange between a book and a shared folder, in small pieces: FORMAT.md sections 5 to 8.
//
//   on the thread of the book:   work = exchange.next();         (book only, no folder)
//   on any thread:               done = perform(*work, folder);  (folder only, no book)
//   on the thread of the book:   exchange.absorb(done);          (one transaction at most)
//
// It may be dropped between any two calls; the next pass comes to the same end.
#include "engine/base/clock.h"
#include "engine/book/book.h"
#include "sync/folder.h"
#include "sync/listing.h"
#include "sync/report.h"

#include <atomic>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace share {

/// One piece of folder work, complete in itself.
struct Work {
    enum class Task {
        list,
        compare,
        tidy,
        send,
        send_photo,
        fetch_segment,
        fetch_photo,
        fetch_text,
        prove_photo, ///< is it whole in the folder? Then it may leave this machine
        enter,       ///< book only: the next entries of a segment that was read
        remember
    };
    Task                              task = Task::remember;
    std::string                       what;  ///< for the screen: "reading T-03"
    std::string                       devid; ///< own for writing, the other's for reading
    std::string                       plant;
    std::vector<std::string>          paths; ///< to send: names to try in turn; else the one to read
    std::vector<unsigned char>        bytes;
    SegmentName                       segment;
    std::string                       photo;    ///< sha256
    std::size_t                       most = 0; ///< bytes of a text to fetch
    std::string                       hash32;   ///< it must begin with
    std::vector<std::string>          named;    ///< photos the record names
    std::optional<engine::PhotoStore> photos;
    std::shared_ptr<const Listing>    listing;
    bool                              taken_is_fine = false; ///< another file under that name is no matter
};

/// What came of it.
struct Done {
    std::optional<engine::Error> trouble; ///< the whole pass ends here
    std::optional<engine::Error> unread;  ///< a photo of this machine it could not read, so it was not sent
    std::string                  path;    ///< the name that was written
    std::uint64_t                bytes = 0;
    Listing                      listing;
    std::string                  text;              ///< fetched, its hash fits
    OpenedSegment                segment;           ///< and for a photo: its state, code and sentence
    std::vector<std::string>     to_send, to_fetch; ///< photos
    std::size_t                  lacking = 0;       ///< photos neither here nor in the folder
};

/// Any thread; takes as long as the folder takes.
[[nodiscard]] Done perform(const Work& work, Folder& folder, const std::atomic<bool>* cancel = nullptr);

class Exchange {
  public:
    Exchange(engine::Book& book, const engine::Clock& clock);
    ~Exchange();
    Exchange(Exchange&&) noexcept;
    Exchange& operator=(Exchange&&) noexcept;
    Exchange(const Exchange&)            = delete;
    Exchange& operator=(const Exchange&) = delete;

    /// The next piece; none when the pass is over, well or not. Each piece must be absorbed before the next.
    [[nodiscard]] std::optional<Work> next();
    void                              absorb(Done done);

    [[nodiscard]] const Report&                       report() const;
    [[nodiscard]] const std::optional<engine::Error>& error() const; ///< why it ended early
    [[nodiscard]] std::size_t                         done() const;  ///< pieces
    [[nodiscard]] std::size_t                         all() const;   ///< estimate; may grow

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

struct ExchangeOptions {
    /// False: stop after this piece; the report then says `finished = false`.
    std::function<bool(std::size_t done, std::size_t all, const std::string& what)> progress = {};
    const std::atomic<bool>*                                                        cancel   = nullptr;
};

/// The whole pass in one call. Faults: those of the folder (not_found, io, no_space) and of the book; what
/// was done until then stays and is whole.
[[nodiscard]] engine::Result<Report> exchange(engine::Book& book, Folder& folder, const engine::Clock& clock,
                                              const ExchangeOptions& options = {});

} // namespace share
