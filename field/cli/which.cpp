#include "field/cli/which.h"

namespace field::cli {

void Which::add_to(CLI::App& command, const std::string& purpose)
{
    auto* group = command.add_option_group("which", purpose);
    group->add_option("--serial", serial, "Serial number of a unit");
    group->add_option("--asset", asset, "Tag of the machine");
    group->add_option("--job", job, "Number of the job");
    group->require_option(1);
}

engine::TraceKey Which::key() const
{
    using By = engine::TraceKey::By;
    if (!serial.empty()) return {By::serial, serial};
    if (!asset.empty()) return {By::asset, asset};
    return {By::job, job};
}

} // namespace field::cli
