#pragma once
// The calls of GLFW 3 that the desk's window makes, found when the window opens.
#include "engine/base/late_library.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

namespace field::shell {

struct GlfwCalls {
    decltype(&glfwCreateWindow)               CreateWindow{};
    decltype(&glfwDestroyWindow)              DestroyWindow{};
    decltype(&glfwGetCursorPos)               GetCursorPos{};
    decltype(&glfwGetError)                   GetError{};
    decltype(&glfwGetFramebufferSize)         GetFramebufferSize{};
    decltype(&glfwGetProcAddress)             GetProcAddress{};
    decltype(&glfwGetTime)                    GetTime{};
    decltype(&glfwGetWindowUserPointer)       GetWindowUserPointer{};
    decltype(&glfwInit)                       Init{};
    decltype(&glfwMakeContextCurrent)         MakeContextCurrent{};
    decltype(&glfwPollEvents)                 PollEvents{};
    decltype(&glfwPostEmptyEvent)             PostEmptyEvent{};
    decltype(&glfwSetCharCallback)            SetCharCallback{};
    decltype(&glfwSetCursorPosCallback)       SetCursorPosCallback{};
    decltype(&glfwSetFramebufferSizeCallback) SetFramebufferSizeCallback{};
    decltype(&glfwSetKeyCallback)             SetKeyCallback{};
    decltype(&glfwSetMouseButtonCallback)     SetMouseButtonCallback{};
    decltype(&glfwSetWindowCloseCallback)     SetWindowCloseCallback{};
    decltype(&glfwSetWindowRefreshCallback)   SetWindowRefreshCallback{};
    decltype(&glfwSetWindowUserPointer)       SetWindowUserPointer{};
    decltype(&glfwSwapBuffers)                SwapBuffers{};
    decltype(&glfwSwapInterval)               SwapInterval{};
    decltype(&glfwTerminate)                  Terminate{};
    decltype(&glfwWaitEventsTimeout)          WaitEventsTimeout{};
    decltype(&glfwWindowHint)                 WindowHint{};
    decltype(&glfwWindowShouldClose)          WindowShouldClose{};

    [[nodiscard]] static engine::Result<GlfwCalls> load()
    {
        auto library = engine::LateLibrary::open("libglfw.so.3");
        if (!library) return library.failure();
        GlfwCalls calls;
        library->bind("glfwCreateWindow", calls.CreateWindow);
        library->bind("glfwDestroyWindow", calls.DestroyWindow);
        library->bind("glfwGetCursorPos", calls.GetCursorPos);
        library->bind("glfwGetError", calls.GetError);
        library->bind("glfwGetFramebufferSize", calls.GetFramebufferSize);
        library->bind("glfwGetProcAddress", calls.GetProcAddress);
        library->bind("glfwGetTime", calls.GetTime);
        library->bind("glfwGetWindowUserPointer", calls.GetWindowUserPointer);
        library->bind("glfwInit", calls.Init);
        library->bind("glfwMakeContextCurrent", calls.MakeContextCurrent);
        library->bind("glfwPollEvents", calls.PollEvents);
        library->bind("glfwPostEmptyEvent", calls.PostEmptyEvent);
        library->bind("glfwSetCharCallback", calls.SetCharCallback);
        library->bind("glfwSetCursorPosCallback", calls.SetCursorPosCallback);
        library->bind("glfwSetFramebufferSizeCallback", calls.SetFramebufferSizeCallback);
        library->bind("glfwSetKeyCallback", calls.SetKeyCallback);
        library->bind("glfwSetMouseButtonCallback", calls.SetMouseButtonCallback);
        library->bind("glfwSetWindowCloseCallback", calls.SetWindowCloseCallback);
        library->bind("glfwSetWindowRefreshCallback", calls.SetWindowRefreshCallback);
        library->bind("glfwSetWindowUserPointer", calls.SetWindowUserPointer);
        library->bind("glfwSwapBuffers", calls.SwapBuffers);
        library->bind("glfwSwapInterval", calls.SwapInterval);
        library->bind("glfwTerminate", calls.Terminate);
        library->bind("glfwWaitEventsTimeout", calls.WaitEventsTimeout);
        library->bind("glfwWindowHint", calls.WindowHint);
        library->bind("glfwWindowShouldClose", calls.WindowShouldClose);
        if (auto whole = library->whole(); !whole) return whole.failure();
        return calls;
    }
};

} // namespace field::shell
