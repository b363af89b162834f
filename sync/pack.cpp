#include "sync/pack.h"

#include "engine/book/json_text.h"
#include "sync/enrolment.h"
#include "sync/names.h"
#include "sync/pack_form.h"
#include "sync/segment.h"

#include <algorithm>
#include <map>
#include <set>
#include <span>
#include <string_view>
#include <utility>

namespace share {

using engine::Entry;
using engine::failure;
using engine::Fault;
using engine::Status;

namespace {

constexpr std::size_t kMostBarred = 100'000;

std::span<const unsigned char> bytes_of(std::string_view text)
{
    return {reinterpret_cast<const unsigned char*>(text.data()), text.size()};
}

std::string hash_of(const std::string& text)
{
    return engine::hex(engine::sha256(text));
}

/// Every text value in `value`, whatever its key: the codes of sheets, instruments and machines are among
/// them.
void gather_texts(const nlohmann::json& value, std::set<std::string>& texts)
{
    if (value.is_string()) texts.insert(value.get<std::string>());
    if (value.is_structured())
        for (const auto& part : value)
            gather_texts(part, texts);
}

/// A sheet goes by its `code`, an instrument by its `tag`.
bool is_named(const Entry& entry, const std::set<std::string>& named)
{
    const std::string name =
        engine::text_in(entry.body(), entry.said.kind == engine::kind::instrument ? "tag" : "code");
    return !name.empty() && named.count(name) > 0;
}

class Packer {
  public:
    Packer(engine::Book& book, const PackWish& wish) : book_(&book), wish_(&wish) {}

    [[nodiscard]] Status gather()
    {
        std::set<std::string> named;
        for (const std::string& job : wish_->jobs) {
            const auto of_job = book_->entries_of_job(job);
            if (of_job.empty()) return failure(Fault::not_found, "The book knows no job " + job + ".");
            for (const Entry& entry : of_job) {
                gather_texts(entry.body(), named);
                if (pack::review_of(entry)) reviewed_by_.push_back(entry);
                take(entry);
            }
        }
        // What the roster sets aside was part of the record when it was reviewed: it goes along, and is
        // judged anew.
        for (const auto& barred : book_->barred(kMostBarred))
            for (const Entry& entry : book_->entries_of_machine(barred.dev, barred.seq, barred.seq))
                if (std::count(wish_->jobs.begin(), wish_->jobs.end(), entry.said.job) > 0) take(entry);
        for (const char* list : {engine::kind::unit, engine::kind::instrument})
            for (const Entry& entry : book_->entries_of_kind(list))
                if (is_named(entry, named)) take(entry);
        take_machines();
        if (!book_->trouble()) return book_->trouble();
        std::sort(entries_.begin(), entries_.end(), engine::shown_before);
        return engine::Unit{};
    }

    /// For each machine how much of its tree the proofs go up to: all of one's own, or what was witnessed.
    [[nodiscard]] Status prove(std::string& proofs, std::size_t& count) const
    {
        std::map<std::string, std::vector<const Entry*>> provable; // by machine
        for (const Entry& entry : entries_) {
            const auto size = sizes_.find(entry.dev);
            if (size != sizes_.end() && entry.seq <= size->second) provable[entry.dev].push_back(&entry);
        }
        for (const auto& [dev, entries] : provable) {
            std::vector<std::uint64_t> seqs;
            for (const Entry* const entry : entries)
                seqs.push_back(entry->seq);
            const auto found = book_->prove(dev, seqs, sizes_.at(dev));
            if (!found) return found.failure();
            for (std::size_t i = 0; i < entries.size(); ++i) {
                const auto& proof = (*found)[i];
                const auto  text =
                    pack::text_of({entries[i]->id, dev, proof.seq, proof.size, proof.root, proof.beside});
                if (!text) return text.failure();
                proofs.append(*text).append("\n");
            }
            count += entries.size();
        }
        return engine::Unit{};
    }

