#pragma once
// The calls of SDL 2 that the tablet's window makes, found when the window opens.
#include "engine/base/late_library.h"

#include <SDL.h>

namespace field::shell {

struct SdlCalls {
    decltype(&SDL_CreateWindow)            CreateWindow{};
    decltype(&SDL_DestroyWindow)           DestroyWindow{};
    decltype(&SDL_GL_CreateContext)        GL_CreateContext{};
    decltype(&SDL_GL_DeleteContext)        GL_DeleteContext{};
    decltype(&SDL_GL_GetDrawableSize)      GL_GetDrawableSize{};
    decltype(&SDL_GL_GetProcAddress)       GL_GetProcAddress{};
    decltype(&SDL_GL_MakeCurrent)          GL_MakeCurrent{};
    decltype(&SDL_GL_SetAttribute)         GL_SetAttribute{};
    decltype(&SDL_GL_SetSwapInterval)      GL_SetSwapInterval{};
    decltype(&SDL_GL_SwapWindow)           GL_SwapWindow{};
    decltype(&SDL_GetCurrentVideoDriver)   GetCurrentVideoDriver{};
    decltype(&SDL_GetError)                GetError{};
    decltype(&SDL_GetPerformanceCounter)   GetPerformanceCounter{};
    decltype(&SDL_GetPerformanceFrequency) GetPerformanceFrequency{};
    decltype(&SDL_Init)                    Init{};
    decltype(&SDL_PollEvent)               PollEvent{};
    decltype(&SDL_PushEvent)               PushEvent{};
    decltype(&SDL_Quit)                    Quit{};
    decltype(&SDL_RegisterEvents)          RegisterEvents{};
    decltype(&SDL_SetHint)                 SetHint{};
    decltype(&SDL_StartTextInput)          StartTextInput{};
    decltype(&SDL_WaitEventTimeout)        WaitEventTimeout{};

    [[nodiscard]] static engine::Result<SdlCalls> load()
    {
        auto library = engine::LateLibrary::open("libSDL2-2.0.so.0");
        if (!library) return library.failure();
        SdlCalls calls;
        library->bind("SDL_CreateWindow", calls.CreateWindow);
        library->bind("SDL_DestroyWindow", calls.DestroyWindow);
        library->bind("SDL_GL_CreateContext", calls.GL_CreateContext);
        library->bind("SDL_GL_DeleteContext", calls.GL_DeleteContext);
        library->bind("SDL_GL_GetDrawableSize", calls.GL_GetDrawableSize);
        library->bind("SDL_GL_GetProcAddress", calls.GL_GetProcAddress);
        library->bind("SDL_GL_MakeCurrent", calls.GL_MakeCurrent);
        library->bind("SDL_GL_SetAttribute", calls.GL_SetAttribute);
        library->bind("SDL_GL_SetSwapInterval", calls.GL_SetSwapInterval);
        library->bind("SDL_GL_SwapWindow", calls.GL_SwapWindow);
        library->bind("SDL_GetCurrentVideoDriver", calls.GetCurrentVideoDriver);
        library->bind("SDL_GetError", calls.GetError);
        library->bind("SDL_GetPerformanceCounter", calls.GetPerformanceCounter);
        library->bind("SDL_GetPerformanceFrequency", calls.GetPerformanceFrequency);
        library->bind("SDL_Init", calls.Init);
        library->bind("SDL_PollEvent", calls.PollEvent);
        library->bind("SDL_PushEvent", calls.PushEvent);
        library->bind("SDL_Quit", calls.Quit);
        library->bind("SDL_RegisterEvents", calls.RegisterEvents);
        library->bind("SDL_SetHint", calls.SetHint);
        library->bind("SDL_StartTextInput", calls.StartTextInput);
        library->bind("SDL_WaitEventTimeout", calls.WaitEventTimeout);
        if (auto whole = library->whole(); !whole) return whole.failure();
        return calls;
    }
};

} // namespace field::shell
