#pragma once
// A job of the invented plant as the screens see it: the script's entries, the words, a fixed hour.
#include "field/screens/view_context.h"

#include "tests/support/job_entries.h"

namespace support {

inline const field::look::Words& words()
{
    static const field::look::Words loaded = [] {
        auto read =
            field::look::Words::load_folder(std::filesystem::path(WM_SOURCE_DIR) / "assets" / "words");
        if (!read) throw std::runtime_error(read.error().message);
        return *std::move(read);
    }();
    return loaded;
}

struct Seen {
    explicit Seen(const engine::Job& job) : script(job) {}

    [[nodiscard]] engine::JobState state() const
    {
        return {script.plan(), script.progress(), script.entries()};
    }
    [[nodiscard]] field::screens::ViewContext context()
    {
        field::screens::ViewContext context;
        context.words       = &words();
        context.catalogue   = &script.catalogue();
        context.now.wall_ms = 1795597200000; // 2026-11-25 09:00 UTC
        context.now.tz_min  = 60;
        context.badge       = JobScript::kFitter;
        context.today       = JobScript::kToday;
        return context;
    }
    /// Gives the seat of a position with one reading outside h9 of 50 mm.
    void give_bad_seat(const std::string& pos)
    {
        script.work_up_to({"seat", pos});
        script.give_all({"seat", pos});
        const auto act = engine::TakeReading{
            {"seat", pos}, "diameter", "II.up", value("49.90", engine::UnitOf::mm), "M-07", 20000, "typed"};
        if (const auto taken = script.act(act); !taken) throw std::runtime_error(taken.error().message);
    }

    JobScript script;
};

} // namespace support
