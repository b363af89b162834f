#pragma once

namespace field::cli {

/// The whole command line. Exit code 0 good, 1 negative answer, 2 bad use or input. Nothing is thrown out of
/// it.
[[nodiscard]] int run(int argc, char** argv);

} // namespace field::cli
