#pragma once
// The figures of the bench. Each prints its lines and returns false when one misses its bar.
#include <filesystem>

namespace bench {

/// `figure` as a process, the estimate, and the nut's edge in a photo.
[[nodiscard]] bool numbers();

/// One-row insert of sqlite and one signature of libsodium against Book::append, in one folder.
[[nodiscard]] bool append_beside_sqlite(const std::filesystem::path& folder);
/// Verifying and taking in another machine's lines against libsodium alone.
[[nodiscard]] bool take_in_beside_sodium(const std::filesystem::path& folder);
/// Keeping a photo against writing the same bytes and syncing.
[[nodiscard]] bool photo_beside_copy(const std::filesystem::path& folder);

/// From a finger's lifting to the durable entry, through the real app.
[[nodiscard]] bool touch_to_entry(const std::filesystem::path& folder);

/// Makes a demo book of at least 10 000 entries with `witnessmark demo`; shared by the two below.
[[nodiscard]] std::filesystem::path large_book(const std::filesystem::path& folder);
[[nodiscard]] bool                  start_to_frame(const std::filesystem::path& book);
[[nodiscard]] bool                  memory_with_photos(const std::filesystem::path& book);

/// CPU at rest: without a window, and with the real one where there is a display.
[[nodiscard]] bool idle_offscreen(const std::filesystem::path& book);
[[nodiscard]] bool idle_window(const std::filesystem::path& book);

} // namespace bench
