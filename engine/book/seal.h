#pragma once
// Ed25519 keys and SHA-256, by libsodium and libcrypto. Beside locked_key.cpp no other file names those
// libraries' primitives.
#include "engine/base/result.h"

#include <array>
#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace engine {

using Hash      = std::array<unsigned char, 32>;
using Signature = std::array<unsigned char, 64>;

/// SHA-256 of bytes (libcrypto).
[[nodiscard]] Hash sha256(std::span<const unsigned char> bytes);
[[nodiscard]] Hash sha256(std::string_view text);

/// The same, for what does not come in one piece.
class Sha256 {
  public:
    Sha256();
    ~Sha256();
    Sha256(const Sha256&)                       = delete;
    Sha256&            operator=(const Sha256&) = delete;
    void               add(std::string_view text);
    [[nodiscard]] Hash finish(); ///< once

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// The key pair of one machine. Kept in a file readable by its owner only, beside the book.
class MachineKey {
  public:
    [[nodiscard]] static MachineKey generate();
    [[nodiscard]] static MachineKey from_seed(const std::array<unsigned char, 32>& seed); ///< demo and tests
    [[nodiscard]] static Result<MachineKey> load(const std::filesystem::path& file);
    [[nodiscard]] Status
    save(const std::filesystem::path& file) const; ///< mode 0600, synced, never overwrites

    [[nodiscard]] const std::string& device() const { return device_; } ///< 64 hex of the public key
    [[nodiscard]] Signature          sign(std::string_view message) const;
    /// RFC 8032 seed, for locking the key away.
    [[nodiscard]] std::array<unsigned char, 32> seed() const;

  private:
    MachineKey() = default;
    std::array<unsigned char, 64> secret_{};
    std::string                   device_;
};

/// A small file only its owner can read: mode 0600, synced, renamed into place. Faults: conflict (there is
/// one), io, no_space.
[[nodiscard]] Status save_secret(const std::filesystem::path& file, const std::string& text);

/// 128 lower-case hex digits. Fault::corrupt.
[[nodiscard]] std::string       hex_of(const Signature& signature);
[[nodiscard]] Result<Signature> signature_from_hex(std::string_view digits);

/// RFC 4648 with padding, as in a C2SP note.
[[nodiscard]] std::string base64_of(std::string_view bytes);
[[nodiscard]] std::optional<std::string>
bytes_from_base64(std::string_view text); ///< only what base64_of prints

/// A canonical point of the prime-order group: anything else is no key, whatever a library says.
[[nodiscard]] bool is_key(const std::string& key_hex);

/// Strict Ed25519 verification; false too for keys that are not valid points.
[[nodiscard]] bool verify(std::string_view message, const Signature& signature,
                          const std::string& device_hex);

/// PIN of a person: Argon2id string and its check (crypto_pwhash_str).
[[nodiscard]] Result<std::string> pin_check_of(std::string_view pin);
[[nodiscard]] bool                pin_fits(std::string_view pin, const std::string& pin_check);

} // namespace engine
