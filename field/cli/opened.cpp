#include "field/cli/opened.h"

#include "engine/base/files.h"

namespace field::cli {

engine::Result<std::unique_ptr<Opened>> Opened::existing(const std::filesystem::path& book)
{
    return with(book, {});
}

engine::Result<std::unique_ptr<Opened>> Opened::reading(const std::filesystem::path& book)
{
    engine::BookOptions options;
    options.read_only  = true;
    options.one_moment = true;
    auto beside        = with(book, options);
    if (beside) return beside;
    auto alone = existing(book);
    if (!alone && alone.error().fault == engine::Fault::locked) return beside;
    return alone;
}

engine::Result<std::unique_ptr<Opened>> Opened::with(const std::filesystem::path& book,
                                                     const engine::BookOptions&   options)
{
    std::unique_ptr<Opened> opened(new Opened);
    auto                    procedure = engine::load_procedure(engine::assets_folder() / "procedure");
    if (!procedure) return procedure.failure();
    opened->procedure_ = *std::move(procedure);
    opened->clock_     = engine::system_clock();
    auto kept          = engine::Book::open(book, *opened->clock_, options, false);
    if (!kept) return kept.failure();
    opened->book_.emplace(*std::move(kept));
    opened->bench_.emplace(*opened->book_, opened->procedure_, *opened->clock_);
    return opened;
}

} // namespace field::cli
