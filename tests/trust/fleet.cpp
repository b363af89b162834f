#include "tests/trust/fleet.h"

namespace trust {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;
using support::FakeClock;

Device Device::made(int number, unsigned seed, std::mt19937& random)
{
    constexpr std::int64_t        kTwoDays = 172'800'000;
    std::array<unsigned char, 32> key{};
    const unsigned                mixed = static_cast<unsigned>(number) + 1'000'003U * seed;
    for (std::size_t k = 0; k < 4; ++k)
        key[k] = static_cast<unsigned char>(mixed >> (8 * k));
    key[31]          = 1;
    const bool unset = random() % 50 == 0;
    const auto off   = static_cast<std::int64_t>(random() % (2 * kTwoDays)) - kTwoDays;
    return {engine::MachineKey::from_seed(key), {}, 0, unset ? -FakeClock::kStart : off};
}

void Device::say(std::int64_t now, int value)
{
    engine::Entry entry;
    entry.dev       = key.device();
    entry.seq       = said.size() + 1;
    entry.prev      = said.empty() ? std::string(64, '0') : said.back().id;
    entry.wall_ms   = now + skew;
    const auto last = said.empty() ? std::pair<std::int64_t, std::int64_t>{0, -1}
                                   : std::pair{said.back().hlc_ms, said.back().hlc_c};
    entry.hlc_ms    = std::max(entry.wall_ms, last.first);
    entry.hlc_c     = entry.wall_ms > last.first ? 0 : last.second + 1;
    entry.tq        = "manual";
    entry.said.kind = said.empty() ? engine::kind::genesis : engine::kind::reading;
    entry.said.job  = said.empty() ? "" : "2219";
    entry.said.body = std::make_shared<const nlohmann::json>(said.empty() ? nlohmann::json{{"name", "S"}}
                                                                          : nlohmann::json{{"value", value}});
    REQUIRE(engine::seal_entry(entry, key, "saltmarsh"));
    said.push_back(std::move(entry));
}

void Device::publish(MemoryFolder& folder, std::mt19937& random)
{
    while (sent < said.size()) {
        const std::vector<engine::Entry> rest(said.begin() + static_cast<std::ptrdiff_t>(sent), said.end());
        const auto                       segment = share::cut_segment(rest);
        const std::string                devid   = share::device_folder(key.device());
        const std::string                path    = share::path_of(devid, segment.name);
        auto                             again   = segment.name;
        again.copy                               = 2;
        const bool torn                          = random() % 25 == 0;
        folder.files[path] =
            torn ? MemoryFolder::Bytes(segment.bytes.begin(), segment.bytes.begin() + 40) : segment.bytes;
        if (torn || random() % 20 == 0) folder.files[share::path_of(devid, again)] = segment.bytes;
        if (random() % 20 == 0) folder.files[path + ".sync-conflict-20261125"] = segment.bytes;
        sent += segment.name.last - segment.name.first + 1;
    }
}

Result<std::vector<share::FolderItem>> View::list(const std::string& path, std::size_t most)
{
    if (!all && one_in(6))
        if (const auto old = listed_.find(path); old != listed_.end()) return old->second;
    auto found = truth_->list(path, most);
    if (!found || all) return found;
    std::erase_if(*found, [&](const auto& item) {
        return item.sort == share::FolderItem::Sort::file &&
               std::hash<std::string>{}(path + item.name + std::to_string(random_() % 5)) % 3 == 0;
    });
    listed_[path] = *found;
    return found;
}

Result<std::vector<unsigned char>> View::read(const std::string& path, std::size_t most)
{
    auto bytes = truth_->read(path, most);
    if (bytes && !all && one_in(9)) bytes->resize(bytes->size() / 2); // still on its way
    return bytes;
}

Status View::write_new(const std::string& path, std::span<const unsigned char> bytes,
                       const std::string& writer)
{
    if (!all && one_in(20)) return failure(Fault::io, "the share went away");
    return truth_->write_new(path, bytes, writer);
}

Status View::remove_temporary(const std::string& path, const std::string& writer)
{
    return truth_->remove_temporary(path, writer);
}

Reader::Reader(const support::TempFolder& place, const engine::Clock& clock, int number, MemoryFolder& truth,
               unsigned seed)
    : place_(&place), clock_(&clock), number_(number), view_(truth, seed)
{
    machine_.emplace(place, clock, number);
}

void Reader::exchange(std::mt19937* random)
{
    share::ExchangeOptions options;
    std::size_t            pieces = random != nullptr && (*random)() % 4 == 0 ? 1 + (*random)() % 40 : 0;
    if (pieces > 0)
        options.progress = [&pieces](std::size_t, std::size_t, const std::string&) { return --pieces > 0; };
    const auto report = share::exchange(machine_->book, view_, *clock_, options);
    last_words_.clear(); // the share may have gone away: a later pass comes to the same end
    if (!report) last_words_ = report.error().message;
    if (report)
        for (const auto& finding : report->findings)
            last_words_ += "\n  " + finding.code + " " + finding.file + ": " + finding.sentence;
    if (!options.progress || pieces > 0) return;
    ++cut_off_;
    machine_.reset(); // the power goes, the machine starts again
    machine_.emplace(*place_, *clock_, number_);
}

void lose_end_of_one(MemoryFolder& folder, const std::string& devid, std::mt19937& random)
{
    const auto mine = folder.with("dev/" + devid + "/seg");
    if (mine.empty()) return;
    auto&             bytes = folder.files[mine[random() % mine.size()]];
    const std::size_t half  = bytes.size() / 2;
    std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(half), bytes.end(), static_cast<unsigned char>(0));
}

