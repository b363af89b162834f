#pragma once
// `witnessmark figure TOPIC`: the engine's numbers on their own. One function a topic adds its subcommand;
// the options are texts with their units, read by the parsers of the engine when the topic runs.
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/running/viscosity.h"
#include "field/cli/answer.h"
#include "field/cli/commands.h"

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace field::cli {

/// What was given on the command line, read by name. The first text that cannot be read is kept as `trouble`;
/// the values asked for after it do not matter any more.
class Options {
  public:
    /// Adds `--name`; `wanted` makes it compulsory.
    void add(CLI::App& topic, const std::string& name, const std::string& help, bool wanted = false);
    void add_list(CLI::App& topic, const std::string& name, const std::string& help, int least, int most);
    /// A compulsory argument without a name on the command line.
    void add_file(CLI::App& topic, const std::string& name, const std::string& help);
    void add_flag(CLI::App& topic, const std::string& name, const std::string& help);

    [[nodiscard]] bool has(const std::string& name) const;
    [[nodiscard]] bool flag(const std::string& name) const;

    [[nodiscard]] std::string              text(const std::string& name) const;
    [[nodiscard]] std::vector<std::string> list(const std::string& name) const;

    [[nodiscard]] engine::Millimetres  length(const std::string& name, engine::Millimetres absent = {});
    [[nodiscard]] engine::ThreadPitch  pitch(const std::string& name, engine::ThreadPitch absent = {});
    [[nodiscard]] engine::Degrees      angle(const std::string& name, engine::Degrees absent = {});
    [[nodiscard]] engine::Celsius      temperature(const std::string& name, engine::Celsius absent = {});
    [[nodiscard]] engine::Kelvins      rise(const std::string& name, engine::Kelvins absent = {});
    [[nodiscard]] engine::PerKelvin    expansion(const std::string& name, engine::PerKelvin absent = {});
    [[nodiscard]] engine::Megapascals  modulus(const std::string& name, engine::Megapascals absent = {});
    [[nodiscard]] engine::RevPerMinute speed(const std::string& name, engine::RevPerMinute absent = {});
    [[nodiscard]] engine::Grams        mass(const std::string& name, engine::Grams absent = {});
    [[nodiscard]] engine::Kilonewtons  force(const std::string& name, engine::Kilonewtons absent = {});
    [[nodiscard]] engine::NewtonMetres torque(const std::string& name, engine::NewtonMetres absent = {});
    [[nodiscard]] engine::MmPerSecond  velocity(const std::string& name, engine::MmPerSecond absent = {});
    /// mm2/s or cSt; a bare number is taken as mm2/s.
    [[nodiscard]] engine::KinematicViscosity viscosity(const std::string&         name,
                                                       engine::KinematicViscosity absent = {});
    [[nodiscard]] double              percent(const std::string& name, double absent = 0); ///< "95" or "95%"
    [[nodiscard]] double              bare(const std::string& name, double absent = 0);    ///< a pure number
    [[nodiscard]] int                 count(const std::string& name, int absent = 0);
    [[nodiscard]] double              taper(const std::string& name, double absent = 12); ///< "12" or "1:12"
    [[nodiscard]] engine::Millimetres length_of(const std::string& name, const std::string& text);
    [[nodiscard]] engine::Celsius     temperature_of(const std::string& name, const std::string& text);
    [[nodiscard]] engine::KinematicViscosity viscosity_of(const std::string& name, const std::string& text);

    [[nodiscard]] const std::optional<engine::Failure>& trouble() const { return trouble_; }
    void                                                blame(engine::Failure failure);

    bool as_json = false;

  private:
    template <class T>
    T taken(const std::string& name, T absent, engine::Result<T> (*read)(std::string_view));
    template <class T>
    T taken_of(const std::string& name, const std::string& text, engine::Result<T> (*read)(std::string_view));

    std::map<std::string, std::string>              texts_;
    std::map<std::string, std::vector<std::string>> lists_;
    std::map<std::string, bool>                     flags_;
    std::optional<engine::Failure>                  trouble_;
};

/// Runs a topic: reads the options, fills the answer. A failure ends with exit code 2.
using Work = std::function<engine::Status(Options&, Answer&)>;
/// Adds the topic; `options` must already hold its options.
void run_topic(CLI::App& topic, Outcome& outcome, std::shared_ptr<Options> options, Work work);

void add_figure_limits(CLI::App& figure, Outcome& outcome);
void add_figure_seat(CLI::App& figure, Outcome& outcome);
void add_figure_drawup(CLI::App& figure, Outcome& outcome);
void add_figure_estimate(CLI::App& figure, Outcome& outcome);
void add_figure_nut_photo(CLI::App& figure, Outcome& outcome);
void add_figure_tab(CLI::App& figure, Outcome& outcome);
void add_figure_shims(CLI::App& figure, Outcome& outcome);
void add_figure_expansion(CLI::App& figure, Outcome& outcome);
void add_figure_align(CLI::App& figure, Outcome& outcome);
void add_figure_bolt(CLI::App& figure, Outcome& outcome);
void add_figure_grease(CLI::App& figure, Outcome& outcome);
void add_figure_run_in(CLI::App& figure, Outcome& outcome);
void add_figure_viscosity(CLI::App& figure, Outcome& outcome);
void add_figure_life(CLI::App& figure, Outcome& outcome);
void add_figure_vibration(CLI::App& figure, Outcome& outcome);
void add_figure_frequencies(CLI::App& figure, Outcome& outcome);
void add_figure_weibull(CLI::App& figure, Outcome& outcome);
void add_figure_survival(CLI::App& figure, Outcome& outcome);

} // namespace field::cli
