// What people type, scan or export: numbers, codes, spreadsheets, settings.
#include "engine/base/csv.h"
#include "engine/catalogue/import.h"
#include "engine/catalogue/import_text.h"
#include "field/app/settings_file.h"
#include "field/cli/fill_file.h"
#include "sync/enrolment.h"

#include <sys/mman.h>
#include <unistd.h>

#include <cmath>
#include <string>

#include "tests/fuzz/inputs.h"

namespace fuzz {
namespace {

/// A file that is nowhere but in memory.
class MemoryFile {
  public:
    explicit MemoryFile(std::string_view text) : fd_(::memfd_create("fuzz", MFD_CLOEXEC))
    {
        must(::write(fd_, text.data(), text.size()) == static_cast<ssize_t>(text.size()), "memory is there");
    }
    MemoryFile(const MemoryFile&)            = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    ~MemoryFile() { ::close(fd_); }
    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(fd_); }

  private:
    int fd_;
};

template <class Quantity> void finite(const engine::Result<Quantity>& parsed)
{
    if (parsed) must(std::isfinite(parsed->value), "a number is finite");
}

template <class T> void all_or_nothing(const engine::Imported<T>& imported)
{
    must(imported.items.empty() || imported.faults.empty(), "a file with a fault is not taken");
    for (const auto& fault : imported.faults)
        must(!engine::sentence(fault).empty(), "a fault has a sentence");
}

} // namespace

int numbers(const std::uint8_t* bytes, std::size_t size)
{
    const auto text = text_of(bytes, size);
    if (const auto plain = engine::parse_number(text)) must(std::isfinite(*plain), "a number is finite");
    finite(engine::parse_length(text));
    finite(engine::parse_pitch(text));
    finite(engine::parse_angle(text));
    finite(engine::parse_temperature(text));
    finite(engine::parse_torque(text));
    finite(engine::parse_duration(text));
    finite(engine::parse_mass(text));
    finite(engine::import_text::parse_rise(text));
    finite(engine::import_text::parse_alpha(text));
    finite(engine::import_text::parse_speed(text));
    finite(engine::import_text::parse_velocity(text));
    if (const auto taper = engine::import_text::parse_taper(text))
        must(std::isfinite(*taper), "a taper is finite");
    for (int unit = 0; unit <= static_cast<int>(engine::UnitOf::text); ++unit) {
        const auto entered = engine::enter(text, static_cast<engine::UnitOf>(unit));
        if (!entered) continue;
        must(entered->text == text, "a reading keeps what was typed");
        must(std::isfinite(engine::from_si(entered->si, entered->unit)), "a reading has a value");
    }
    if (const auto length = engine::parse_length(text)) (void)engine::inches_as_fraction(*length);
    (void)engine::unit_from_symbol(text);
    return 0;
}

int enrol_text(const std::uint8_t* bytes, std::size_t size)
{
    const std::string text(text_of(bytes, size));
    const auto        code = share::enrol_code(text);
    if (code) must(share::text_of(*code) == text, "a code says what it was made of");
    return 0;
}

int settings(const std::uint8_t* bytes, std::size_t size)
{
    const auto       text = text_of(bytes, size);
    const MemoryFile file(text);
    const auto       read = field::app::load_settings(file.path());
    must(read.px_per_mm == 0 || (read.px_per_mm > 2 && read.px_per_mm < 30), "a scale can be a scale");
    const auto deeds = field::cli::parse_fill(text);
    if (!deeds) must(!deeds.error().message.empty(), "a refusal has a sentence");
    return 0;
}

int catalogue(const std::uint8_t* bytes, std::size_t size)
{
    const auto table = engine::parse_csv(text_of(bytes, size), "f.csv");
    if (!table) {
        must(!table.error().message.empty(), "a refusal has a sentence");
        return 0;
    }
    for (const auto& row : table->rows)
        must(row.cells.size() == table->header.size(), "each row has a cell for each column");
    all_or_nothing(engine::import_units(*table));
    all_or_nothing(engine::import_people(
        *table, [](std::string_view) { return engine::Result<std::string>(std::string("sealed")); }));
    all_or_nothing(engine::import_instruments(*table));
    all_or_nothing(engine::import_jobs(*table, engine::Catalogue()));
    return 0;
}

} // namespace fuzz
