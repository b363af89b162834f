#pragma once
// A book with procedure and clock, opened for one command.
#include "engine/procedure/workbench.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace field::cli {

/// Holds what a workbench needs at one place that does not move.
class Opened {
  public:
    /// The book must be there already. Faults as Book::open and load_procedure.
    [[nodiscard]] static engine::Result<std::unique_ptr<Opened>> existing(const std::filesystem::path& book);

    /// For commands that only read: beside a program that has the book open, and of one moment. Where the
    /// book first has to be brought up or made anew it is opened as above.
    [[nodiscard]] static engine::Result<std::unique_ptr<Opened>> reading(const std::filesystem::path& book);

    [[nodiscard]] engine::Workbench&   bench() { return *bench_; }
    [[nodiscard]] const engine::Clock& clock() const { return *clock_; }

  private:
    Opened() = default;
    [[nodiscard]] static engine::Result<std::unique_ptr<Opened>> with(const std::filesystem::path& book,
                                                                      const engine::BookOptions&   options);
    std::unique_ptr<engine::Clock>                               clock_;
    engine::Procedure                                            procedure_;
    std::optional<engine::Book>                                  book_;
    std::optional<engine::Workbench>                             bench_;
};

} // namespace field::cli
