#include "sync/check_shared.h"

#include "engine/book/merkle.h"
#include "engine/book/photos.h"
#include "engine/book/roster.h"
#include "sync/head.h"
#include "sync/listing.h"
#include "sync/plant_file.h"
#include "sync/segment.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <deque>
#include <future>
#include <map>
#include <set>

namespace share {
namespace {

using engine::Entry;
using engine::Fault;

constexpr std::size_t kAhead = 6; ///< files at once in memory, 1 MiB each at most

class SharedChecker {
  public:
    SharedChecker(Folder& folder, Listing listing,
                  const std::function<bool(std::size_t, std::size_t)>& progress,
                  std::set<std::string>&                               proved)
        : folder_(&folder), listing_(std::move(listing)), progress_(&progress), proved_(&proved),
          proved_before_(proved)
    {
        report_.files   = listing_.files;
        report_.foreign = listing_.foreign;
    }

    [[nodiscard]] engine::Result<SharedReport> run()
    {
        plant_files();
        roster();
        for (const auto& [devid, files] : listing_.machines) {
            if (!goes_on()) break;
            machine(devid, files);
        }
        at_ = {};
        witnesses();
        photos();
        if (trouble_) return engine::Failure{*trouble_};
        report_.ended          = !stopped_;
        report_.plant.enrolled = roster_.enrolled();
        return std::move(report_);
    }

  private:
    [[nodiscard]] bool goes_on() const { return !stopped_ && !trouble_; }

    void plant_files()
    {
        if (listing_.plants.size() > 1) broken("R10", "it says that it is of two plants");
        for (const std::string& id : listing_.plants) {
            const auto bytes = read(plant_path(id), kLargestPlantFile);
            if (!bytes) continue;
            const auto plant = folder_plant_in({reinterpret_cast<const char*>(bytes->data()), bytes->size()});
            if (!plant || plant->mark.id != id)
                broken(plant ? "R13" : "R02", "the file that says whose folder it is is damaged");
            else if (report_.plant.mark.id.empty())
                report_.plant = {plant->name, plant->mark, false};
        }
    }

    /// The first that says which plant it is of is believed; what says another one is a break.
    void of_one_plant(const engine::PlantMark& mark, const std::string& where)
    {
        engine::PlantMark& known = report_.plant.mark;
        if (known.id.empty()) known = mark;
        if (!mark.id.empty() && mark.id != known.id) broken("R10", where + " is of another plant");
    }

    void roster()
    {
        for (const RosterName& name : listing_.roster) {
            const auto bytes = read(path_of(name), engine::kLongestStatement + 1);
            if (!bytes) continue;
            const std::string where = "statement " + std::to_string(name.seq) + " of the enrolment list ";
            if (engine::hex(engine::sha256(*bytes)).substr(0, 32) != name.hash32) {
                broken("R01", where + "does not have the hash in its name");
                continue;
            }
            const std::string text(bytes->begin(), bytes->end());
            const auto        statement = !text.empty() && text.back() == '\n'
                                              ? engine::open_statement(text.substr(0, text.size() - 1))
                                              : engine::open_statement("");
            if (!statement || statement->seq != name.seq) {
                broken(statement ? "R13" : code_of(statement.error().fault), where + "cannot be taken");
                continue;
            }
            if (!roster_.trusts()) roster_ = engine::Roster(statement->plant, statement->by);
            const engine::Status applied = roster_.apply(*statement);
            if (!applied)
                broken(code_of(applied.error().fault), applied.error().message);
            else if (statement->seq == 1)
                of_one_plant(roster_.mark(), "the enrolment list");
        }
        report_.statements = roster_.seq();
    }

    static const char* code_of(Fault fault)
    {
        if (fault == Fault::conflict) return "R12";
        if (fault == Fault::bad_signature || fault == Fault::unknown_signer) return "R06";
        if (fault == Fault::unsupported) return "R03";
        return fault == Fault::corrupt ? "R07" : "R02";
    }

    void machine(const std::string& devid, const MachineListing& files)
    {
        at_ = {devid, "", "", 0};
        leaves_.clear();
        dev_.clear();
        ids_.clear();
        gap_named_ = false;
        segments(files.segments);
        for (const HeadName& name : files.heads)
            if (goes_on()) head(name);
        at_.last_seq = ids_.size();
        report_.machines.push_back(at_);
        if (!dev_.empty()) records_[dev_] = {at_.name, std::move(ids_), std::move(leaves_)};
        ids_.clear();
        leaves_.clear();
    }

