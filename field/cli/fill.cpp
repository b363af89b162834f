// witnessmark fill FILE.json --book B: carries out a job from a file of readings, through the same door as
// the screen.
#include "engine/book/photos.h"
#include "field/cli/commands.h"
#include "field/cli/fill_file.h"
#include "field/cli/opened.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <fstream>
#include <iostream>
#include <iterator>
#include <memory>

namespace field::cli {
namespace {

namespace fs = std::filesystem;
using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

struct FillOptions {
    std::string file, book, photos;
    bool        json   = false;
    bool        report = false;
};

constexpr std::uintmax_t kLargestFillFile = 4UL * 1024 * 1024;

Result<std::string> read_text(const fs::path& file)
{
    std::error_code code;
    const auto      size = fs::file_size(file, code);
    if (code) return failure(Fault::not_found, "There is no file '" + file.string() + "'.");
    if (size > kLargestFillFile)
        return failure(Fault::bad_input, "'" + file.string() + "' is larger than a file of readings can be.");
    std::ifstream in(file, std::ios::binary);
    std::string   text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (!in && !in.eof()) return failure(Fault::io, "'" + file.string() + "' cannot be read.");
    return text;
}

Result<std::vector<unsigned char>> read_photo(const fs::path& file, const NamedPhoto& photo)
{
    std::error_code code;
    const auto      size = fs::file_size(file, code);
    if (code)
        return failure(Fault::not_found, "The photo '" + photo.ask + "' of step " + photo.at.key +
                                             " is not there: " + file.string() + ".");
    if (size > engine::kLargestPhoto)
        return failure(Fault::out_of_range, "The photo " + file.string() + " is too large.");
    std::ifstream              in(file, std::ios::binary);
    std::vector<unsigned char> bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    return bytes;
}

/// What became of a run: how far it got, and the fault that ended it.
struct Run {
    std::size_t                  carried_out = 0;
    const FillItem*              stopped_at  = nullptr;
    std::optional<engine::Error> fault;
};

class Filler {
  public:
    Filler(Opened& opened, const FillFile& file, const FillOptions& options)
        : opened_(&opened), file_(&file), options_(&options)
    {
    }

    Run run()
    {
        for (const FillItem& item : file_->items) {
            const auto done = carry_out(item);
            if (done) continue;
            run_.stopped_at = &item;
            run_.fault      = done.error();
            break;
        }
        return run_;
    }

  private:
    Status carry_out(const FillItem& item)
    {
        for (const Deed& deed : item.deeds) {
            if (const auto* photo = std::get_if<NamedPhoto>(&deed.what)) {
                if (const auto kept = keep(deed.actor, *photo, named(*photo)); !kept) return kept;
                continue;
            }
            if (const auto kept = act(deed.actor, std::get<engine::Act>(deed.what)); !kept) return kept;
        }
        if (!item.close) return engine::Unit{};
        if (const auto photos = pick_up_photos(item); !photos) return photos;
        return act(item.actor, engine::CloseStep{item.at});
    }

    Status act(const std::string& actor, const engine::Act& act)
    {
        const auto kept = opened_->bench().carry_out(file_->job, actor, act);
        if (!kept) return kept.failure();
        ++run_.carried_out;
        if (options_->report) report(*kept);
        return engine::Unit{};
    }

    /// One line an entry, handed over at once: whoever reads it knows that the entry is durable.
    void report(const engine::Kept& kept) const
    {
        const auto entry = opened_->bench().book().entry(kept.id);
        std::cout << "kept " << kept.seq << ' ' << (entry ? entry->said.kind : "?") << ' ' << kept.id
                  << std::endl;
    }

    [[nodiscard]] fs::path named(const NamedPhoto& photo) const
    {
        const fs::path folder =
            options_->photos.empty() ? fs::path(options_->file).parent_path() : fs::path(options_->photos);
        return folder / photo.file;
    }

    Status keep(const std::string& actor, const NamedPhoto& photo, const fs::path& file)
    {
        auto bytes = read_photo(file, photo);
        if (!bytes) return bytes.failure();
        return act(actor, engine::KeepPhoto{photo.at, photo.ask, *std::move(bytes), "folder"});
    }

