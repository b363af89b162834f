#pragma once
// What one exchange did, in numbers and sentences.
#include "engine/base/result.h"
#include "sync/segment.h"

#include <cstdint>
#include <string>
#include <vector>

namespace share {

/// One thing that is not simply good. FORMAT.md section 6.
struct Finding {
    State       state = State::waiting;
    std::string code;               ///< "R06", or empty
    std::string machine;            ///< name, or its devid16
    std::string file;               ///< below `witnessmark1/`; empty when it is about no single file
    std::string sentence;           ///< whole, with the machine in front
    bool        first_time = false; ///< written into the book by this pass
};

struct MachineNews {
    std::string   dev, name;
    std::size_t   entries_in = 0;
    std::uint64_t last_seq   = 0;
};

struct Report {
    std::size_t              entries_out = 0, segments_out = 0, photos_out = 0;
    std::size_t              entries_in = 0, segments_in = 0, photos_in = 0;
    std::size_t              photos_waiting = 0; ///< named in the record, not here and not in the folder
    std::size_t              photos_left    = 0; ///< gone from this machine: the folder has them
    std::size_t              foreign        = 0; ///< R13: names that are not ours, left alone
    std::size_t              files          = 0; ///< of ours in the folder
    std::uint64_t            bytes_out = 0, bytes_in = 0;
    std::vector<MachineNews> machines; ///< those that brought entries
    std::vector<Finding>     findings;
    bool                     begun    = false; ///< the folder was empty: it was begun by this pass
    bool                     finished = false; ///< false: stopped half-way, the next pass goes on

    [[nodiscard]] std::size_t count(State state) const;
    /// Something was set aside: refused or fork.
    [[nodiscard]] bool set_aside() const { return count(State::refused) + count(State::fork) > 0; }
    [[nodiscard]] bool nothing_moved() const
    {
        return entries_out + entries_in + photos_out + photos_in + segments_out == 0;
    }
};

[[nodiscard]] const char* state_name(State state); ///< "ok", "waiting", "unfinished", "refused", "fork"

} // namespace share
