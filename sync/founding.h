#pragma once
// A plant from its first minute: its key, its first planner, this machine as the planner's.
// engine/book/FORMAT.md sections 9 and 10.
#include "engine/book/book.h"

#include <filesystem>
#include <string>

namespace share {

struct Founding {
    std::filesystem::path key_file; ///< of the plant key; made, never overwritten
    std::string           passphrase;
    bool                  quick = false; ///< 64 MiB instead of 256 MiB for the passphrase
    std::string           badge, pin;    ///< of the first planner
};
/// A name a plant or machine may have: it stands in codes and signed notes. Fault::bad_input.
[[nodiscard]] engine::Status good_name(const std::string& what, const std::string& name);

/// Into a book that is made for the plant (BookOptions::mark) and holds nothing yet. The plant key, to go on
/// with. Takes a moment on purpose. Faults: bad_input (badge, PIN, passphrase), conflict (enrolled already,
/// or the key file is there), io.
[[nodiscard]] engine::Result<engine::MachineKey> found(engine::Book& book, const Founding& founding,
                                                       std::int64_t now_ms);

/// One more person of the plant, with a signing key on this machine.
struct NewPerson {
    std::string badge, role, pin, pin_check; ///< pin_check empty: nothing to compare the PIN with
};
[[nodiscard]] engine::Status enrol_person(engine::Book& book, const engine::MachineKey& plant_key,
                                          const NewPerson& person, std::int64_t now_ms);

} // namespace share
