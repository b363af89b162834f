// What must not enrol anybody: a wrong passphrase, a file that is no key of this plant, codes of others, a
// false list.
#include "engine/base/clock.h"
#include "engine/book/locked_key.h"

#include "tests/walk/hall.h"

using namespace walk;

TEST_SUITE("walk/enrolment refused")
{
    TEST_CASE("a wrong passphrase is refused with one sentence and writes nothing")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        Tablet second(hall.second());
        second.does({"exchange", "tap settings", "tap plant", "settle"});
        planner.does({"exchange", "tap settings", "tap plant", "tap members", "settle", "tap main"});
        hall.camera_sees(second.glass());
        planner.stage().frames(3);
        const auto seq  = planner.book().roster().seq();
        const auto size = planner.book().size();
        planner.does({"tap same", "tap role.auditor", "tap main", "settle", "type reed mill", "tap main"});
        CHECK(planner.says("Opening the key"));
        planner.does({"settle", "expect The passphrase or PIN does not open the key of plant saltmarsh."});
        CHECK(planner.book().roster().seq() == seq);
        CHECK(planner.book().size() == size);
        planner.does({"off main"}); // what was typed is gone
        planner.does({"send x", "absent does not open", std::string("tap key.erase"),
                      std::string("send ") + kPassphrase, "tap main", "settle",
                      "expect Done: Enrol T-07 as auditor"});
        CHECK(planner.book().roster().seq() == seq + 1);
    }

    TEST_CASE("a key file that is missing, damaged or another plant's is told apart, and takes no passphrase")
    {
        Hall           hall;
        const fs::path right = hall.at("kept.key");
        fs::rename(hall.key(), right);
        Tablet second(hall.second());
        second.does({"exchange"});
        Tablet planner(hall.planner());
        planner.does({"exchange", "tap settings", "tap plant", "tap members", "settle", "tap machine.T-07",
                      "tap same", "tap role.recorder", "tap main", "settle",
                      "expect No file of the plant key is in reach", "off main",
                      "absent Type its passphrase"});
        CHECK(planner.stage().app().ledger().target("key.a") == nullptr);
        std::ofstream(hall.key()) << support::text_of(right).substr(0, 150);
        planner.does(
            {"tap again", "settle", "expect plant.key is not a locked key, or is damaged", "off main"});
        fs::remove(hall.key());
        const auto foreign = engine::LockedKey::make(engine::MachineKey::generate(), "plant otherplace",
                                                     kPassphrase, engine::Lock::quick);
        REQUIRE(foreign);
        REQUIRE(foreign->save(hall.key()));
        planner.does({"tap again", "settle", "expect plant.key is the key of another plant", "off main"});
        fs::copy_file(right, hall.at("stick") / "right.key");
        planner.does({"tap again", "settle", "expect Key file right.key", std::string("send ") + kPassphrase,
                      "tap main", "settle", "expect Done: Enrol T-07 as recorder"});
    }

    TEST_CASE("a code of another plant, or none of ours, is refused and the next code is read")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        Tablet second(hall.second());
        second.does({"tap settings", "tap plant"});
        planner.does({"tap settings", "tap plant", "tap members", "settle", "tap main"});
        const std::string key = engine::MachineKey::generate().device();
        const auto        see = [&](const std::string& text) {
            const auto bits = field::camera::qr_of(text);
            REQUIRE(bits);
            hall.camera_sees(grey_of(*bits));
            planner.stage().frames(3);
        };
        see(share::text_of({"otherplace", "T-09", key, false}));
        planner.reads("T-09 belongs to another plant (otherplace), this one is saltmarsh.");
        see("LDF-04");
        planner.reads("'LDF-04' is no enrolment code; a tablet shows its own under Settings");
        see("WM1:saltmarsh:T-09:" + std::string(64, '0')); // no point of the curve's prime-order group
        planner.reads("The key in the enrolment code is not valid; read the code again.");
        hall.camera_sees(second.glass());
        planner.stage().frames(3);
        planner.does({"expect T-07", "tap same"});
    }

    TEST_CASE("of two lists in the folder a tablet trusts the one whose figures were tapped")
    {
        Hall hall;
        {
            Tablet planner(hall.planner());
            planner.does({"exchange"});
        }
        // Who can write to the folder can make a machine for its plant, and a plant key of his own.
        hall.does("plant join --machine T-66 --shared " + hall.at("share").string() + " --book " +
                  hall.at("rogue.book").string());
        hall.does("enrol plant-key --quick --book " + hall.at("rogue.book").string() + " --key " +
                  hall.at("rogue.key").string() + " --secret-file " + hall.at("words").string());
        // Its reader finds two lists and says so (exit code 1), but its own is in the folder by then.
        const auto sent = support::run("exchange --book " + hall.at("rogue.book").string() + " --shared " +
                                           hall.at("share").string(),
                                       hall.at("pictures"));
        REQUIRE(support::says(sent, "R12"));
        const auto clock = engine::system_clock();
        const auto right = [&] {
            const auto book = engine::Book::open(hall.at("planner.book"), *clock, {}, false);
            REQUIRE(book);
            return book->roster().root_key();
        }();
        Tablet second(hall.second());
        second.does({"tap settings", "tap plant", "settle", "tap main"});
        const auto& targets = second.stage().app().ledger();
        REQUIRE(targets.target("offer.1") != nullptr);
        // The row that carries the figures of the paper: its first line lies inside the row.
        const std::string paper = engine::fingerprint_of(right).substr(0, 19);
        std::string       row;
        for (const auto& text : targets.texts)
            for (const char* id : {"offer.0", "offer.1"})
                if (text.text == paper && targets.target(id)->rect.contains(text.ink.centre())) row = id;
        REQUIRE_FALSE(row.empty());
        second.does({"tap " + row, "tap main", "expect Waiting to be enrolled", "expect " + paper});
        CHECK(second.book().roster().root_key() == right);
        CHECK(second.book().roster().enrolled());
    }
}
