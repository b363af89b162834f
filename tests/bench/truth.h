#pragma once
// The engine's uncertainties and verdicts against a truth it does not know: every part makes its own cases by
// means that share no formula with the engine (integration in small steps, exact geometry, drawn scatter),
// asks the engine, and counts. `truth` runs the parts at full size and ends with 1 when a bar is missed; the
// test suite runs them small.
#include <string>
#include <vector>

namespace truth {

struct Row {
    std::string what;
    double      measured = 0;
    double      low = 0, high = 0; ///< the bar: measured lies between, ends included
    std::string unit = "%";

    [[nodiscard]] bool good() const { return measured >= low && measured <= high; }
};

/// Each takes the number of cases and a seed.
std::vector<Row> run_in(int cases, unsigned seed);
std::vector<Row> photo(int cases, unsigned seed);
std::vector<Row> weibull(int cases, unsigned seed);

} // namespace truth
