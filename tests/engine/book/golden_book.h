#pragma once
// The words of tests/golden/book1.jsonl.
#include "engine/book/book.h"
#include "engine/book/catalogue_codec.h"

#include <stdexcept>

#include "tests/engine/book/drafts.h"
#include "tests/support/fake_clock.h"

inline engine::Book golden_book(const std::filesystem::path& file, support::FakeClock& clock)
{
    using namespace engine;
    BookOptions options;
    options.machine_name = "T-03";
    options.seed         = std::array<unsigned char, 32>{1, 2, 3};
    auto book            = Book::open(file, clock, options);
    if (!book) throw std::runtime_error(book.error().message);

    UnitSheet unit;
    unit.code  = "SLW-P50-12";
    unit.shaft = Millimetres{50.0};
    unit.pitch = ThreadPitch{1.5};
    Job job;
    job.number    = "2219";
    job.title     = "Lime dryer fan 4";
    job.positions = {{"A", "SLW-P50-12", Hold::fixed, ""}, {"B", "SLW-P50-12", Hold::expansion, ""}};
    Draft text    = reading("2219", "A", "seat", 499'700);
    text.body     = std::make_shared<const nlohmann::json>(nlohmann::json{
        {"ask", "seat"}, {"text", "49.970 \xc2\xb5 \"\\\n"}, {"value", 499'700}, {"held", true}});
    Draft photo   = draft(kind::photo, {{"sha256", std::string(64, '5')}, {"ask", "nut"}});
    photo.job     = "2219";
    Draft signs   = draft(kind::countersign, nlohmann::json::object());
    signs.job     = "2219";
    signs.actor   = "502";
    const std::vector<Draft> words{
        draft_of(unit, "901"),
        draft_of(Person{"417", Role::fitter, ""}, "901"),
        draft_of(Person{"502", Role::supervisor, ""}, "901"),
        draft_of(Instrument{"M-07", Tool::micrometer, UnitOf::mm, 25, 50, 0.001, 0.004, "2027-03-31"}, "901"),
        draft_of(job, "901"),
        reading("2219", "A", "seat", 499'699),
        text,
        photo};
    for (const Draft& word : words) {
        clock.advance(61'000);
        if (auto kept = book->append(word); !kept) throw std::runtime_error(kept.error().message);
    }
    const auto entries = book->entries_of_job("2219");
    for (const Entry& entry : entries)
        signs.refs.push_back(entry.id);
    clock.advance(0); // two entries in one millisecond
    if (auto kept = book->append(signs); !kept) throw std::runtime_error(kept.error().message);
    return std::move(*book);
}