    /// Photos the step still asks for: from --photos by their usual name, or a sentence that says which file
    /// is missing.
    Status pick_up_photos(const FillItem& item)
    {
        const auto state = opened_->bench().job(file_->job);
        if (!state) return state.failure();
        const engine::PlanStep*   planned = (*state)->plan.find(item.at);
        const engine::StepStatus* status  = (*state)->progress.step(item.at);
        if (planned == nullptr || status == nullptr) return engine::Unit{}; // closing tells what is wrong
        for (const engine::Ask& ask : planned->step.asks) {
            if (ask.kind != engine::AskKind::photo || status->facts.has_photo(ask.name)) continue;
            const std::string place = item.at.pos.empty() ? "" : item.at.pos + ".";
            const NamedPhoto  photo{item.at, ask.name, item.at.key + "." + place + ask.name + ".jpg"};
            if (options_->photos.empty()) {
                if (ask.optional) continue;
                return failure(Fault::bad_input, "The photo '" + ask.name + "' of " + item.name +
                                                     " has no file: name it under \"photos\", or give "
                                                     "--photos DIR with " +
                                                     photo.file + " in it.");
            }
            const fs::path file = fs::path(options_->photos) / photo.file;
            if (ask.optional && !fs::exists(file)) continue;
            if (const auto kept = keep(item.actor, photo, file); !kept) return kept;
        }
        return engine::Unit{};
    }

    Opened*            opened_;
    const FillFile*    file_;
    const FillOptions* options_;
    Run                run_;
};

bool is_refusal(const engine::Error& error)
{
    return error.fault == Fault::refused || error.fault == Fault::out_of_range;
}

nlohmann::json document_of(const FillFile& file, const engine::JobState* state, const Run& run)
{
    nlohmann::json document{{"job", file.job}, {"carried_out", run.carried_out}};
    if (state != nullptr) {
        document["steps_done"] = state->progress.done_count();
        document["steps"]      = state->progress.steps.size();
        document["finished"]   = state->progress.done_count() == state->progress.steps.size();
    }
    if (run.fault)
        document["refused"] = {{"item", run.stopped_at->number},
                               {"name", run.stopped_at->name},
                               {"rule", run.fault->message},
                               {"entered_before", run.carried_out}};
    return document;
}

int report(Opened& opened, const FillFile& file, const Run& run, bool json)
{
    const auto              state = opened.bench().job(file.job);
    const engine::JobState* known = state ? state->get() : nullptr;
    if (json) {
        std::cout << document_of(file, known, run).dump(2) << '\n';
    } else if (known != nullptr) {
        std::cout << "Job " << file.job << ": " << run.carried_out << " acts carried out, "
                  << known->progress.done_count() << " of " << known->progress.steps.size()
                  << " steps done.\n";
    }
    if (!run.fault) return 0;
    std::cerr << "witnessmark: Item " << run.stopped_at->number << " (" << run.stopped_at->name
              << "): " << run.fault->message << " What was done before it (" << run.carried_out
              << " acts) stays in the record.\n";
    return is_refusal(*run.fault) ? 1 : 2;
}

int fill(const FillOptions& options)
{
    const auto text = read_text(options.file);
    if (!text) return complain(text.error());
    const auto file = parse_fill(*text);
    if (!file) return complain(file.error());
    const auto opened = Opened::existing(options.book);
    if (!opened) return complain(opened.error());
    const Run run = Filler(**opened, *file, options).run();
    return report(**opened, *file, run, options.json);
}

} // namespace

void add_fill(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<FillOptions>();
    auto* command = app.add_subcommand("fill", "Carry out a job from a file of readings");
    command->add_option("file", options->file, "File of readings (JSON)")->required();
    command->add_option("--book", options->book, "Book the job stands in")->required();
    command->add_option("--photos", options->photos, "Folder the photos are taken from");
    auto* json = command->add_flag("--json", options->json, "One JSON document on standard output");
    command
        ->add_flag("--report", options->report,
                   "One line an entry as soon as it is durable: kept SEQ KIND ID")
        ->excludes(json);
    command->footer(std::string(fill_format()));
    command->callback([options, &outcome] { outcome.exit_code = fill(*options); });
}

} // namespace field::cli
