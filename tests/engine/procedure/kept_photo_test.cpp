// A photo of a step is a photo of the book: named so that it is proved and sent with it.
#include "engine/book/book.h"
#include "engine/procedure/facts_codec.h"

#include <doctest/doctest.h>

#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

using namespace engine;

TEST_SUITE("engine/procedure/photo")
{
    TEST_CASE("the book finds the photo that a step's entry names")
    {
        const support::TempFolder folder;
        const support::FakeClock  clock;
        auto                      book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        const std::string sha256(64, 'a');
        const PhotoInfo   info{sha256, 1280, 720, 70'000};
        const PhotoFact   fact{{}, "lock_photo", sha256, "camera"};
        REQUIRE(book->append(draft_of({"2219", "112", {"isolate", ""}, 1}, fact, info)));
        REQUIRE(book->photo_hashes().size() == 1);
        CHECK(book->photo_hashes().front() == sha256);
    }
}
