#include "field/app/plant_desk.h"

#include "engine/book/pin_tries.h"
#include "field/app/key_file.h"
#include "field/app/worker.h"
#include "sync/disk_folder.h"

#include <utility>

namespace field::app {

struct PlantDesk::Inside {
    engine::Book*         book  = nullptr;
    const engine::Clock*  clock = nullptr;
    Places                places;
    std::function<void()> news;

    bool want_look = false, want_key = false, want_sign = false, want_person = false;
    enum class Out { nothing, look, key, sign, person } out = Out::nothing;
    std::string                   passphrase;
    share::Saying                 saying;
    share::PersonKeyWish          person;
    screens::PlantGlance          shown;
    std::optional<FoundKey>       key;
    std::optional<engine::Status> outcome;

    // Written by the worker while it is busy, read by the screen afterwards.
    std::optional<engine::Result<share::FolderOffer>> offered;
    std::optional<engine::Result<FoundKey>>           found;
    std::optional<engine::Result<engine::MachineKey>> opened;
    std::optional<engine::Result<std::string>>        made;

    std::unique_ptr<Worker> worker; ///< last: stops before what it works on goes

    void give_next();
    void give(Out what, std::function<void()> task);
    void take();
    void take_opened();
};

void PlantDesk::Inside::give(Out what, std::function<void()> task)
{
    if (!worker) {
        worker = std::make_unique<Worker>();
        worker->on_news(news);
    }
    out = what;
    worker->give(std::move(task));
}

void PlantDesk::Inside::give_next()
{
    if (out != Out::nothing) return;
    if (want_sign) {
        want_sign = false;
        give(Out::sign, [this] {
            opened.emplace(key->locked.unlock(passphrase));
            engine::wipe(passphrase);
        });
    } else if (want_person) {
        want_person = false;
        give(Out::person, [this] {
            made.emplace(share::make_person_key(person));
            engine::wipe(person.pin);
        });
    } else if (want_key) {
        want_key = false;
        give(Out::key, [this, root = book->roster().root_key()] {
            found.emplace(find_plant_key(key_places(places.key, places.shared), root));
        });
    } else if (want_look) {
        want_look = false;
        give(Out::look, [this, plant = book->plant(), known = share::known_folders(*book)] {
            auto folder = share::DiskFolder::open(places.shared);
            if (folder)
                offered.emplace(share::look_into(*folder, plant, known));
            else
                offered.emplace(folder.failure());
        });
    }
}

void PlantDesk::Inside::take_opened()
{
    shown.signing = false;
    if (*opened)
        outcome.emplace(share::say(*book, **opened, saying, clock->now().wall_ms));
    else
        outcome.emplace(opened->failure());
    opened.reset();
}

void PlantDesk::Inside::take()
{
    switch (std::exchange(out, Out::nothing)) {
    case Out::nothing:
        return;
    case Out::sign:
        return take_opened();
    case Out::person:
        shown.signing = false;
        outcome.emplace(*made ? engine::Status(engine::Unit{}) : made->failure());
        if (!*made && made->error().fault == engine::Fault::refused) // the PIN: trying them costs time
            outcome.emplace(engine::after_wrong_pin(*book, person.badge, *clock, made->error()));
        return made.reset();
    case Out::key:
        key.reset();
        shown.key_file.clear(), shown.key_trouble.clear();
        if (*found)
            shown.key_file = (*found)->file.filename().string(), key.emplace(**std::move(found));
        else
            shown.key_trouble = found->error().message;
        return found.reset();
    case Out::look:
        shown.looking = want_look, shown.looked = true;
        shown.trouble = *offered ? "" : offered->error().message;
        shown.offer   = *offered ? **std::move(offered) : share::FolderOffer{};
        return offered.reset();
    }
}

PlantDesk::PlantDesk(engine::Book& book, const engine::Clock& clock, Places places)
    : inside_(std::make_unique<Inside>())
{
    inside_->book             = &book;
    inside_->clock            = &clock;
    inside_->places           = std::move(places);
    inside_->shown.folder_set = !inside_->places.shared.empty();
}

PlantDesk::~PlantDesk() = default;

void PlantDesk::on_news(std::function<void()> call)
{
    inside_->news = std::move(call);
}

void PlantDesk::look()
{
    if (inside_->places.shared.empty()) return;
    inside_->want_look = inside_->shown.looking = true;
    inside_->give_next();
}

void PlantDesk::find_key()
{
    inside_->want_key = true;
    inside_->shown.key_file.clear(), inside_->shown.key_trouble.clear();
    inside_->give_next();
}

void PlantDesk::sign(share::Saying saying, std::string passphrase)
{
    Inside& in = *inside_;
    if (!in.key || in.shown.signing) return;
    in.outcome.reset();
    in.saying     = std::move(saying);
    in.passphrase = std::move(passphrase);
    in.want_sign = in.shown.signing = true;
    in.give_next();
}

void PlantDesk::make_person_key(const std::string& badge, std::string pin)
{
    Inside& in = *inside_;
    if (in.shown.signing) return;
    in.outcome.reset();
    if (const engine::Status may = engine::may_try_pin(*in.book, badge, *in.clock); !may) {
        in.outcome.emplace(may);
        return;
    }
    const engine::Person* const known = in.book->catalogue().person(badge);
    in.person                         = {in.book->person_key_file(badge), badge, std::move(pin),
                 known != nullptr ? known->pin_check : std::string()};
    in.want_person = in.shown.signing = true;
    in.give_next();
}

std::string PlantDesk::person_key(const std::string& badge) const
{
    const auto locked = engine::LockedKey::load(inside_->book->person_key_file(badge));
    return locked ? locked->key() : std::string();
}

void PlantDesk::absorb()
{
    Inside& in = *inside_;
    if (!in.worker || in.worker->busy()) return;
    in.take();
    in.give_next();
}

std::optional<engine::Status> PlantDesk::take_outcome()
{
    return std::exchange(inside_->outcome, std::nullopt);
}

engine::Result<int> PlantDesk::trust(const std::string& plant_key)
{
    return share::trust_offered(*inside_->book, inside_->shown.offer, plant_key);
}

screens::PlantGlance PlantDesk::glance() const
{
    const Inside&        in    = *inside_;
    screens::PlantGlance shown = in.shown;
    shown.roster               = &in.book->roster();
    shown.own                  = share::own_code(*in.book);
    for (const auto& machine : in.book->machines())
        if (machine.branch.empty()) shown.last[machine.dev] = machine.last_seq;
    // Enrolled since the folder was looked into: it waits no longer.
    std::erase_if(shown.offer.machines,
                  [&](const share::EnrolCode& code) { return shown.roster->machines().count(code.key) > 0; });
    return shown;
}

bool PlantDesk::busy() const
{
    return inside_->out != Inside::Out::nothing;
}

} // namespace field::app
