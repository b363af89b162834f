#pragma once
// A shared library opened when it is first needed: a command that needs no window or camera starts without
// their eighty libraries, and a machine that lacks them still serves every other command.
#include "engine/base/result.h"

#include <string>

namespace engine {

class LateLibrary {
  public:
    /// `name` as the loader knows it ("libSDL2-2.0.so.0"). It stays loaded until the program ends: libraries
    /// that start threads cannot be unloaded safely.
    [[nodiscard]] static Result<LateLibrary> open(const std::string& name);

    /// Sets `call` to the function of that name, searched in the library and in those it needs. What is not
    /// there is remembered; ask whole() once after the last.
    template <class Call> void bind(const char* function, Call*& call)
    {
        call = reinterpret_cast<Call*>(find(function));
    }
    /// Fault::unsupported with the name of the first function that was not there.
    [[nodiscard]] Status whole() const;

  private:
    LateLibrary(std::string name, void* handle);
    void* find(const char* function);

    std::string name_;
    std::string missing_;
    void*       handle_;
};

} // namespace engine
