#pragma once
// Result<T>: a value or an Error. Same spelling as std::expected (has_value, *r, error), so the
// body can become `using Result = std::expected<T, Error>` the day the toolchain moves to C++23.
#include <cassert>
#include <string>
#include <utility>
#include <variant>

namespace engine {

/// What the caller can DO about it - not where it happened. Keep this list short.
enum class Fault {
    bad_input,      ///< text, file or option that cannot be read: mend it and try again
    out_of_range,   ///< a number that cannot be: mend it
    not_found,      ///< no such thing
    refused,        ///< a rule of the procedure forbids it; message names step and rule
    io,             ///< disk or device did not do it
    no_space,       ///< disk full
    no_memory,      ///< the machine has no memory left
    corrupt,        ///< bytes are not what they must be
    unknown_signer, ///< key not in the roster
    bad_signature,  ///< key known, bytes changed
    conflict,       ///< two truths for one place
    locked,         ///< another program holds it
    unsupported     ///< newer format, or not on this machine
};

struct Error {
    Fault       fault;
    std::string message; ///< one sentence in the fitter's words; no stack, no path of ours
    std::string context; ///< for the log: file, SQL, errno text
};

struct Failure {
    Error error;
};
inline Failure failure(Fault f, std::string msg, std::string ctx = {})
{
    return Failure{Error{f, std::move(msg), std::move(ctx)}};
}

template <class T> class [[nodiscard]] Result {
  public:
    // NOLINTBEGIN(google-explicit-constructor): `return value;` and `return failure(..)` must read plainly
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Failure f) : state_(std::in_place_index<1>, std::move(f.error)) {}
    // NOLINTEND(google-explicit-constructor)

    [[nodiscard]] bool has_value() const { return state_.index() == 0; }
    explicit           operator bool() const { return has_value(); }

    [[nodiscard]] const T& operator*() const&
    {
        assert(has_value());
        return std::get<0>(state_);
    }
    [[nodiscard]] T& operator*() &
    {
        assert(has_value());
        return std::get<0>(state_);
    }
    [[nodiscard]] T&& operator*() &&
    {
        assert(has_value());
        return std::get<0>(std::move(state_));
    }
    [[nodiscard]] const T*     operator->() const { return &**this; }
    [[nodiscard]] T*           operator->() { return &**this; }
    [[nodiscard]] const Error& error() const
    {
        assert(!has_value());
        return std::get<1>(state_);
    }
    /// To hand an error on from a Result of another type: `if (!r) return r.failure();`
    [[nodiscard]] Failure failure() const { return Failure{error()}; }

  private:
    std::variant<T, Error> state_;
};

struct Unit {};
using Status = Result<Unit>;

} // namespace engine
