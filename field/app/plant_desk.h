#pragma once
// Who belongs to the plant, worked on beside the screen: looking into the folder, finding the plant key's
// file and opening it by its passphrase, which takes a second on purpose. The book is touched only from the
// calls below, on the screen's thread.
#include "engine/book/book.h"
#include "field/screens/plant_glance.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace field::app {

class PlantDesk {
  public:
    struct Places {
        std::filesystem::path shared; ///< empty: none
        std::filesystem::path key;    ///< file or folder of the plant key; empty: see key_places()
    };
    /// Book and clock must outlive it. No thread runs before the first question.
    PlantDesk(engine::Book& book, const engine::Clock& clock, Places places);
    ~PlantDesk();
    PlantDesk(const PlantDesk&)            = delete;
    PlantDesk& operator=(const PlantDesk&) = delete;

    void
    on_news(std::function<void()> call); ///< called from the worker whenever absorb() has something to do
    void look();                         ///< into the shared folder
    void find_key();
    /// Opens the key found last and says this as the plant. The passphrase is overwritten when it was tried.
    void sign(share::Saying saying, std::string passphrase);
    /// Makes the key of a person on this machine, locked by the PIN.
    void make_person_key(const std::string& badge, std::string pin);
    /// 64 hex of the key this machine has for a badge; empty: none, or none that can be read.
    [[nodiscard]] std::string person_key(const std::string& badge) const;
    /// Takes what the worker brought; a statement that was signed goes into the book here.
    void absorb();
    /// How the last signing or making ended; handed out once.
    [[nodiscard]] std::optional<engine::Status> take_outcome();
    /// Trusts a plant key that the folder offers. Number of statements.
    [[nodiscard]] engine::Result<int>  trust(const std::string& plant_key);
    [[nodiscard]] screens::PlantGlance glance() const;
    [[nodiscard]] bool                 busy() const; ///< something is out or waits to go

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

} // namespace field::app
