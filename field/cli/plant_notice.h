#pragma once
// What every answer about a record says of its plant: title, and that it is not enrolled or invented.
#include "engine/book/plant.h"

#include <nlohmann/json_fwd.hpp>

#include <iosfwd>

namespace field::cli {

/// "Plant Mill 3", then one line for each notice.
void print_plant(std::ostream& out, const engine::PlantStanding& plant);
/// The same for --json: adds "plant", "plant_id", "plant_enrolled", "plant_invented", "plant_notices".
void put_plant(nlohmann::json& document, const engine::PlantStanding& plant);

} // namespace field::cli
