#include "sync/check_shared.h"

#include "engine/book/photos.h"
#include "sync/head.h"
#include "sync/listing.h"
#include "sync/segment.h"

#include <nlohmann/json.hpp>

#include <set>

namespace share {
namespace {

using engine::Entry;
using engine::Fault;

class Checker {
  public:
    Checker(Folder& folder, Listing listing, const std::function<bool(std::size_t, std::size_t)>& progress)
        : folder_(&folder), listing_(std::move(listing)), progress_(&progress)
    {
        report_.files   = listing_.files;
        report_.foreign = listing_.foreign;
    }

    [[nodiscard]] engine::Result<SharedReport> run()
    {
        for (const auto& [devid, files] : listing_.machines) {
            if (!goes_on()) break;
            machine(devid, files);
        }
        photos();
        if (trouble_) return engine::Failure{*trouble_};
        report_.ended = !stopped_;
        return std::move(report_);
    }

  private:
    [[nodiscard]] bool goes_on() const { return !stopped_ && !trouble_; }

    void machine(const std::string& devid, const MachineListing& files)
    {
        at_ = {devid, "", "", 0};
        ids_.clear();
        gap_named_ = false;
        for (const SegmentName& name : files.segments)
            if (goes_on()) segment(name);
        for (const HeadName& name : files.heads)
            if (goes_on()) head(name);
        at_.last_seq = ids_.size();
        report_.machines.push_back(at_);
    }

    void segment(const SegmentName& name)
    {
        const auto bytes = read(path_of(at_.devid, name), kLargestSegment);
        if (!bytes) return;
        const OpenedSegment opened = open_segment(*bytes, name, at_.devid, at_.plant);
        if (!opened.hash_fits)
            return broken("the file of " + entries_text(name.first, name.last) +
                          " does not have the hash in its name");
        if (opened.state != State::ok) return broken(opened.sentence);
        ++report_.segments;
        report_.signatures += opened.entries.size();
        at_.plant = opened.entries.front().plant;
        for (const Entry& entry : opened.entries)
            if (!chained(entry)) return;
    }

    [[nodiscard]] bool chained(const Entry& entry)
    {
        const std::string where = "entry " + std::to_string(entry.seq);
        if (entry.seq > ids_.size() + 1) {
            if (!gap_named_) broken("missing: " + entries_text(ids_.size() + 1, entry.seq - 1));
            gap_named_ = true;
            return false;
        }
        if (entry.seq <= ids_.size()) {
            if (ids_[entry.seq - 1] == entry.id) return true;
            broken("two different entries are signed as " + where + ": one identity is used on two machines");
            return false;
        }
        const bool first = entry.seq == 1 && entry.said.kind == engine::kind::genesis;
        if (entry.prev != (ids_.empty() ? std::string(64, '0') : ids_.back()) || (entry.seq == 1 && !first)) {
            broken(where + " does not follow the one before it");
            return false;
        }
        if (first && entry.body().contains("name") && entry.body().at("name").is_string())
            at_.name = entry.body().at("name").get<std::string>();
        ids_.push_back(entry.id);
        ++report_.entries;
        for (const std::string& sha256 : photos_of(entry))
            named_.insert(sha256);
        return true;
    }

    void head(const HeadName& name)
    {
        const auto bytes = read(path_of(at_.devid, name), kLargestHead);
        if (!bytes) return;
        const auto opened = open_head(*bytes, name, at_.devid);
        if (!opened) return broken("head " + std::to_string(name.size) + ": " + opened.error().message);
        ++report_.heads;
        if (opened->size > ids_.size()) {
            if (!gap_named_)
                broken("missing: " + entries_text(ids_.size() + 1, opened->size) +
                       ", which a signed head says were there");
            gap_named_ = true;
        } else if (ids_[opened->size - 1] != opened->id || opened->plant != at_.plant)
            broken("the head at entry " + std::to_string(opened->size) + " names another record");
    }

    void photos()
    {
        at_ = {};
        std::set<std::string> whole;
        for (const auto& [sha256, copies] : listing_.photos)
            for (const PhotoName& name : copies) {
                if (!goes_on()) return;
                const auto bytes = read(path_of(name), engine::kLargestPhoto);
                if (!bytes) continue;
                if (engine::hex(engine::sha256(*bytes)) != sha256) {
                    broken("the photo " + sha256.substr(0, 8) + " does not have the hash in its name");
                    continue;
                }
                ++report_.photos;
                whole.insert(sha256);
            }
        for (const std::string& sha256 : named_)
            if (whole.count(sha256) == 0) ++report_.photos_missing;
    }

    void broken(const std::string& what)
    {
        ++report_.breaks;
        report_.whole = false;
        if (!report_.first_break.empty()) return;
        const std::string who = !at_.name.empty() ? at_.name : at_.devid.empty() ? "Photos" : at_.devid;
        report_.first_break   = who + ": " + what + (what.back() == '.' ? "" : ".");
    }

    [[nodiscard]] std::optional<std::vector<unsigned char>> read(const std::string& path, std::size_t most)
    {
        ++done_;
        if (*progress_ && !(*progress_)(done_, listing_.files)) stopped_ = true;
        auto bytes = folder_->read(path, most);
        if (bytes) {
            report_.bytes += bytes->size();
            return std::move(*bytes);
        }
        if (!folder_->list(".", kMostNames))
            trouble_ = bytes.error();
        else
            broken(bytes.error().message);
        return std::nullopt;
    }

    Folder*                                              folder_;
    Listing                                              listing_;
    const std::function<bool(std::size_t, std::size_t)>* progress_;
    SharedReport                                         report_;
    SharedMachine                                        at_;
    std::vector<std::string>                             ids_; ///< of the machine, by sequence
    std::set<std::string>                                named_;
    std::optional<engine::Error>                         trouble_;
    std::size_t                                          done_      = 0;
    bool                                                 gap_named_ = false, stopped_ = false;
};

} // namespace

engine::Result<SharedReport>
check_shared(Folder& folder, const std::function<bool(std::size_t done, std::size_t all)>& progress)
{
    auto listing = list_folder(folder, "");
    if (!listing) return listing.failure();
    if (!listing->begun)
        return engine::failure(Fault::not_found, "There is no exchange folder (" + std::string(kRoot) +
                                                     ") in that place; name the folder the machines share.");
    return Checker(folder, std::move(*listing), progress).run();
}

} // namespace share
