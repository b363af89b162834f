#pragma once
// What the screens about the plant and its list are worked out from: plain data, gathered by the app.
#include "engine/book/roster.h"
#include "sync/enrolment.h"

#include <cstdint>
#include <map>
#include <string>

namespace field::screens {

struct PlantGlance {
    const engine::Roster*                roster = nullptr; ///< never null on a screen
    share::EnrolCode                     own;              ///< of this tablet
    std::map<std::string, std::uint64_t> last;             ///< last entry in this book, by dev

    share::FolderOffer offer;
    bool               folder_set = false;
    bool               looking    = false; ///< into the folder, beside the screen
    bool               looked     = false;
    std::string        trouble; ///< why the folder could not be looked into

    std::string key_file;        ///< name of the plant key's file, once found
    std::string key_trouble;     ///< why there is none, one sentence
    bool        signing = false; ///< the passphrase is being tried, which takes a second on purpose

    [[nodiscard]] bool enrolled(const std::string& dev) const
    {
        const auto found = roster->machines().find(dev);
        return found != roster->machines().end() && !found->second.revoked;
    }
};

} // namespace field::screens