    /// Badge and role of everybody who acted, was handed the job, or is otherwise named; no name, no PIN.
    [[nodiscard]] std::map<std::string, std::string> people() const
    {
        std::map<std::string, std::string> found;
        for (const auto& [badge, person] : book_->catalogue().people)
            if (badges_.count(badge) > 0) found.emplace(badge, engine::name_of(person.role));
        return found;
    }

    [[nodiscard]] const std::vector<Entry>& entries() const { return entries_; }

  private:
    void take(const Entry& entry)
    {
        if (!ids_.insert(entry.id).second) return;
        badges_.insert(entry.said.actor);
        if (entry.said.kind == engine::kind::handover) badges_.insert(engine::text_in(entry.body(), "to"));
        entries_.push_back(entry);
    }

    /// First words of each machine that speaks, and the witness entry that covers what it says here.
    void take_machines()
    {
        std::map<std::string, std::uint64_t> last;
        for (const Entry& entry : entries_)
            last[entry.dev] = std::max(last[entry.dev], entry.seq);
        last.try_emplace(book_->device(), 1);
        for (const auto& [dev, seq] : last)
            for (const Entry& first : book_->entries_of_machine(dev, 1, 1))
                take(first);
        std::map<std::string, Entry> covering; // by dev: the nearest one
        witnesses_ = book_->entries_of_kind(engine::kind::witness);
        for (const auto& [dev, seq] : last)
            speakers_.insert(dev);
        for (const Entry& entry : witnesses_) {
            const auto said = pack::witnessed_by(entry);
            const auto of   = last.find(said.dev);
            if (entry.dev != book_->device() || of == last.end() || said.size < of->second) continue;
            const auto known = covering.find(said.dev);
            if (known == covering.end() || said.size < pack::witnessed_by(known->second).size)
                covering.insert_or_assign(said.dev, entry);
        }
        for (const auto& [dev, entry] : covering) {
            sizes_[dev] = pack::witnessed_by(entry).size;
            take(entry);
        }
        for (const Entry& entry : reviewed_by_)
            take_known_to(entry);
        for (const auto& machine : book_->machines())
            if (machine.self && machine.branch.empty()) sizes_[machine.dev] = machine.last_seq;
    }

    /// What the machine of a review had read of the others when it signed: its last witness of each before.
    void take_known_to(const Entry& review)
    {
        std::map<std::string, const Entry*> newest; // by the machine it speaks of
        for (const Entry& entry : witnesses_) {
            if (entry.dev != review.dev || entry.seq >= review.seq) continue;
            const Entry*& known = newest[engine::text_in(entry.body(), "dev")];
            if (known == nullptr || known->seq < entry.seq) known = &entry;
        }
        for (const auto& [dev, entry] : newest)
            if (speakers_.count(dev) > 0) take(*entry);
    }

    engine::Book*                        book_;
    const PackWish*                      wish_;
    std::vector<Entry>                   reviewed_by_; ///< countersignatures and returns
    std::vector<Entry>                   witnesses_;
    std::set<std::string>                speakers_; ///< machines whose entries are in
    std::set<std::string>                ids_, badges_;
    std::vector<Entry>                   entries_;
    std::map<std::string, std::uint64_t> sizes_;
};

/// The photos the entries name go out one by one; those not on this machine are named as missing.
Status put_photos(engine::Book& book, const std::vector<Entry>& entries, Folder& folder,
                  pack::Contents& contents, const std::function<bool(std::size_t, std::size_t)>& progress)
{
    std::set<std::string> named;
    for (const Entry& entry : entries)
        for (const std::string& sha256 : photos_of(entry))
            named.insert(sha256);
    std::size_t done = 0;
    for (const std::string& sha256 : named) {
        if (progress && !progress(done++, named.size()))
            return failure(Fault::refused, "The pack was stopped before it was whole; remove its folder.");
        const auto photo = book.photos().read(sha256);
        if (!photo) {
            contents.missing.push_back(sha256);
            continue;
        }
        if (Status put = folder.write_new(pack::photo_path(sha256), *photo, device_folder(book.device()));
            !put)
            return put;
        contents.photos.push_back(sha256);
    }
    return engine::Unit{};
}

constexpr const char* kReadmeText = R"(WITNESSMARK PACK, FORMAT 1

The signed record of some jobs, provable without the book it came from:

