#pragma once
// Which plant a record is of: its name, its id, whether it is enrolled, whether it is invented. FORMAT.md
// section 10. Every answer about a record says so in the words made here.
#include <nlohmann/json_fwd.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace engine {

class Book;

/// What tells plants of one name apart.
struct PlantMark {
    std::string id;               ///< 32 hex digits; empty: none, as in books of earlier versions
    bool        invented = false; ///< made for trying out: nothing in it is real
};
/// A new id, random.
[[nodiscard]] std::string new_plant_id();
[[nodiscard]] bool        is_plant_id(std::string_view text);
/// The mark in the body of a `genesis`, `plant` or `root`; an empty id when there is none.
[[nodiscard]] PlantMark plant_mark_in(const nlohmann::json& body);
/// Puts it into such a body; an empty id changes nothing.
void put_plant_mark(nlohmann::json& body, const PlantMark& mark);

/// What is to be said of the plant, by whoever answers about its record.
struct PlantStanding {
    std::string name;
    PlantMark   mark;
    bool        enrolled = false;
};
[[nodiscard]] PlantStanding standing_of(const Book& book);
/// "Plant Mill 3" or "Plant saltmarsh (invented demo plant)": the title line of an answer.
[[nodiscard]] std::string title_of(const PlantStanding& plant);
/// Sentences that belong below the title: that the plant is not enrolled. Empty in an enrolled plant.
[[nodiscard]] std::vector<std::string> notices_of(const PlantStanding& plant);

} // namespace engine
