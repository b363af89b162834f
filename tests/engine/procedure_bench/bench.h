#pragma once
// A book of its own with the invented plant, a job and a workbench, for tests of judging and recording.
#include "engine/base/files.h"
#include "engine/book/book.h"
#include "engine/book/catalogue_codec.h"
#include "engine/catalogue/import.h"
#include "engine/procedure/workbench.h"

#include <doctest/doctest.h>

#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

namespace bench {

/// The invented units of assets/demo.
inline std::map<std::string, engine::UnitSheet> demo_units()
{
    const auto table = engine::read_csv(engine::assets_folder() / "demo" / "units.csv");
    REQUIRE(table.has_value());
    std::map<std::string, engine::UnitSheet> units;
    for (auto& unit : engine::import_units(*table).items)
        units[unit.code] = unit;
    REQUIRE(!units.empty());
    return units;
}

inline const engine::Procedure& procedure()
{
    static const auto loaded = engine::load_procedure(engine::assets_folder() / "procedure");
    REQUIRE(loaded.has_value());
    return *loaded;
}

/// A job of one or two positions of demo units.
inline engine::Job job_of(const std::string& first, const std::string& second = {})
{
    engine::Job job;
    job.number = "1";
    job.title  = "Test line";
    job.asset  = "TST-01";
    job.span   = engine::Millimetres{1400};
    job.rise   = engine::Kelvins{35};
    job.run_in = engine::Hours{4};
    job.due    = "2026-12-04";
    job.positions.push_back({"A", first, engine::Hold::fixed, ""});
    if (!second.empty()) {
        const bool expansion = demo_units()[second].float_total.has_value();
        job.positions.push_back({"B", second, expansion ? engine::Hold::expansion : engine::Hold::fixed, ""});
    }
    return job;
}

inline engine::Plan plan_of(const engine::Job& job)
{
    engine::Catalogue catalogue;
    catalogue.units = demo_units();
    auto plan       = engine::build_plan(job, catalogue, procedure());
    REQUIRE(plan.has_value());
    return *plan;
}

/// A reading as a fact, with the limits the engine gives it.
inline void put(const engine::Plan& plan, engine::FactsByStep& facts, const engine::StepRef& at,
                engine::ReadingFact fact)
{
    fact.limits   = engine::limits_of_reading(plan, facts, at, fact.ask, fact.slot, fact.value.unit);
    facts[at].ref = at;
    facts[at].readings.push_back(std::move(fact));
}

inline engine::ReadingFact read(const std::string& ask, const std::string& slot, const std::string& text,
                                engine::UnitOf unit, std::int64_t u_si = 0)
{
    const auto entered = engine::enter(text, unit);
    REQUIRE(entered.has_value());
    engine::ReadingFact fact;
    fact.ask   = ask;
    fact.slot  = slot;
    fact.value = *entered;
    fact.u_si  = u_si;
    return fact;
}

inline const engine::Figure* figure(const engine::Assessment& assessment, const std::string& key)
{
    for (const auto& one : assessment.figures)
        if (one.key == key) return &one;
    return nullptr;
}

} // namespace bench
