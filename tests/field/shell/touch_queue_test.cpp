#include "field/shell/touch_queue.h"

#include <doctest/doctest.h>

using field::shell::PointerState;
using field::shell::TouchQueue;

TEST_SUITE("field/shell")
{
    TEST_CASE("a tap quicker than a frame is handed on as press, release in place, and away")
    {
        TouchQueue queue;
        queue.down(1, 40, 50);
        queue.up(1);
        CHECK(queue.next() == PointerState{40, 50, true, true});
        CHECK(queue.next() == PointerState{40, 50, false, true});
        CHECK(queue.next() == PointerState{});
        CHECK_FALSE(queue.waiting());
    }

    TEST_CASE("twenty taps pushed at once give twenty presses and twenty releases in place")
    {
        TouchQueue queue;
        for (int i = 0; i < 20; ++i) {
            queue.down(i, static_cast<float>(i), 0);
            queue.up(i);
        }
        int  presses = 0, releases = 0;
        bool down = false;
        while (queue.waiting()) {
            const PointerState now = queue.next();
            if (now.down && !down) CHECK(now.x_px == static_cast<float>(presses++));
            if (!now.down && down) CHECK(now.x_px == static_cast<float>(releases++));
            down = now.down;
        }
        CHECK(presses == 20);
        CHECK(releases == 20);
    }

    TEST_CASE("a palm that joins the first finger is ignored until the first finger is up")
    {
        TouchQueue queue;
        queue.down(1, 10, 10);
        queue.down(2, 90, 90);
        queue.up(2);
        CHECK(queue.next() == PointerState{10, 10, true, true});
        CHECK_FALSE(queue.waiting());
        queue.up(1);
        queue.down(3, 50, 50);
        CHECK_FALSE(queue.next().down);
        CHECK_FALSE(queue.next().present);
        CHECK(queue.next() == PointerState{50, 50, true, true});
    }

    TEST_CASE("moves that pile up in one frame become one")
    {
        TouchQueue queue;
        queue.down(1, 0, 0);
        for (int i = 1; i <= 50; ++i)
            queue.move(1, static_cast<float>(i), 0);
        CHECK(queue.next().x_px == 0);
        CHECK(queue.next().x_px == 50);
        CHECK_FALSE(queue.waiting());
    }

    TEST_CASE("when the glass turns the finger is lifted away from every button")
    {
        TouchQueue queue;
        queue.down(1, 10, 10);
        CHECK(queue.next().down);
        queue.clear();
        const PointerState now = queue.next();
        CHECK_FALSE(now.down);
        CHECK_FALSE(now.present);
    }
}
