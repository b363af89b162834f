// The door libFuzzer knocks at; WM_INPUT is one of inputs.h.
#include "tests/fuzz/inputs.h"

// NOLINTNEXTLINE(readability-identifier-naming): the name libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size)
{
    return fuzz::WM_INPUT(bytes, size);
}
