#pragma once
// The calls of GStreamer that a camera makes, found when the first camera starts.
#include "engine/base/late_library.h"

#include <gst/app/gstappsink.h>
#include <gst/gst.h>

namespace field::camera {

struct GstCalls {
    decltype(&::g_error_free)                 g_error_free{};
    decltype(&::g_free)                       g_free{};
    decltype(&::g_object_set)                 g_object_set{};
    decltype(&::gst_app_sink_try_pull_sample) app_sink_try_pull_sample{};
    decltype(&::gst_bin_get_by_name)          bin_get_by_name{};
    decltype(&::gst_buffer_map)               buffer_map{};
    decltype(&::gst_buffer_unmap)             buffer_unmap{};
    decltype(&::gst_bus_pop_filtered)         bus_pop_filtered{};
    decltype(&::gst_element_get_bus)          element_get_bus{};
    decltype(&::gst_element_set_state)        element_set_state{};
    decltype(&::gst_init_check)               init_check{};
    decltype(&::gst_message_parse_error)      message_parse_error{};
    decltype(&::gst_mini_object_unref)        mini_object_unref{};
    decltype(&::gst_object_ref_sink)          object_ref_sink{};
    decltype(&::gst_object_unref)             object_unref{};
    decltype(&::gst_parse_launch)             parse_launch{};
    decltype(&::gst_sample_get_buffer)        sample_get_buffer{};

    [[nodiscard]] static engine::Result<GstCalls> load()
    {
        auto library = engine::LateLibrary::open("libgstapp-1.0.so.0"); // brings GStreamer and GLib with it
        if (!library) return library.failure();
        GstCalls calls;
        library->bind("g_error_free", calls.g_error_free);
        library->bind("g_free", calls.g_free);
        library->bind("g_object_set", calls.g_object_set);
        library->bind("gst_app_sink_try_pull_sample", calls.app_sink_try_pull_sample);
        library->bind("gst_bin_get_by_name", calls.bin_get_by_name);
        library->bind("gst_buffer_map", calls.buffer_map);
        library->bind("gst_buffer_unmap", calls.buffer_unmap);
        library->bind("gst_bus_pop_filtered", calls.bus_pop_filtered);
        library->bind("gst_element_get_bus", calls.element_get_bus);
        library->bind("gst_element_set_state", calls.element_set_state);
        library->bind("gst_init_check", calls.init_check);
        library->bind("gst_message_parse_error", calls.message_parse_error);
        library->bind("gst_mini_object_unref", calls.mini_object_unref);
        library->bind("gst_object_ref_sink", calls.object_ref_sink);
        library->bind("gst_object_unref", calls.object_unref);
        library->bind("gst_parse_launch", calls.parse_launch);
        library->bind("gst_sample_get_buffer", calls.sample_get_buffer);
        if (auto whole = library->whole(); !whole) return whole.failure();
        return calls;
    }
};

} // namespace field::camera
