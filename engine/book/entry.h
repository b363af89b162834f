#pragma once
// One signed line of the book. Canonical bytes and signature: FORMAT.md sections 1 to 3.
#include "engine/base/result.h"
#include "engine/book/body.h"
#include "engine/book/seal.h"

#include <nlohmann/json_fwd.hpp>

#include <array>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

/// Kinds for ever: old books hold them. Names in entries are the spelling here.
namespace kind {
inline constexpr const char* genesis     = "genesis"; ///< first entry of a machine: its name
inline constexpr const char* unit        = "unit";    ///< a sheet (newest revision wins)
inline constexpr const char* person      = "person";
inline constexpr const char* instrument  = "instrument";
inline constexpr const char* job_open    = "job.open";
inline constexpr const char* reading     = "reading";    ///< a value as entered, with all rule 8 asks for
inline constexpr const char* choice      = "choice";     ///< a named choice
inline constexpr const char* code        = "code";       ///< a tag, lock or serial number
inline constexpr const char* photo       = "photo";      ///< names a photo by its hash
inline constexpr const char* done        = "done";       ///< closes a step
inline constexpr const char* back_off    = "back.off";   ///< nut loosened: position returns to zero
inline constexpr const char* problem     = "problem";    ///< fitter cannot go on: reason named
inline constexpr const char* deviation   = "deviation";  ///< asks to go on in spite of a verdict, or to skip
inline constexpr const char* decision    = "decision";   ///< supervisor's yes or no to a hold or deviation
inline constexpr const char* correction  = "correction"; ///< new value for an older reading, with reason
inline constexpr const char* handover    = "handover";   ///< another fitter goes on
inline constexpr const char* countersign = "countersign";
inline constexpr const char* job_return  = "return";  ///< supervisor sends the record back
inline constexpr const char* witness     = "witness"; ///< another machine's lines were read and verified
inline constexpr const char* set_aside   = "import.refused";
inline constexpr const char* clock_step  = "clock";
inline constexpr const char* trust       = "trust";  ///< this machine trusts a plant key
inline constexpr const char* retire      = "retire"; ///< last word of a key; names its successor
inline constexpr const char* fork        = "fork";   ///< two entries of one identity were seen
inline constexpr const char* plant = "plant"; ///< this machine belongs to this plant: FORMAT.md section 10
inline constexpr const char* pin_refused = "pin.refused"; ///< a wrong PIN was given for a badge
inline constexpr const char* job_end     = "job.end";     ///< the job is not gone on with, with reason
} // namespace kind

[[nodiscard]] std::string  hex(const Hash& hash);
[[nodiscard]] Result<Hash> hash_from_hex(std::string_view text);
/// Lower-case digits, two a byte. False: not as many digits as the bytes take, or something else among them.
[[nodiscard]] std::string hex_of_bytes(std::span<const unsigned char> bytes);
[[nodiscard]] bool        bytes_from_hex(std::string_view digits, std::span<unsigned char> bytes);

/// What the writer says; the book adds the envelope (sequence, hashes, clock, signature).
struct Draft {
    std::string              actor; ///< badge of the person
    std::string              kind;
    std::string              job;  ///< job number, or empty
    std::string              pos;  ///< position letter, or empty
    std::string              step; ///< step key, or empty
    std::vector<std::string> refs; ///< ids of entries this one answers
    Body                     body; ///< payload object "d"; integers, strings, booleans, arrays, objects only
};

struct Entry {
    std::string   id;      ///< hex SHA-256 of the canonical JSON bytes
    std::string   dev;     ///< 64 hex: public key of the machine
    std::uint64_t seq = 0; ///< 1, 2, 3 ... per machine
    std::string   prev;    ///< id of the machine's entry before, 64 zeros at the first
    std::int64_t  hlc_ms  = 0;
    std::int64_t  hlc_c   = 0;
    std::int64_t  wall_ms = 0;
    int           tz_min  = 0;
    std::int64_t  mono_ms = 0; ///< of this boot
    std::string   boot;        ///< changes with every start of the machine
    std::string   tq;          ///< worth of the wall clock: "unset" | "manual" | "ntp"
    std::string   plant;
    Draft         said;
    std::string   line; ///< the signed line as stored, without LF: `<128 hex signature> SP <canonical JSON>`

    [[nodiscard]] const nlohmann::json& body() const { return *said.body; }
};

/// An entry about a job in short: what is kept beside its line.
struct Brief {
    std::uint64_t seq = 0;
    std::string   job;
    bool          photo   = false;
    std::int64_t  wall_ms = 0;
};

/// The order in which every reader shows entries: topological by prev and refs, ties by (hlc_ms, hlc_c, dev,
/// seq, id). hlc already respects prev and refs, so sorting by the tie rule is the topological order.
[[nodiscard]] bool shown_before(const Entry& a, const Entry& b);

} // namespace engine