    /// Some files are opened by other threads while one is read and another put into its chain: signatures
    /// are what it takes. What is wrong is told in the order of the names.
    void segments(const std::vector<SegmentName>& names)
    {
        struct Ahead {
            SegmentName                                name;
            engine::Result<std::vector<unsigned char>> bytes;
            std::future<OpenedSegment>                 opened;
        };
        std::deque<Ahead> ahead;
        for (auto next = names.begin(); goes_on() && (next != names.end() || !ahead.empty());) {
            for (; next != names.end() && ahead.size() < kAhead; ++next) {
                ahead.push_back({*next, folder_->read(path_of(at_.devid, *next), kLargestSegment), {}});
                Ahead& begun = ahead.back(); // a deque moves nothing
                if (begun.bytes)
                    begun.opened = std::async([this, &begun] {
                        return open_segment(*begun.bytes, begun.name, at_.devid, "", &proved_before_);
                    });
            }
            if (came(ahead.front().bytes)) segment(ahead.front().name, ahead.front().opened.get());
            ahead.pop_front();
        }
    }

    void segment(const SegmentName& name, const OpenedSegment& opened)
    {
        if (!opened.hash_fits)
            return broken("R01", "the file of " + entries_text(name.first, name.last) +
                                     " does not have the hash in its name");
        if (opened.state != State::ok) return broken(opened.code, opened.sentence);
        ++report_.segments;
        report_.signatures += opened.entries.size();
        if (!proved_->insert(opened.sha256).second) report_.taken_over += opened.entries.size();
        const Entry& first = opened.entries.front();
        if (!at_.plant.empty() && first.plant != at_.plant)
            return broken("R10", "entry " + std::to_string(first.seq) + " belongs to another plant (" +
                                     first.plant + ")");
        at_.plant = first.plant;
        for (const Entry& entry : opened.entries)
            if (!chained(entry)) return;
    }

    [[nodiscard]] bool chained(const Entry& entry)
    {
        const std::string where = "entry " + std::to_string(entry.seq);
        if (entry.seq > ids_.size() + 1) {
            if (!gap_named_) broken("R07", "missing: " + entries_text(ids_.size() + 1, entry.seq - 1));
            gap_named_ = true;
            return false;
        }
        if (entry.seq <= ids_.size()) {
            if (ids_[entry.seq - 1] == entry.id) return true;
            broken("R08",
                   "two different entries are signed as " + where + ": one identity is used on two machines");
            return false;
        }
        const bool first = entry.seq == 1 && entry.said.kind == engine::kind::genesis;
        if (entry.prev != (ids_.empty() ? std::string(64, '0') : ids_.back()) || (entry.seq == 1 && !first)) {
            broken("R07", where + " does not follow the one before it");
            return false;
        }
        if (first && entry.body().contains("name") && entry.body().at("name").is_string())
            at_.name = entry.body().at("name").get<std::string>();
        ids_.push_back(entry.id);
        dev_                          = entry.dev;
        constexpr std::size_t kBodyAt = 129;
        leaves_.push_back(engine::leaf_hash(std::string_view(entry.line).substr(kBodyAt)));
        if (entry.said.kind == engine::kind::witness) note_witness(entry);
        if (first || entry.said.kind == engine::kind::plant)
            of_one_plant(engine::plant_mark_in(entry.body()), where);
        if (report_.plant.name.empty()) report_.plant.name = entry.plant;
        if (!roster_.judge(entry).stands()) ++report_.set_aside;
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
        if (!opened)
            return broken(opened.error().fault == Fault::bad_input ? "R13" : head_code(opened.error()),
                          "head " + std::to_string(name.size) + ": " + opened.error().message);
        ++report_.heads;
        if (opened->size > ids_.size()) {
            if (!gap_named_)
                broken("R07", "missing: " + entries_text(ids_.size() + 1, opened->size) +
                                  ", which a signed head says were there");
            gap_named_ = true;
        } else if (ids_[opened->size - 1] != opened->id || opened->plant != at_.plant ||
                   (opened->root && *opened->root != root_of(opened->size)))
            broken("R08", "the head at entry " + std::to_string(opened->size) + " names another record");
    }

    static const char* head_code(const engine::Error& error)
    {
        if (error.fault == Fault::bad_signature) return "R06";
        return error.message.find("hash") != std::string::npos ? "R01" : "R02";
    }

    /// Heads come in growing size.
    [[nodiscard]] engine::Hash root_of(std::uint64_t size)
    {
        if (edge_.size() > size || edge_dev_ != dev_) edge_ = {};
        edge_dev_ = dev_;
        while (edge_.size() < size)
            edge_.append(leaves_[edge_.size()]);
        return edge_.root();
    }

    void note_witness(const Entry& entry)
    {
        const nlohmann::json& body = entry.body();
        const auto            text = [&](const char* key) {
            const auto at = body.find(key);
            return at != body.end() && at->is_string() ? at->get<std::string>() : std::string();
        };
        const auto seq = body.find("seq");
        if (seq == body.end() || !seq->is_number_integer() || seq->get<std::int64_t>() < 1) return;
        seen_[text("dev")].push_back({at_.name, seq->get<std::uint64_t>(), text("id"), text("root")});
    }