  witnessmark check --pack THIS_FOLDER

  contents.txt    what belongs to the pack, with the SHA-256 of each file, signed by the machine that made it
  lines.jsonl     the entries, signed by the machines that wrote them
  proofs.jsonl    for each entry the hashes beside its way up its machine's tree (RFC 6962)
  head.txt        root of the maker's tree, signed
  roster.jsonl    who is enrolled, signed by the plant key
  photos/         the photos, each named by its SHA-256

A line of lines.jsonl is: 128 hex digits (Ed25519 signature), a space, JSON. The signed message is
"witnessmark1/entry", a line feed, then the JSON exactly as it stands; the field "dev" is the public key.
contents.txt is signed alike, the message beginning with "witnessmark1/pack"; roster.jsonl with "witnessmark1/roster".
Compare the plant key's fingerprint with the paper in the shop: the program that shows a pack can be made by the
party that is audited.
)";

} // namespace

engine::Result<PackMade> make_pack(engine::Book& book, const PackWish& wish, Folder& folder,
                                   const engine::Clock&                                 clock,
                                   const std::function<bool(std::size_t, std::size_t)>& progress)
{
    const auto lies = folder.list(".", 1);
    if (!lies && lies.error().fault != Fault::not_found) return lies.failure();
    if (lies && !lies->empty())
        return failure(Fault::conflict, "The folder for the pack is not empty; name a new one.");
    const auto key = engine::MachineKey::load(book.file().string() + ".key");
    if (!key) return key.failure();

    Packer packer(book, wish);
    if (Status gathered = packer.gather(); !gathered) return gathered.failure();
    std::string lines, proofs, roster;
    for (const Entry& entry : packer.entries())
        lines.append(entry.line).append("\n");
    PackMade made;
    made.entries = packer.entries().size();
    if (Status proved = packer.prove(proofs, made.proofs); !proved) return proved.failure();
    for (const std::string& statement : book.statements())
        roster.append(statement).append("\n");

    pack::Contents contents;
    contents.plant  = book.plant();
    contents.dev    = book.device();
    contents.serial = wish.serial;
    contents.jobs   = wish.jobs;
    contents.at_ms  = clock.now().wall_ms;
    contents.people = packer.people();
    if (Status put = put_photos(book, packer.entries(), folder, contents, progress); !put)
        return put.failure();
    made.photos         = contents.photos.size();
    made.photos_missing = contents.missing.size();

    contents.head_size = last_entry_of(book, book.device());
    const auto last    = book.id_at(book.device(), contents.head_size);
    const auto root    = book.tree_root(book.device(), contents.head_size);
    if (!last || !root) return failure(Fault::corrupt, "The book's own chain could not be read to its end.");
    const HeadFile    head = make_head({book.plant(), book.device(), contents.head_size, *last, root}, *key);
    const std::string head_text(head.bytes.begin(), head.bytes.end());
    contents.lines_sha256  = hash_of(lines);
    contents.proofs_sha256 = hash_of(proofs);
    contents.roster_sha256 = hash_of(roster);
    contents.head_sha256   = hash_of(head_text);
    const auto list        = pack::sealed(contents, *key);
    if (!list) return list.failure();
    // The list of contents last: a pack that was cut off has none.
    const std::string writer = device_folder(book.device());
    for (const auto& [name, text] :
         std::initializer_list<std::pair<const char*, std::string_view>>{{pack::kReadme, kReadmeText},
                                                                         {pack::kLines, lines},
                                                                         {pack::kProofs, proofs},
                                                                         {pack::kRoster, roster},
                                                                         {pack::kHead, head_text},
                                                                         {pack::kContents, *list}})
        if (Status put = folder.write_new(name, bytes_of(text), writer); !put) return put.failure();
    return made;
}

} // namespace share
