// `truth [--only part,part] [--seed n]`: every figure beside its bar; exit 1 when one is missed.
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "tests/bench/truth.h"

namespace {

struct Part {
    const char* name;
    std::vector<truth::Row> (*run)(int, unsigned);
    int cases;
};

constexpr Part kParts[] = {
    {"run_in", truth::run_in, 2000},
    {"photo", truth::photo, 2000},
    {"weibull", truth::weibull, 3000},
};

bool wanted(const std::string& only, const char* name)
{
    return only.empty() || ("," + only + ",").find("," + std::string(name) + ",") != std::string::npos;
}

} // namespace

int main(int argc, char** argv)
{
    std::string only;
    unsigned    seed = 20261201;
    for (int i = 1; i + 1 < argc; i += 2) {
        if (std::strcmp(argv[i], "--only") == 0) only = argv[i + 1];
        if (std::strcmp(argv[i], "--seed") == 0)
            seed = static_cast<unsigned>(std::strtoul(argv[i + 1], nullptr, 10));
    }
    int missed = 0, shown = 0;
    for (const Part& part : kParts) {
        if (!wanted(only, part.name)) continue;
        std::printf("%s, %d cases\n", part.name, part.cases);
        for (const truth::Row& row : part.run(part.cases, seed)) {
            std::printf("  %-72s %7.2f %-2s  bar %g to %g%s\n", row.what.c_str(), row.measured,
                        row.unit.c_str(), row.low, row.high, row.good() ? "" : "  MISSED");
            missed += row.good() ? 0 : 1, ++shown;
        }
        std::fflush(stdout);
    }
    std::printf("%d figures, %d missed\n", shown, missed);
    return missed == 0 && shown > 0 ? 0 : 1;
}
