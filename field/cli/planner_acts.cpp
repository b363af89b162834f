// witnessmark instruments retire TAG | jobs end JOB.
#include "field/cli/planner_acts.h"

#include "engine/book/catalogue_codec.h"
#include "field/cli/opened.h"
#include "field/cli/planner_desk.h"

#include <CLI/CLI.hpp>

#include <iostream>
#include <memory>

namespace field::cli {
namespace {

struct ItemWish {
    std::string name, book, actor, reason, pin_file;
};

int told(const engine::Error& error)
{
    const int code = complain(error);
    return error.fault == engine::Fault::refused ? 1 : code;
}

int retire(const ItemWish& wish)
{
    const auto opened = Opened::existing(wish.book);
    if (!opened) return complain(opened.error());
    engine::Book&     book = (*opened)->bench().book();
    const PlannerWish planner{"instruments", wish.actor, wish.pin_file};
    if (const auto may = may_plan(book, planner); !may) return told(may.error());
    const engine::Instrument* const known = book.catalogue().instrument(wish.name);
    if (known == nullptr)
        return complain(
            {engine::Fault::not_found, "There is no instrument " + wish.name + " in the book.", {}});
    if (!known->retired.empty())
        return told({engine::Fault::refused,
                     "Instrument " + wish.name + " is retired already (" + known->retired + ").",
                     {}});
    engine::Instrument retired = *known;
    retired.retired            = wish.reason;
    const auto planned         = as_planned(book, {engine::draft_of(retired, wish.actor)}, planner);
    if (!planned) return told(planned.error());
    if (const auto kept = book.append_all(*planned); !kept) return complain(kept.error());
    std::cout << "Instrument " << wish.name << " is retired: " << wish.reason
              << ". Nothing is read with it from now on; what was read with it stays.\n";
    return 0;
}

int end_job(const ItemWish& wish)
{
    const auto opened = Opened::existing(wish.book);
    if (!opened) return complain(opened.error());
    const auto kept = (*opened)->bench().carry_out(wish.name, wish.actor, engine::EndJob{wish.reason});
    if (!kept) return told(kept.error());
    std::cout << "Job " << wish.name << " is ended: " << wish.reason << ". Entry " << kept->seq
              << " of this machine, " << kept->id << '\n';
    return 0;
}

std::shared_ptr<ItemWish> item_options(CLI::App& command, const char* what)
{
    auto wish = std::make_shared<ItemWish>();
    command.add_option("name", wish->name, what)->required();
    command.add_option("--book", wish->book, "the book")->required();
    command.add_option("--reason", wish->reason, "why")->required();
    return wish;
}

} // namespace

void add_planner_acts(CLI::App& group, engine::PlannerFile file, Outcome& outcome)
{
    if (file == engine::PlannerFile::instruments) {
        auto* command =
            group.add_subcommand("retire", "No more readings with this instrument; old ones stay");
        const auto wish = item_options(*command, "tag of the instrument");
        command->add_option("--actor", wish->actor, "badge of the planner");
        command->add_option("--pin-file", wish->pin_file,
                            "file whose first line is the planner's PIN, where the plant asks for it");
        command->callback([wish, &outcome] { outcome.exit_code = retire(*wish); });
    }
    if (file == engine::PlannerFile::jobs) {
        auto*      command = group.add_subcommand("end", "The job is not gone on with; its record stays");
        const auto wish    = item_options(*command, "number of the job");
        command->add_option("--actor", wish->actor, "badge of the planner or supervisor")->required();
        command->callback([wish, &outcome] { outcome.exit_code = end_job(*wish); });
    }
}

} // namespace field::cli
