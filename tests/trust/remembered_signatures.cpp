// The simulation meets every line in every book. A check of libsodium that was made once in this program is
// remembered by key, message and signature, all three whole; nothing of ours is bypassed, the linker puts
// this between our code and the library (-Wl,--wrap), in this program only.
#include <sodium.h>

#include <string>
#include <unordered_map>

extern "C" {
// The linker's names.
// NOLINTNEXTLINE(bugprone-reserved-identifier,readability-identifier-naming)
int __real_crypto_sign_verify_detached(const unsigned char* signature, const unsigned char* message,
                                       unsigned long long size, const unsigned char* key);
// NOLINTNEXTLINE(bugprone-reserved-identifier,readability-identifier-naming)
int __wrap_crypto_sign_verify_detached(const unsigned char* signature, const unsigned char* message,
                                       unsigned long long size, const unsigned char* key);
// NOLINTNEXTLINE(bugprone-reserved-identifier,readability-identifier-naming)
int __wrap_crypto_sign_verify_detached(const unsigned char* signature, const unsigned char* message,
                                       unsigned long long size, const unsigned char* key)
{
    static std::unordered_map<std::string, int> known;
    const auto                                  text = [](const unsigned char* bytes, std::size_t length) {
        return std::string(reinterpret_cast<const char*>(bytes), length);
    };
    std::string asked = text(key, crypto_sign_PUBLICKEYBYTES) + text(signature, crypto_sign_BYTES) +
                        text(message, static_cast<std::size_t>(size));
    if (const auto at = known.find(asked); at != known.end()) return at->second;
    const int answer = __real_crypto_sign_verify_detached(signature, message, size, key);
    known.emplace(std::move(asked), answer);
    return answer;
}
}
