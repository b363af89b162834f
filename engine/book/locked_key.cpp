#include "engine/book/locked_key.h"

#include "engine/book/entry.h"

#include <sodium.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <fstream>
#include <sstream>
#include <vector>

namespace engine {
namespace {

constexpr std::string_view kHead       = "witnessmark1 locked key";
constexpr std::uint64_t    kMostOps    = 16;
constexpr std::uint64_t    kMostMemory = 1ULL << 30U; ///< a forged file must not take the machine's memory
constexpr std::size_t      kBoxSize    = crypto_secretbox_NONCEBYTES + crypto_secretbox_MACBYTES + 32;

std::string hex_of(std::string_view bytes)
{
    std::vector<char> text(bytes.size() * 2 + 1);
    sodium_bin2hex(text.data(), text.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                   bytes.size());
    return {text.data(), bytes.size() * 2};
}

std::string bytes_from(const std::string& text, std::size_t size)
{
    std::string bytes(size, '\0');
    std::size_t have = 0;
    const int   fits = sodium_hex2bin(reinterpret_cast<unsigned char*>(bytes.data()), size, text.data(),
                                      text.size(), nullptr, &have, nullptr);
    return fits == 0 && have == size && text.size() == size * 2 ? bytes : std::string();
}

/// The key that opens the box; empty when there is not enough memory.
std::vector<unsigned char> stretched(std::string_view secret, const std::string& salt, std::uint64_t ops,
                                     std::uint64_t memory)
{
    std::vector<unsigned char> key(crypto_secretbox_KEYBYTES);
    const int                  made = crypto_pwhash(key.data(), key.size(), secret.data(), secret.size(),
                                                    reinterpret_cast<const unsigned char*>(salt.data()), ops, memory,
                                                    crypto_pwhash_ALG_ARGON2ID13);
    if (made != 0) key.clear();
    return key;
}

Failure no_memory()
{
    return failure(Fault::io, "There is not enough memory to work on the locked key; close other programs.");
}

/// The rest of the next line when it begins with `label`.
std::string take(std::istream& in, const std::string& label)
{
    std::string line;
    std::getline(in, line);
    return line.rfind(label, 0) == 0 ? line.substr(label.size()) : std::string();
}

} // namespace

void wipe(std::string& secret)
{
    sodium_memzero(secret.data(), secret.size());
    secret.clear();
}

Result<LockedKey> LockedKey::make(const MachineKey& key, const std::string& label, std::string_view secret,
                                  Lock lock)
{
    if (secret.empty())
        return failure(Fault::bad_input, "A key is locked by a passphrase or PIN of at least one character.");
    if (label.find('\n') != std::string::npos)
        return failure(Fault::bad_input, "The name of a key is one line.");
    LockedKey made;
    made.label_  = label;
    made.key_    = key.device();
    made.ops_    = lock == Lock::firm ? crypto_pwhash_OPSLIMIT_MODERATE : crypto_pwhash_OPSLIMIT_INTERACTIVE;
    made.memory_ = lock == Lock::firm ? crypto_pwhash_MEMLIMIT_MODERATE : crypto_pwhash_MEMLIMIT_INTERACTIVE;
    made.salt_.resize(crypto_pwhash_SALTBYTES);
    randombytes_buf(made.salt_.data(), made.salt_.size());
    const auto opener = stretched(secret, made.salt_, made.ops_, made.memory_);
    if (opener.empty()) return no_memory();
    std::array<unsigned char, kBoxSize> box{};
    randombytes_buf(box.data(), crypto_secretbox_NONCEBYTES);
    auto seed = key.seed();
    crypto_secretbox_easy(box.data() + crypto_secretbox_NONCEBYTES, seed.data(), seed.size(), box.data(),
                          opener.data());
    sodium_memzero(seed.data(), seed.size());
    made.box_.assign(box.begin(), box.end());
    return made;
}

Result<LockedKey> LockedKey::load(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    if (!in)
        return failure(Fault::not_found, "There is no key file " + file.filename().string() + " to be read.",
                       file.string());
    LockedKey   found;
    const bool  head = take(in, std::string(kHead)).empty() && in.good();
    std::string algorithm;
    found.label_ = take(in, "for ");
    std::istringstream kdf(take(in, "kdf "));
    kdf >> algorithm >> found.ops_ >> found.memory_;
    const bool known =
        !kdf.fail() && algorithm == "argon2id13" && found.ops_ <= kMostOps && found.memory_ <= kMostMemory;
    found.salt_ = bytes_from(take(in, "salt "), crypto_pwhash_SALTBYTES);
    found.box_  = bytes_from(take(in, "box "), kBoxSize);
    found.key_  = take(in, "key ");
    if (!head || !known || found.salt_.empty() || found.box_.empty() || !hash_from_hex(found.key_))
        return failure(Fault::corrupt,
                       file.filename().string() + " is not a locked key, or is damaged; take another copy.",
                       file.string());
    return found;
}

Status LockedKey::save(const std::filesystem::path& file) const
{
    std::string text(kHead);
    text += "\nfor " + label_ + "\nkdf argon2id13 " + std::to_string(ops_) + " " + std::to_string(memory_) +
            "\nsalt " + hex_of(salt_) + "\nbox " + hex_of(box_) + "\nkey " + key_ + "\n";
    return save_secret(file, text);
}

Result<MachineKey> LockedKey::unlock(std::string_view secret) const
{
    const auto opener = stretched(secret, salt_, ops_, memory_);
    if (opener.empty()) return no_memory();
    const auto* const             box = reinterpret_cast<const unsigned char*>(box_.data());
    std::array<unsigned char, 32> seed{};
    if (crypto_secretbox_open_easy(seed.data(), box + crypto_secretbox_NONCEBYTES,
                                   box_.size() - crypto_secretbox_NONCEBYTES, box, opener.data()) != 0)
        return failure(Fault::refused, "The passphrase or PIN does not open the key of " + label_ + ".");
    MachineKey key = MachineKey::from_seed(seed);
    sodium_memzero(seed.data(), seed.size());
    if (key.device() != key_)
        return failure(Fault::corrupt,
                       "The key file of " + label_ + " was tampered with; take another copy.");
    return key;
}

} // namespace engine
