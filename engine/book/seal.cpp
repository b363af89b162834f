#include "engine/book/seal.h"

#include "engine/book/entry.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <sodium.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <new>
#include <optional>
#include <system_error>

namespace engine {
namespace {

constexpr std::string_view kKeyHead = "witnessmark1 key\n";

/// libsodium must be set up once; it is safe to ask again.
bool sodium_ready()
{
    static const bool ready = sodium_init() >= 0;
    return ready;
}

/// Fetched once: a lookup by name for every line costs more than the hash itself.
const EVP_MD* sha256_method()
{
    static EVP_MD* const method = EVP_MD_fetch(nullptr, "SHA256", nullptr);
    return method;
}

Failure key_trouble(const std::filesystem::path& file, const std::string& what)
{
    return failure(errno == ENOSPC ? Fault::no_space : Fault::io, what,
                   file.string() + ": " + std::strerror(errno));
}

Status write_all(int fd, std::string_view bytes, const std::filesystem::path& file)
{
    while (!bytes.empty()) {
        const ssize_t wrote = ::write(fd, bytes.data(), bytes.size());
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote < 0) return key_trouble(file, "The machine key could not be written; free some space.");
        bytes.remove_prefix(static_cast<std::size_t>(wrote));
    }
    if (::fsync(fd) != 0) return key_trouble(file, "The machine key could not be made durable.");
    return Unit{};
}

const unsigned char* bytes_of(std::string_view text)
{
    return reinterpret_cast<const unsigned char*>(text.data());
}

using PublicKey = std::array<unsigned char, crypto_sign_PUBLICKEYBYTES>;

std::optional<PublicKey> checked_key(const std::string& device_hex)
{
    // The point check costs about as much as a verification, and lines come machine by machine.
    thread_local std::string known_text;
    thread_local PublicKey   known_key{};
    if (device_hex == known_text && !known_text.empty()) return known_key;
    const auto bytes = hash_from_hex(device_hex);
    if (!bytes || crypto_core_ed25519_is_valid_point(bytes->data()) != 1) return std::nullopt;
    known_text = device_hex;
    known_key  = *bytes;
    return known_key;
}

} // namespace

Hash sha256(std::span<const unsigned char> bytes)
{
    Hash hash{};
    // A hash of zeros must never stand for bytes: libsodium's is slower, and needs no memory.
    if (EVP_Digest(bytes.data(), bytes.size(), hash.data(), nullptr, sha256_method(), nullptr) != 1)
        crypto_hash_sha256(hash.data(), bytes.data(), bytes.size());
    return hash;
}

Hash sha256(std::string_view text)
{
    return sha256({bytes_of(text), text.size()});
}

struct Sha256::Inside {
    EVP_MD_CTX* context = EVP_MD_CTX_new();
};

Sha256::Sha256() : inside_(std::make_unique<Inside>())
{
    if (inside_->context != nullptr && EVP_DigestInit_ex2(inside_->context, sha256_method(), nullptr) == 1)
        return;
    EVP_MD_CTX_free(inside_->context);
    throw std::bad_alloc(); // the one reason left when the method is there
}

Sha256::~Sha256()
{
    EVP_MD_CTX_free(inside_->context);
}

void Sha256::add(std::string_view text)
{
    (void)EVP_DigestUpdate(inside_->context, text.data(), text.size());
}

Hash Sha256::finish()
{
    Hash hash{};
    (void)EVP_DigestFinal_ex(inside_->context, hash.data(), nullptr); // allocates nothing once it is set up
    return hash;
}

MachineKey MachineKey::generate()
{
    sodium_ready();
    std::array<unsigned char, 32> seed{};
    randombytes_buf(seed.data(), seed.size());
    MachineKey key = from_seed(seed);
    sodium_memzero(seed.data(), seed.size());
    return key;
}

MachineKey MachineKey::from_seed(const std::array<unsigned char, 32>& seed)
{
    sodium_ready();
    MachineKey key;
    Hash       open{};
    crypto_sign_seed_keypair(open.data(), key.secret_.data(), seed.data());
    key.device_ = hex(open);
    return key;
}

