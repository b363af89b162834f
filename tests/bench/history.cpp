#include "tests/bench/history.h"

#include <nlohmann/json.hpp>

#include "tests/bench/figures.h"

namespace bench {
namespace {

constexpr std::int64_t kMinute_ms  = 60'000;
constexpr std::int64_t kYear_ms    = std::int64_t{365} * 24 * 60 * kMinute_ms;
constexpr std::int64_t kBetween_ms = 200'000;
constexpr int          kFirstJob   = 100'000;
constexpr std::size_t  kFewEntries = 20; ///< a job with fewer was never really done

} // namespace

History::History(const std::filesystem::path& demo_book, int machines, std::int64_t ends_wall_ms)
{
    const auto clock = engine::system_clock();
    const auto book  = engine::Book::open(demo_book, *clock, {.read_only = true}, false);
    if (!book) give_up(book.error().message);
    plant_ = book->plant();
    for (const auto& review : book->entries_of_kind(engine::kind::countersign)) {
        auto entries = book->entries_of_job(review.said.job);
        if (entries.size() >= kFewEntries) patterns_.push_back(std::move(entries));
    }
    if (patterns_.empty()) give_up("the demo book holds no finished job");
    for (int i = 0; i < machines; ++i) {
        std::array<unsigned char, 32> seed{};
        seed[0] = static_cast<unsigned char>(i + 1);
        seed[1] = 77;
        machines_.push_back({engine::MachineKey::from_seed(seed), "H-" + std::to_string(i + 1)});
        machines_.back().wall_ms = ends_wall_ms - kYear_ms;
    }
}

std::string History::serial_of(int job)
{
    return "SN" + std::to_string(kFirstJob + job);
}

engine::Entry History::say(Machine& machine, engine::Draft draft)
{
    engine::Entry entry;
    machine.wall_ms += kBetween_ms;
    entry.dev     = machine.key.device();
    entry.seq     = ++machine.seq;
    entry.prev    = machine.prev;
    entry.hlc_ms  = machine.wall_ms;
    entry.wall_ms = machine.wall_ms;
    entry.mono_ms = static_cast<std::int64_t>(machine.seq);
    entry.boot    = "b";
    entry.tq      = "manual";
    entry.said    = std::move(draft);
    if (const auto sealed = engine::seal_entry(entry, machine.key, plant_); !sealed)
        give_up(sealed.error().message);
    machine.prev = entry.id;
    return entry;
}

std::vector<engine::Entry> History::next_job()
{
    Machine&                   machine = machines_[static_cast<std::size_t>(jobs_) % machines_.size()];
    const auto&                pattern = patterns_[static_cast<std::size_t>(jobs_) % patterns_.size()];
    const std::string          number  = std::to_string(kFirstJob + jobs_);
    std::vector<engine::Entry> made;
    std::map<std::string, std::string> now_called; // ids
    if (machine.seq == 0) {
        engine::Draft first;
        first.kind = engine::kind::genesis;
        first.body = std::make_shared<const nlohmann::json>(nlohmann::json{{"name", machine.name}});
        made.push_back(say(machine, std::move(first)));
    }
    bool numbered = false;
    for (const engine::Entry& old : pattern) {
        engine::Draft draft = old.said;
        draft.job           = number;
        for (std::string& ref : draft.refs)
            if (const auto at = now_called.find(ref); at != now_called.end()) ref = at->second;
        if (draft.kind == engine::kind::photo && !photos_.empty()) {
            nlohmann::json body = *draft.body;
            body["sha256"]      = photos_[next_photo_++ % photos_.size()];
            draft.body          = std::make_shared<const nlohmann::json>(std::move(body));
        }
        if (!numbered && draft.kind == engine::kind::code && draft.body->contains("text")) {
            nlohmann::json body = *draft.body;
            body["text"]        = serial_of(jobs_);
            draft.body          = std::make_shared<const nlohmann::json>(std::move(body));
            numbered            = true;
        }
        made.push_back(say(machine, std::move(draft)));
        now_called[old.id] = made.back().id;
    }
    ++jobs_;
    return made;
}

} // namespace bench
