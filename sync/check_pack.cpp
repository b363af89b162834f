#include "engine/book/codec.h"
#include "engine/book/merkle.h"
#include "engine/book/roster.h"
#include "engine/book/seal.h"
#include "sync/names.h"
#include "sync/pack.h"
#include "sync/pack_form.h"
#include "sync/segment.h"

#include <map>
#include <set>
#include <utility>

namespace share {

using engine::Entry;
using engine::Fault;

namespace {

constexpr std::size_t kBodyAt = 129; ///< behind signature and space

std::vector<std::string_view> lines_in(std::string_view text)
{
    std::vector<std::string_view> lines;
    for (std::size_t end = text.find('\n'); end != std::string_view::npos; end = text.find('\n')) {
        lines.push_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    if (!text.empty()) lines.push_back(text); // cut short: it will not open
    return lines;
}

class Checker {
  public:
    Checker(Folder& folder, const std::function<bool(std::size_t, std::size_t)>& progress)
        : folder_(&folder), progress_(&progress)
    {
    }

    engine::Result<PackReport> run()
    {
        const auto list = folder_->read(pack::kContents, kLargestPackFile);
        if (!list && list.error().fault == Fault::not_found)
            return engine::failure(Fault::not_found,
                                   "There is no pack in that folder, or it was cut off before it was whole.");
        if (!list) return list.failure();
        const auto contents = pack::opened({reinterpret_cast<const char*>(list->data()), list->size()});
        if (!contents) {
            broken(contents.error().message);
            return std::move(report_);
        }
        contents_      = *contents;
        report_.jobs   = contents_.jobs;
        report_.serial = contents_.serial;
        report_.plant  = contents_.plant;
        report_.maker  = contents_.dev;
        report_.people = contents_.people.size();
        lines_text_    = file(pack::kLines, contents_.lines_sha256);
        proofs_text_   = file(pack::kProofs, contents_.proofs_sha256);
        roster_text_   = file(pack::kRoster, contents_.roster_sha256);
        check_head(file(pack::kHead, contents_.head_sha256));
        check_lines();
        check_proofs();
        check_roster();
        check_completeness();
        check_photos();
        return std::move(report_);
    }

  private:
    void broken(std::string sentence)
    {
        ++report_.breaks;
        report_.whole = false;
        if (report_.first_break.empty()) report_.first_break = sentence;
        report_.last_break = std::move(sentence);
    }

    /// The bytes when they are what the list says; otherwise a break, and what can still be looked at.
    std::string file(const std::string& name, const std::string& sha256)
    {
        const auto bytes = folder_->read(name, kLargestPackFile);
        if (!bytes) {
            broken(name + " cannot be read: " + bytes.error().message);
            return {};
        }
        if (engine::hex(engine::sha256(*bytes)) != sha256)
            broken(name + " is not what the list of contents says.");
        return {bytes->begin(), bytes->end()};
    }

    void check_head(const std::string& text)
    {
        const std::vector<unsigned char> bytes(text.begin(), text.end());
        const HeadName name{contents_.head_size, engine::hex(engine::sha256(bytes)).substr(0, 32)};
        const auto     head = open_head(bytes, name, device_folder(contents_.dev));
        if (!head || !head->root || head->dev != contents_.dev || head->plant != contents_.plant)
            return broken("head.txt: " + (head ? "It is not the maker's head." : head.error().message));
        roots_[{head->dev, head->size}] = *head->root;
    }

    void check_lines()
    {
        const auto lines  = lines_in(lines_text_);
        const auto opened = engine::open_lines(lines);
        for (std::size_t i = 0; i < opened.size(); ++i) {
            const std::string where = "line " + std::to_string(i + 1) + " of lines.jsonl";
            if (!opened[i]) {
                broken(where + ": " + opened[i].error().message);
                continue;
            }
            ++report_.entries;
            ++report_.signatures;
            const Entry& entry = *opened[i];
            if (entry.plant != contents_.plant)
                broken(where + " belongs to another plant (" + entry.plant + ").");
            if (!entries_.emplace(entry.id, entry).second) broken(where + " stands there twice.");
            for (const std::string& sha256 : photos_of(entry))
                named_photos_.insert(sha256);
        }
        std::set<std::string> spoken_of;
        for (const auto& [id, entry] : entries_)
            spoken_of.insert(entry.said.job);
        for (const std::string& job : contents_.jobs)
            if (spoken_of.count(job) == 0) broken("No entry of job " + job + " is in the pack.");
    }

    /// The maker's own lines first: its witness entries carry the roots of the others.
    void check_proofs()
    {
        std::vector<pack::LineProof> others;
        std::size_t                  number = 0;
        for (const std::string_view line : lines_in(proofs_text_)) {
            ++number;
            const auto proof = pack::proof_in(line);
            if (!proof)
                broken("line " + std::to_string(number) + " of proofs.jsonl: " + proof.error().message);
            else if (proof->dev == contents_.dev)
                check_proof(*proof);
            else
                others.push_back(*proof);
        }
        for (const pack::LineProof& proof : others)
            check_proof(proof);
    }

    void check_proof(const pack::LineProof& proof)
    {
        const auto entry = entries_.find(proof.id);
        const auto root  = roots_.find({proof.dev, proof.size});
        const bool fits =
            entry != entries_.end() && entry->second.dev == proof.dev && entry->second.seq == proof.seq &&
            proof.seq > 0 && root != roots_.end() && root->second == proof.root &&
            engine::proves_inclusion(engine::leaf_hash(std::string_view(entry->second.line).substr(kBodyAt)),
                                     proof.seq - 1, proof.size, proof.beside, proof.root);
        if (!fits)
            return broken("The proof of entry " + std::to_string(proof.seq) + " of machine " +
                          device_folder(proof.dev) + " does not hold.");
        ++report_.proofs;
        const auto said = pack::witnessed_by(entry->second);
        if (proof.dev == contents_.dev && said.size > 0)
            roots_.emplace(std::pair(said.dev, said.size), said.root);
    }

    void check_roster()
    {
        for (const auto& [id, entry] : entries_)
            if (entry.dev == contents_.dev && entry.said.kind == engine::kind::genesis)
                report_.mark = engine::plant_mark_in(entry.body());
        engine::Roster roster;
        for (const std::string_view line : lines_in(roster_text_)) {
            const auto statement = engine::open_statement(line);
            if (!statement) return broken("roster.jsonl: " + statement.error().message);
            if (report_.statements == 0) roster = engine::Roster(contents_.plant, statement->by);
            if (const auto applied = roster.apply(*statement); !applied)
                return broken("roster.jsonl: " + applied.error().message);
            ++report_.statements;
        }
        report_.enrolled = roster.enrolled();
        if (roster.enrolled()) report_.mark = roster.mark();
        for (const auto& [id, entry] : entries_)
            if (!roster.judge(entry).stands()) aside_.insert(id);
        report_.set_aside = aside_.size();
    }

    void check_completeness()
    {
        std::map<std::string, std::vector<Entry>> by_job;
        std::vector<Entry>                        witnesses;
        for (const auto& [id, entry] : entries_) {
            if (entry.said.kind == engine::kind::witness) witnesses.push_back(entry);
            if (!entry.said.job.empty()) by_job[entry.said.job].push_back(entry);
        }
        for (const std::string& job : contents_.jobs) {
            auto found = pack::completeness_of(job, by_job[job], witnesses);
            if (found.broken &&
                !aside_.empty()) { // what a review covers had been set aside before it, or since
                auto standing = by_job[job];
                std::erase_if(standing, [this](const Entry& entry) { return aside_.count(entry.id) > 0; });
                auto without = pack::completeness_of(job, std::move(standing), witnesses);
                if (!without.broken) found = std::move(without);
            }
            if (found.broken) broken(found.sentence);
            report_.completeness.push_back(std::move(found));
        }
    }

    void check_photos()
    {
        std::set<std::string> listed;
        std::size_t           done = 0;
        for (const std::string& sha256 : contents_.photos) {
            if (*progress_ && !(*progress_)(done++, contents_.photos.size())) {
                report_.ended = false;
                return;
            }
            listed.insert(sha256);
            const auto bytes = folder_->read(pack::photo_path(sha256), kLargestPackPhoto);
            if (!bytes)
                broken("Photo " + sha256.substr(0, 16) + " cannot be read: " + bytes.error().message);
            else if (engine::hex(engine::sha256(*bytes)) != sha256)
                broken("Photo " + sha256.substr(0, 16) + " is not the one that was taken.");
            else
                ++report_.photos;
        }
        listed.insert(contents_.missing.begin(), contents_.missing.end());
        report_.photos_missing = contents_.missing.size();
        for (const std::string& sha256 : named_photos_)
            if (listed.count(sha256) == 0)
                broken("Photo " + sha256.substr(0, 16) +
                       " is named by an entry and not in the list of contents.");
    }

    Folder*                                              folder_;
    const std::function<bool(std::size_t, std::size_t)>* progress_;
    PackReport                                           report_;
    pack::Contents                                       contents_;
    std::string                                          lines_text_, proofs_text_, roster_text_;
    std::map<std::string, Entry>                         entries_; ///< by id
    std::set<std::string>                                aside_;   ///< ids the enrolment list lets not count
    std::set<std::string>                                named_photos_;
    std::map<std::pair<std::string, std::uint64_t>, engine::Hash> roots_; ///< by machine and size
};

} // namespace

engine::Result<PackReport> check_pack(Folder&                                              folder,
                                      const std::function<bool(std::size_t, std::size_t)>& progress)
{
    return Checker(folder, progress).run();
}

} // namespace share
