#include "field/cli/plant_notice.h"

#include <nlohmann/json.hpp>

#include <ostream>

namespace field::cli {

void print_plant(std::ostream& out, const engine::PlantStanding& plant)
{
    out << engine::title_of(plant) << '\n';
    for (const std::string& notice : engine::notices_of(plant))
        out << notice << '\n';
}

void put_plant(nlohmann::json& document, const engine::PlantStanding& plant)
{
    document["plant"]          = plant.name;
    document["plant_id"]       = plant.mark.id;
    document["plant_enrolled"] = plant.enrolled;
    document["plant_invented"] = plant.mark.invented;
    document["plant_notices"]  = engine::notices_of(plant);
}

} // namespace field::cli
