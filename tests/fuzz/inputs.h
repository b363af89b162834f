#pragma once
// One function for each parser that reads what others wrote. Any bytes at all may come; what comes out is
// held against what the parser promises. Broken is thrown where a promise is not kept; anything else that is
// thrown, a crash or a sanitizer's report is a fault as well.
#include <array>
#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <string_view>

namespace fuzz {

struct Broken : std::logic_error {
    using std::logic_error::logic_error;
};
inline void must(bool kept, const char* promise)
{
    if (!kept) throw Broken(promise);
}
inline std::string_view text_of(const std::uint8_t* bytes, std::size_t size)
{
    return {reinterpret_cast<const char*>(bytes), size};
}

using Input = int(const std::uint8_t* bytes, std::size_t size);

Input entry_line; ///< engine/book: lines of the record and the facts in them
Input statement;  ///< engine/book: the enrolment list
Input segment;    ///< sync
Input head;       ///< sync
Input pack;       ///< sync: contents and proofs of a pack
Input file_name;  ///< sync: names in the shared folder
Input photo;      ///< engine/book: the JPEG gate
Input enrol_text; ///< field/cli: what a QR code says
Input settings;   ///< field/app: settings beside the book, and the file of readings of `fill`
Input catalogue;  ///< engine/catalogue: the planner's CSV
Input numbers;    ///< engine/base: numbers with units

struct Parser {
    const char* name; ///< of its folder of the corpus
    Input*      input;
    int         thousands; ///< mutations in a small run, each parser at its price
};
inline constexpr std::array kParsers{Parser{"entry_line", &entry_line, 3},
                                     Parser{"statement", &statement, 2},
                                     Parser{"segment", &segment, 2},
                                     Parser{"head", &head, 3},
                                     Parser{"pack", &pack, 3},
                                     Parser{"file_name", &file_name, 10},
                                     Parser{"photo", &photo, 1},
                                     Parser{"enrol_text", &enrol_text, 5},
                                     Parser{"settings", &settings, 3},
                                     Parser{"catalogue", &catalogue, 2},
                                     Parser{"numbers", &numbers, 10}};

} // namespace fuzz
