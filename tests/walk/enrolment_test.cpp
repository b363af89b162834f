// Two tablets in one hall: the second shows its code, the planner's reads it off the glass, signs with the
// plant key from a stick, and after an exchange the second one counts.
#include "engine/book/locked_key.h"
#include "field/camera/scan.h"

#include <algorithm>

#include "tests/walk/hall.h"

using namespace walk;

TEST_SUITE("walk/enrolment")
{
    TEST_CASE("a tablet whose code was read off its glass and signed counts after an exchange")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright}) {
            CAPTURE(screen.w_px);
            Hall   hall(screen, screen.portrait() ? "left" : "right");
            Tablet planner(hall.planner());
            planner.does({"exchange"});
            Tablet second(hall.second());
            trust_and_work(second);
            open_members(planner);
            CHECK(readings_of(planner, second) == 0);
            CHECK(planner.says("waits"));
            enrol_from_glass(hall, planner, second);
            CHECK_FALSE(planner.says("waits"));
            planner.does({"exchange"});
            second.does({"exchange", "expect Enrolled as recorder"});
            planner.does({"exchange"});
            CHECK(readings_of(planner, second) >= 5);
            CHECK(planner.book().barred_count() == 0);
            CHECK(planner.book().roster().seq() == 3); // root, the planner's tablet, the second
        }
    }

    TEST_CASE("what a revoked tablet records later does not count, and its holder can read that")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        planner.does({"exchange"});
        Tablet second(hall.second());
        trust_and_work(second);
        open_members(planner);
        enrol_from_glass(hall, planner, second);
        planner.does({"exchange"});
        second.does({"exchange"});
        planner.does({"exchange"});
        const std::size_t before = readings_of(planner, second);
        planner.does({"tap machine.T-07", "off main", "tap reason.lost", "expect Revoke T-07", "tap main",
                      "settle", std::string("type ") + kPassphrase, "tap main", "settle",
                      "expect Done: Revoke T-07", "expect revoked", "tap machine.T-07",
                      "expect Revoked: Lost.", "off main", "exchange"});
        second.does({"exchange", "expect does not count", "tap back", "tap main", "tap job.2219"});
        second.plays("parts/old_out.walk"); // nothing stops the hand that holds it
        second.does({"exchange"});
        planner.does({"exchange"});
        const std::string& dev     = second.book().device();
        const auto&        revoked = planner.book().roster().machines().at(dev).revoked;
        REQUIRE(revoked);
        CHECK(revoked->reason == "lost");
        CHECK(share::last_entry_of(planner.book(), dev) > revoked->last_seq + 3); // kept, and set aside
        REQUIRE(planner.book().barred_count() > 3);
        for (const auto& one : planner.book().barred(100))
            CHECK(one.code == "R05");
        CHECK(readings_of(planner, second) == before);
    }

    TEST_CASE(
        "a scanner that types brings a code as the camera does, a person's too, and the key can be ended")
    {
        Hall hall;
        // Nobody said where the key is: the file beside the shared folder is found, the tablet's own key is
        // not it.
        RehearsalSetup setup = hall.planner();
        setup.plant_key.clear();
        fs::rename(hall.key(), hall.at("plant.key"));
        Tablet planner(setup);
        planner.does(
            {"tap settings",
             "tap plant",
             "tap members",
             "settle",
             "tap main",
             "send " + share::text_of({"saltmarsh", "205", engine::MachineKey::generate().device(), true}) +
                 "\\n",
             "expect Badge 205",
             "tap same",
             "tap role.supervisor",
             "tap main",
             "settle",
             std::string("send ") + kPassphrase,
             "tap main",
             "settle",
             "expect Done: Enrol badge 205 as supervisor",
             "tap badge.205",
             "tap reason.pin_known",
             "tap main",
             "settle",
             std::string("send ") + kPassphrase,
             "tap main",
             "settle",
             "expect key ended"});
        REQUIRE(planner.book().roster().persons().size() == 1);
        CHECK(planner.book().roster().persons().begin()->second.ended);
        CHECK(planner.book().roster().persons().begin()->second.reason == "pin_known");
    }

    TEST_CASE("the code on the glass is black on white with its quiet zone in every light, and can be read")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright})
            for (const auto light :
                 {field::look::Light::day, field::look::Light::dim, field::look::Light::glare}) {
                CAPTURE(screen.w_px);
                CAPTURE(static_cast<int>(light));
                Hall           hall(screen);
                RehearsalSetup setup = hall.second();
                setup.light          = light;
                Tablet second(setup);
                second.does({"tap settings", "tap plant", "settle"});
                const Grey grey = second.glass();
                const auto text = field::camera::scan_grey(grey.pixels, grey.w, grey.h);
                REQUIRE(text);
                CHECK(*text == share::text_of(share::own_code(second.book())));
                if (light != field::look::Light::dim) continue; // only there nothing else is pure white
                const auto at = [&grey](int x, int y) {
                    return static_cast<std::size_t>(y) * static_cast<std::size_t>(grey.w) +
                           static_cast<std::size_t>(x);
                };
                int left = grey.w, right = -1, top = grey.h, bottom = -1;
                for (int y = 0; y < grey.h; ++y)
                    for (int x = 0; x < grey.w; ++x)
                        if (grey.pixels[at(x, y)] == 255)
                            left = std::min(left, x), right = std::max(right, x), top = std::min(top, y),
                            bottom = std::max(bottom, y);
                const auto bits = field::camera::qr_of(*text);
                REQUIRE(bits);
                constexpr int kQuiet  = 4; // ISO/IEC 18004 (from memory)
                const int     modules = bits->side + 2 * kQuiet;
                CHECK((right - left + 1) % modules == 0); // whole pixels a module
                CHECK(right - left == bottom - top);
                const int quiet = (right - left + 1) / modules * kQuiet;
                int       dark  = 0;
                for (int y = top; y <= bottom; ++y)
                    for (int x = left; x <= right; ++x) {
                        const bool ring = std::min({x - left, right - x, y - top, bottom - y}) < quiet;
                        dark += ring && grey.pixels[at(x, y)] != 255 ? 1 : 0;
                    }
                CHECK(dark == 0);
            }
    }

    TEST_CASE("a supervisor makes a key on a tablet with the PIN, and a planner enrols it off the glass")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright}) {
            CAPTURE(screen.w_px);
            Hall           hall(screen);
            Tablet         planner(hall.planner());
            RehearsalSetup as_supervisor = hall.second();
            as_supervisor.badge          = "205";
            planner.does({"exchange"});
            Tablet second(as_supervisor);
            second.does({"exchange", "tap settings", "tap plant", "settle", "tap main", "tap offer.0",
                         "tap main", "tap my_key", "off main", "type 9999", "tap main", "settle"});
            second.reads("That is not the PIN of badge 205.");
            CHECK_FALSE(fs::exists(second.book().person_key_file("205")));
            second.does({"off main", "type 2050", "tap main", "settle", "expect Badge 205"});
            second.reads("Waiting to be enrolled. Show this to a planner.");
            planner.does({"tap settings", "tap plant", "tap members", "settle", "tap main"});
            hall.camera_sees(second.glass());
            planner.stage().frames(3);
            planner.does({"expect Badge 205", "tap same", "tap role.supervisor", "tap main", "settle",
                          std::string("send ") + kPassphrase, "tap main", "settle"});
            planner.reads("Done: Enrol badge 205 as supervisor.");
            planner.does({"exchange"});
            second.does({"exchange"});
            second.reads("Enrolled as supervisor.");
            const auto locked = engine::LockedKey::load(second.book().person_key_file("205"));
            REQUIRE(locked);
            CHECK(locked->unlock("2050"));
            CHECK(second.book().roster().persons().count(locked->key()) == 1);
        }
    }

    TEST_CASE("a list longer than the glass comes in pages, and the last one can be opened")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright}) {
            CAPTURE(screen.w_px);
            Hall       hall(screen);
            Tablet     planner(hall.planner());
            const auto locked = engine::LockedKey::load(hall.key());
            REQUIRE(locked);
            const auto key = locked->unlock(kPassphrase);
            REQUIRE(key);
            for (int badge = 500; badge < 512; ++badge) {
                const auto joins = share::person_joins(
                    planner.book(),
                    {"saltmarsh", std::to_string(badge), engine::MachineKey::generate().device(), true},
                    "fitter", "");
                REQUIRE(joins);
                REQUIRE(share::say(planner.book(), *key, *joins, kMorning_ms));
            }
            planner.does({"tap settings", "tap plant", "tap members", "settle", "off page.back"});
            std::size_t met = 0;
            for (int page = 0; page < 20; ++page) {
                for (const auto& target : planner.stage().app().ledger().targets)
                    met += target.id.starts_with("badge.") ? 1U : 0U;
                if (!planner.stage().app().ledger().target("page.on")->enabled) break;
                planner.does({"tap page.on"});
            }
            CHECK(met == 12);
        }
    }
}
