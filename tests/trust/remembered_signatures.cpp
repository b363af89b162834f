// The simulation meets every line in every book, and a flip leaves all lines but one as they were. A
// signature libsodium found good once in this program is remembered by key, message and signature, all three
// whole; nothing of ours is bypassed, the linker puts this between our code and the library (-Wl,--wrap), in
// these programs only.
#include <sodium.h>

#include <mutex>
#include <string>
#include <unordered_set>

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
    static std::mutex                      turn;
    static std::unordered_set<std::string> good;
    const auto                             text = [](const unsigned char* bytes, std::size_t length) {
        return std::string(reinterpret_cast<const char*>(bytes), length);
    };
    std::string asked = text(key, crypto_sign_PUBLICKEYBYTES) + text(signature, crypto_sign_BYTES) +
                        text(message, static_cast<std::size_t>(size));
    {
        const std::scoped_lock one(turn);
        if (good.count(asked) > 0) return 0;
    }
    const int answer = __real_crypto_sign_verify_detached(signature, message, size, key);
    if (answer != 0) return answer;
    const std::scoped_lock one(turn);
    good.insert(std::move(asked));
    return answer;
}
}
