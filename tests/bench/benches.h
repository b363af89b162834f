#pragma once
// The figures of the bench. Each prints its lines and returns false when one misses its bar.
#include <cstddef>
#include <filesystem>

namespace bench {

/// Where figures are taken, and the books and folders several of them share: made when first asked for.
struct Ground {
    std::filesystem::path folder;
    std::size_t           entries  = 1'000'000;             ///< of the large book
    std::size_t           segments = 5'000, photos = 1'000; ///< of the shared folder

    /// A demo book of at least 10 000 entries.
    [[nodiscard]] const std::filesystem::path& year_book();
    /// A book of `entries` entries of several machines.
    [[nodiscard]] const std::filesystem::path& large_book();
    /// A shared folder of `segments` segments of 40 entries and `photos` photos.
    [[nodiscard]] const std::filesystem::path& shared_folder();
    /// The book that has read all of it.
    [[nodiscard]] const std::filesystem::path& reader_book();

    [[nodiscard]] int jobs() const { return jobs_; } ///< of History in the large book

  private:
    int                   jobs_ = 0;
    std::filesystem::path year_, large_, shared_, reader_;
};

/// `figure` as a process, the estimate, and the nut's edge in a photo.
[[nodiscard]] bool numbers(const std::filesystem::path& folder);

/// One-row insert of sqlite and one signature of libsodium against Book::append, in one folder.
[[nodiscard]] bool append_beside_sqlite(const std::filesystem::path& folder);
/// Verifying and taking in another machine's lines against libsodium alone, by one thread and by two.
[[nodiscard]] bool take_in_beside_sodium(const std::filesystem::path& folder);
/// Keeping a photo against writing the same bytes and syncing.
[[nodiscard]] bool photo_beside_copy(const std::filesystem::path& folder);

/// From a finger's lifting to the durable entry, through the real app.
[[nodiscard]] bool touch_to_entry(const std::filesystem::path& folder);

[[nodiscard]] bool start_to_frame(const std::filesystem::path& book);
[[nodiscard]] bool memory_with_photos(const std::filesystem::path& book);

/// CPU at rest: without a window, and with the real one where there is a display.
[[nodiscard]] bool idle_offscreen(const std::filesystem::path& book);
[[nodiscard]] bool idle_window(const std::filesystem::path& book);

/// Frame times of the app while 10 000 entries and 500 photos come in from the shared folder.
[[nodiscard]] bool frames_while_receiving(const std::filesystem::path& folder);

/// The shared folder: writing it, reading it, finding nothing to do, proving it.
[[nodiscard]] bool publish_beside_rsync(Ground& ground);
[[nodiscard]] bool intake_memory(Ground& ground);
[[nodiscard]] bool nothing_to_do_beside_rsync(Ground& ground);
[[nodiscard]] bool check_beside_sha256sum(Ground& ground);
/// The first pass of a new book over a folder with many photos, beside what must be done at least.
[[nodiscard]] bool first_pass_beside_limits(const std::filesystem::path& folder);
/// A fifth of the record packed, from books of four sizes.
[[nodiscard]] bool pack_growth(const std::filesystem::path& folder);

/// The index of a book made anew from its lines.
[[nodiscard]] bool rebuild_beside_sqlite(Ground& ground);
/// The large book: start, and the life line of one serial number.
[[nodiscard]] bool cold_start(Ground& ground);
[[nodiscard]] bool trace_beside_sqlite(Ground& ground);

} // namespace bench
