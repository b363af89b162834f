#include "engine/base/late_library.h"

#include <dlfcn.h>

#include <utility>

namespace engine {

LateLibrary::LateLibrary(std::string name, void* handle) : name_(std::move(name)), handle_(handle) {}

Result<LateLibrary> LateLibrary::open(const std::string& name)
{
    if (void* handle = dlopen(name.c_str(), RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE); handle != nullptr)
        return LateLibrary(name, handle);
    const char* why = dlerror();
    return failure(Fault::unsupported, "The library " + name + " is not on this machine; install it.",
                   why != nullptr ? why : "");
}

void* LateLibrary::find(const char* function)
{
    void* found = dlsym(handle_, function);
    if (found == nullptr && missing_.empty()) missing_ = function;
    return found;
}

Status LateLibrary::whole() const
{
    if (missing_.empty()) return Unit{};
    return failure(Fault::unsupported,
                   "The library " + name_ + " lacks " + missing_ + "; install a newer one.");
}

} // namespace engine
