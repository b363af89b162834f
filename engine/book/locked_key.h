#pragma once
// A signing key kept under a passphrase or a PIN: Argon2id, then secretbox. FORMAT.md section 9.
#include "engine/book/seal.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace engine {

/// What one try at the secret costs. `firm` is for the plant key (256 MiB, about a second), `quick` for PINs
/// (64 MiB, about 0.1 s on the machine of the figures).
enum class Lock { quick, firm };

/// Overwrites a passphrase or PIN, so that no compiler leaves it out, and empties it.
void wipe(std::string& secret);

class LockedKey {
  public:
    /// Faults: bad_input (empty secret, label with a line feed), io (no memory for Argon2id).
    [[nodiscard]] static Result<LockedKey> make(const MachineKey& key, const std::string& label,
                                                std::string_view secret, Lock lock);
    /// Faults: not_found, corrupt.
    [[nodiscard]] static Result<LockedKey> load(const std::filesystem::path& file);
    [[nodiscard]] Status save(const std::filesystem::path& file) const; ///< mode 0600, never overwrites

    /// Fault::refused when the secret is wrong. Touches nothing else: any thread.
    [[nodiscard]] Result<MachineKey> unlock(std::string_view secret) const;

    [[nodiscard]] const std::string& label() const { return label_; } ///< "plant saltmarsh", "person 502"
    [[nodiscard]] const std::string& key() const { return key_; }     ///< 64 hex of the public key

  private:
    LockedKey() = default;
    std::string   label_, key_, salt_, box_; ///< salt and box as bytes
    std::uint64_t ops_ = 0, memory_ = 0;
};

} // namespace engine