    /// What machines say they have read, held against what lies here.
    void witnesses()
    {
        for (auto& [dev, all] : seen_) {
            const auto record = records_.find(dev);
            std::sort(all.begin(), all.end(), [](const Seen& a, const Seen& b) { return a.seq < b.seq; });
            engine::TreeEdge edge;
            for (const Seen& one : all) {
                ++report_.witnesses;
                const std::size_t have = record == records_.end() ? 0 : record->second.ids.size();
                at_.name               = record == records_.end() ? dev.substr(0, 16) : record->second.name;
                if (have < one.seq) {
                    broken("R07",
                           "missing: " + entries_text(have + 1, one.seq) + ", which " + one.by + " has read");
                    break;
                }
                while (edge.size() < one.seq)
                    edge.append(record->second.leaves[edge.size()]);
                const bool same = (one.id.empty() || record->second.ids[one.seq - 1] == one.id) &&
                                  (one.root.empty() || engine::hex(edge.root()) == one.root);
                if (same) continue;
                broken("R08", "the record up to entry " + std::to_string(one.seq) + " is not the one " +
                                  one.by + " has read: it was rewritten since");
                break;
            }
        }
    }

    void photos()
    {
        at_      = {};
        at_.name = "Photos";
        std::set<std::string> whole;
        for (const auto& [sha256, copies] : listing_.photos)
            for (const PhotoName& name : copies) {
                if (!goes_on()) return;
                const auto bytes = read(path_of(name), engine::kLargestPhoto);
                if (!bytes) continue;
                if (engine::hex(engine::sha256(*bytes)) != sha256) {
                    broken("R11", "the photo " + sha256.substr(0, 8) + " does not have the hash in its name");
                    continue;
                }
                ++report_.photos;
                whole.insert(sha256);
            }
        for (const std::string& sha256 : named_)
            if (whole.count(sha256) == 0) ++report_.photos_missing;
    }

    void broken(const std::string& code, const std::string& what)
    {
        ++report_.breaks;
        report_.whole         = false;
        const std::string who = !at_.name.empty() ? at_.name : at_.devid.empty() ? "Folder" : at_.devid;
        const std::string all = who + ": " + what + (what.back() == '.' ? "" : ".");
        if (report_.list.size() < kMostBreaks) report_.list.push_back({code, all});
        if (report_.first_break.empty()) report_.first_break = all;
        report_.last_break = all;
    }

    [[nodiscard]] std::optional<std::vector<unsigned char>> read(const std::string& path, std::size_t most)
    {
        auto bytes = folder_->read(path, most);
        if (!came(bytes)) return std::nullopt;
        return std::move(*bytes);
    }

    /// One more file is done; whether it could be read.
    bool came(const engine::Result<std::vector<unsigned char>>& bytes)
    {
        ++done_;
        if (*progress_ && !(*progress_)(done_, listing_.files)) stopped_ = true;
        if (bytes) {
            report_.bytes += bytes->size();
            return true;
        }
        if (!folder_->list(".", kMostNames))
            trouble_ = bytes.error();
        else
            broken(bytes.error().fault == Fault::out_of_range ? "R02" : "R13", bytes.error().message);
        return false;
    }

    Folder*                                              folder_;
    Listing                                              listing_;
    const std::function<bool(std::size_t, std::size_t)>* progress_;
    std::set<std::string>*                               proved_;
    const std::set<std::string> proved_before_; ///< read by the threads that open files
    SharedReport                report_;
    SharedMachine               at_;
    std::vector<std::string>    ids_;    ///< of the machine, by sequence
    std::vector<engine::Hash>   leaves_; ///< likewise
    std::string                 dev_, edge_dev_;
    engine::TreeEdge            edge_;
    engine::Roster              roster_;
    struct Record {
        std::string               name;
        std::vector<std::string>  ids;
        std::vector<engine::Hash> leaves;
    };
    std::map<std::string, Record> records_; ///< by key
    struct Seen {
        std::string   by;
        std::uint64_t seq = 0;
        std::string   id, root;
    };
    std::map<std::string, std::vector<Seen>> seen_; ///< by key of the machine read
    std::set<std::string>                    named_;
    std::optional<engine::Error>             trouble_;
    std::size_t                              done_      = 0;
    bool                                     gap_named_ = false, stopped_ = false;
};

} // namespace

engine::Result<SharedReport>
check_shared(Folder& folder, const std::function<bool(std::size_t done, std::size_t all)>& progress,
             std::set<std::string>* proved)
{
    std::set<std::string> nothing;
    auto                  listing = list_folder(folder, "");
    if (!listing) return listing.failure();
    if (!listing->begun)
        return engine::failure(Fault::not_found, "There is no exchange folder (" + std::string(kRoot) +
                                                     ") in that place; name the folder the machines share.");
    return SharedChecker(folder, std::move(*listing), progress, proved != nullptr ? *proved : nothing).run();
}

} // namespace share