Result<MachineKey> MachineKey::load(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    if (!in) {
        std::error_code none;
        if (!std::filesystem::exists(file, none))
            return engine::failure(Fault::not_found,
                                   "The machine key " + file.filename().string() +
                                       " is not beside the book; bring it back from a copy.");
        return engine::failure(Fault::io,
                               "The machine key " + file.filename().string() +
                                   " cannot be read; its owner must be the person running this program.");
    }
    std::string text(kKeyHead.size() + 66, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    const bool shaped =
        text.size() == kKeyHead.size() + 65 && text.starts_with(kKeyHead) && text.back() == '\n';
    const auto seed = shaped ? hash_from_hex(text.substr(kKeyHead.size(), 64))
                             : Result<Hash>(engine::failure(Fault::corrupt, ""));
    if (!seed)
        return engine::failure(Fault::corrupt, "The machine key " + file.filename().string() +
                                                   " is damaged; bring it back from a copy.");
    return from_seed(*seed);
}

Status MachineKey::save(const std::filesystem::path& file) const
{
    Hash seed{};
    std::copy_n(secret_.begin(), seed.size(), seed.begin());
    return save_secret(file, std::string(kKeyHead) + hex(seed) + "\n");
}

Status save_secret(const std::filesystem::path& file, const std::string& text)
{
    std::error_code none;
    if (std::filesystem::exists(file, none))
        return failure(Fault::conflict, "There is a key " + file.filename().string() +
                                            " already; a key is never overwritten.");
    const std::filesystem::path temporary = file.string() + ".new";
    std::filesystem::remove(temporary, none); // left by a start that was cut short
    const int fd = ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (fd < 0)
        return key_trouble(file, "The key " + file.filename().string() +
                                     " cannot be made in that place; choose another folder.");
    const Status written = write_all(fd, text, file);
    ::close(fd);
    if (!written) return written;
    if (::rename(temporary.c_str(), file.c_str()) != 0)
        return key_trouble(file, "The key " + file.filename().string() + " could not be put in its place.");
    const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
    const int                   place  = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (place >= 0) {
        ::fsync(place); // some file systems refuse it for folders; the key itself is synced
        ::close(place);
    }
    return Unit{};
}

std::array<unsigned char, 32> MachineKey::seed() const
{
    Hash seed{};
    std::copy_n(secret_.begin(), seed.size(), seed.begin());
    return seed;
}

Signature MachineKey::sign(std::string_view message) const
{
    Signature signature{};
    crypto_sign_detached(signature.data(), nullptr, bytes_of(message), message.size(), secret_.data());
    return signature;
}

std::string hex_of(const Signature& signature)
{
    return hex_of_bytes(signature);
}

Result<Signature> signature_from_hex(std::string_view digits)
{
    Signature signature{};
    if (!bytes_from_hex(digits, signature))
        return engine::failure(Fault::corrupt,
                               "The line is damaged: its signature is not 128 lower-case hex digits.");
    return signature;
}

std::string base64_of(std::string_view bytes)
{
    std::string text(sodium_base64_encoded_len(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
    sodium_bin2base64(text.data(), text.size(), bytes_of(bytes), bytes.size(),
                      sodium_base64_VARIANT_ORIGINAL);
    text.pop_back(); // its end of a C string
    return text;
}

std::optional<std::string> bytes_from_base64(std::string_view text)
{
    std::string bytes(text.size(), '\0');
    std::size_t size = 0;
    if (sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(),
                          text.size(), nullptr, &size, nullptr, sodium_base64_VARIANT_ORIGINAL) != 0)
        return std::nullopt;
    bytes.resize(size);
    if (base64_of(bytes) != text) return std::nullopt;
    return bytes;
}

bool is_key(const std::string& key_hex)
{
    return sodium_ready() && checked_key(key_hex).has_value();
}

bool verify(std::string_view message, const Signature& signature, const std::string& device_hex)
{
    if (!sodium_ready()) return false;
    const auto key = checked_key(device_hex);
    if (!key) return false;
    return crypto_sign_verify_detached(signature.data(), bytes_of(message), message.size(), key->data()) == 0;
}

Result<std::string> pin_check_of(std::string_view pin)
{
    if (!sodium_ready()) return failure(Fault::io, "This machine has no source of random numbers.");
    if (pin.empty()) return failure(Fault::bad_input, "A PIN has at least one character.");
    std::array<char, crypto_pwhash_STRBYTES> text{};
    if (crypto_pwhash_str(text.data(), pin.data(), pin.size(), crypto_pwhash_OPSLIMIT_INTERACTIVE,
                          crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0)
        return failure(Fault::io, "There is not enough memory to keep the PIN safely; close other programs.");
    return std::string(text.data());
}

bool pin_fits(std::string_view pin, const std::string& pin_check)
{
    if (!sodium_ready() || pin_check.size() >= crypto_pwhash_STRBYTES) return false;
    return crypto_pwhash_str_verify(pin_check.c_str(), pin.data(), pin.size()) == 0;
}

} // namespace engine