/// Of the first entry that is missing somewhere: all there is to know.
static void tell_missing(Reader& reader, const engine::Book& sorted, MemoryFolder& folder,
                         const std::string& id)
{
    const auto entry = sorted.entry(id);
    if (!entry) {
        MESSAGE("an entry is missing in the sorted import: " << id);
        return;
    }
    std::string files;
    for (const std::string& path : folder.with(share::device_folder(entry->dev)))
        files += "\n  " + path + " " + std::to_string(folder.files[path].size());
    MESSAGE(reader.book().machine_name()
            << " lacks entry " << entry->seq << " of " << entry->dev.substr(0, 16)
            << "; last pass: " << reader.last_words() << files);
}

void settle(std::vector<std::unique_ptr<Reader>>& readers, const support::TempFolder& place, FakeClock& clock,
            MemoryFolder& folder, const std::set<std::string>& said, Outcome& outcome)
{
    constexpr std::size_t kMostPasses = 24;
    constexpr std::size_t kLeast      = 4;
    for (const auto& reader : readers)
        reader->see_all();
    const auto equal = [&] {
        const std::string state = state_hash(readers.front()->book());
        return std::all_of(readers.begin(), readers.end(),
                           [&](const auto& reader) { return state_hash(reader->book()) == state; });
    };
    // What is unfinished for a day never will be; what is complained about is sent again.
    for (; outcome.passes < kLeast || (!equal() && outcome.passes < kMostPasses); ++outcome.passes) {
        clock.advance(26LL * 3'600'000);
        for (const auto& reader : readers)
            reader->exchange(nullptr);
    }
    Machine    sorted(place, clock, 250);
    const auto once = share::exchange(sorted.book, folder, clock);
    REQUIRE_MESSAGE(once, (once ? "" : once.error().message));
    const auto fresh = sorted.book.entries_of_job("2219");
    outcome.equal    = equal();
    for (const auto& reader : readers) {
        const auto mine = reader->book().entries_of_job("2219");
        outcome.equal   = outcome.equal && mine.size() == fresh.size() &&
                        std::equal(mine.begin(), mine.end(), fresh.begin(),
                                   [](const auto& a, const auto& b) { return a.id == b.id; });
        outcome.forks_seen =
            outcome.forks_seen && reader->book().forks().size() == sorted.book.forks().size();
        for (const std::string& id : said)
            if (!reader->book().entry(id)) {
                if (outcome.complete) tell_missing(*reader, sorted.book, folder, id);
                outcome.complete = false;
            }
        outcome.cut_off += reader->cut_off();
    }
    outcome.entries = said.size();
}

} // namespace trust
