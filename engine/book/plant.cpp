#include "engine/book/plant.h"

#include "engine/book/book.h"

#include <nlohmann/json.hpp>
#include <sodium.h>

#include <algorithm>
#include <array>

namespace engine {
namespace {

constexpr std::size_t kPlantIdBytes = 16;

} // namespace

std::string new_plant_id()
{
    std::array<unsigned char, kPlantIdBytes> bytes{};
    if (sodium_init() < 0) return {};
    randombytes_buf(bytes.data(), bytes.size());
    return hex_of_bytes(bytes);
}

bool is_plant_id(std::string_view text)
{
    std::array<unsigned char, kPlantIdBytes> bytes{};
    return bytes_from_hex(text, bytes);
}

PlantMark plant_mark_in(const nlohmann::json& body)
{
    PlantMark  mark;
    const auto id = body.find("plant_id");
    if (id == body.end() || !id->is_string() || !is_plant_id(id->get<std::string>())) return mark;
    mark.id             = id->get<std::string>();
    const auto invented = body.find("invented");
    mark.invented       = invented != body.end() && invented->is_boolean() && invented->get<bool>();
    return mark;
}

void put_plant_mark(nlohmann::json& body, const PlantMark& mark)
{
    if (mark.id.empty()) return;
    body["plant_id"] = mark.id;
    if (mark.invented) body["invented"] = true;
}

PlantStanding standing_of(const Book& book)
{
    return {book.plant(), book.plant_mark(), book.roster().enrolled()};
}

std::string title_of(const PlantStanding& plant)
{
    return "Plant " + plant.name + (plant.mark.invented ? " (invented demo plant)" : "");
}

std::vector<std::string> notices_of(const PlantStanding& plant)
{
    if (plant.enrolled) return {};
    return {"This plant is not enrolled: anybody who can write to its folder can bring in machines and "
            "people."};
}

} // namespace engine
