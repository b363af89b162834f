#include "tests/trust/desk.h"

#include "engine/book/seal.h"

#include <nlohmann/json.hpp>

#include <fstream>
#include <sstream>

#include "tests/support/fake_clock.h"
#include "tests/support/picture.h"

namespace trust {
namespace {

namespace fs = std::filesystem;

nlohmann::json item(int number)
{
    const std::string text = std::to_string(10000 + number);
    return {{"step", "isolate"},
            {"codes", {{"lock_number", text}}},
            {"photos", {{"lock_photo", "p" + text + ".jpg"}}},
            {"close", false}};
}

void write(const fs::path& file, const nlohmann::json& steps)
{
    std::ofstream(file) << nlohmann::json{{"job", "2224"}, {"actor", "118"}, {"steps", steps}};
}

} // namespace

std::vector<Ack> acks_in(const std::string& said)
{
    std::vector<Ack> acks;
    std::size_t      from = 0;
    for (std::size_t end = said.find('\n'); end != std::string::npos; end = said.find('\n', from)) {
        std::istringstream line(said.substr(from, end - from));
        from = end + 1;
        std::string word;
        Ack         ack;
        if (line >> word >> ack.seq >> ack.kind >> ack.id && word == "kept") acks.push_back(std::move(ack));
    }
    return acks;
}

Desk::Desk(const fs::path& folder, int items) : folder_(folder)
{
    fs::create_directories(folder_ / "fresh");
    const auto made = support::run(
        "demo --shifts 0 --not-enrolled --book '" + (folder_ / "fresh/t.book").string() + "'", folder_);
    REQUIRE_MESSAGE(made.code == 0, made.says);
    auto steps = nlohmann::json::array();
    for (int i = 0; i <= items; ++i) {
        const auto        jpeg = support::numbered_jpeg(i);
        const std::string text = std::to_string(10000 + i);
        std::ofstream(folder_ / ("p" + text + ".jpg"), std::ios::binary)
            .write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
        if (i == items) break;
        steps.push_back(item(i));
        attempts_.push_back({"code", text});
        attempts_.push_back({"photo", engine::hex(engine::sha256(jpeg))});
    }
    write(file(), steps);
    write(after(), nlohmann::json::array({item(items)}));
    const support::FakeClock clock;
    engine::BookOptions      options;
    options.read_only = true;
    const auto book   = engine::Book::open(folder_ / "fresh/t.book", clock, options);
    REQUIRE(book);
    entries_ = book->size();
}

fs::path Desk::fresh_book(const fs::path& place) const
{
    fs::create_directories(place);
    fs::copy(folder_ / "fresh", place, fs::copy_options::recursive);
    return place / "t.book";
}

std::vector<engine::Entry> Desk::new_entries(const fs::path& book) const
{
    const support::FakeClock clock;
    engine::BookOptions      options;
    options.read_only = true;
    const auto opened = engine::Book::open(book, clock, options);
    REQUIRE_MESSAGE(opened, (opened ? "" : opened.error().message));
    auto found = opened->entries_of_machine(opened->device(), entries_ + 1, 10000);
    // What a start or an exchange says by itself is no attempt of ours.
    std::erase_if(found, [](const auto& entry) {
        const std::string& kind = entry.said.kind;
        return kind == engine::kind::clock_step || kind == engine::kind::witness ||
               kind == engine::kind::set_aside;
    });
    return found;
}

bool Desk::is_attempt(const engine::Entry& entry, std::size_t n) const
{
    if (n >= attempts_.size() || entry.said.kind != attempts_[n].kind) return false;
    const char* const key = attempts_[n].kind == "code" ? "text" : "sha256";
    return entry.body().value(key, "") == attempts_[n].text;
}

namespace {

std::string state_of(const fs::path& book)
{
    const support::FakeClock clock;
    const auto               opened = engine::Book::open(book, clock, {}, false);
    return opened ? state_hash(*opened) : opened.error().message;
}

} // namespace

std::string Loss::text() const
{
    return "lost/phantom/altered = " + std::to_string(lost) + "/" + std::to_string(phantom) + "/" +
           std::to_string(altered) + ", books not whole " + std::to_string(not_whole) +
           ", changed by a second start " + std::to_string(changed);
}

void Loss::check() const
{
    CHECK(lost == 0);
    CHECK(phantom == 0);
    CHECK(altered == 0);
    CHECK(not_whole == 0);
    CHECK(changed == 0);
}

Loss next_start(const Desk& desk, const fs::path& book, const std::vector<Ack>& acked)
{
    Loss              loss;
    const fs::path    said = book.parent_path().parent_path();
    const std::string name = book.string();
    const auto again       = support::run("fill '" + desk.after() + "' --book '" + name + "' --report", said);
    const auto after       = acks_in(again.out);
    if (again.code != 0 || after.empty()) {
        MESSAGE("the next start: " << again.says);
        loss.lost = static_cast<int>(acked.size()) + 1;
        return loss;
    }
    auto found = desk.new_entries(book);
    std::erase_if(found, [&](const auto& entry) { return entry.seq >= after.front().seq; });
    for (std::size_t n = 0; n < acked.size(); ++n)
        if (n >= found.size() || found[n].id != acked[n].id || found[n].seq != acked[n].seq) ++loss.lost;
    if (found.size() > acked.size() + 1) ++loss.phantom;
    for (std::size_t n = 0; n < found.size(); ++n)
        if (!desk.is_attempt(found[n], n)) ++loss.altered;
    const auto checked = support::run("check --book '" + name + "'", said);
    if (checked.code != 0) {
        ++loss.not_whole;
        MESSAGE(checked.says);
    }
    const std::string once = state_of(book);
    if (state_of(book) != once) ++loss.changed;
    return loss;
}

} // namespace trust
