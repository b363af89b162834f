#include "field/camera/stream_camera.h"

#include "field/camera/gst_calls.h"

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <string_view>
#include <system_error>
#include <utility>

namespace field::camera {
namespace {

using engine::failure;
using engine::Fault;

constexpr std::uint64_t kStartWait = 4 * GST_SECOND;
constexpr std::uint64_t kShotWait  = 2 * GST_SECOND;
/// One picture waits at most: an older one is thrown away, never shown late.
constexpr const char* kSink = " ! appsink name=sink max-buffers=1 drop=true sync=false";

const engine::Result<GstCalls>& library()
{
    static const engine::Result<GstCalls> calls = GstCalls::load();
    return calls;
}

/// Only once a camera has started.
const GstCalls& gst()
{
    return *library();
}

struct Unref {
    void operator()(GstSample* sample) const { gst().mini_object_unref(GST_MINI_OBJECT_CAST(sample)); }
    void operator()(GstMessage* message) const { gst().mini_object_unref(GST_MINI_OBJECT_CAST(message)); }
    void operator()(GError* error) const { gst().g_error_free(error); }
    void operator()(gchar* text) const { gst().g_free(text); }
    void operator()(GstBus* bus) const { gst().object_unref(bus); }
};
template <class T> using Owned = std::unique_ptr<T, Unref>;

bool library_ready()
{
    static const bool ready = library() && gst().init_check(nullptr, nullptr, nullptr) != FALSE;
    return ready;
}

/// Cameras pad their last USB block; the padding behind the end of the picture is transport, not photo.
void cut_padding(std::vector<unsigned char>& jpeg)
{
    const auto last = std::find_if(jpeg.rbegin(), jpeg.rend(), [](unsigned char byte) { return byte != 0; });
    const auto kept = static_cast<std::size_t>(jpeg.rend() - last);
    if (kept >= 2 && jpeg[kept - 2] == 0xff && jpeg[kept - 1] == 0xd9) jpeg.resize(kept);
}

std::string short_name(const StreamPlan& plan)
{
    return plan.device.empty() ? "The " + plan.name : "The camera at " + plan.device;
}

} // namespace

namespace {

constexpr std::string_view kShade = "SHADE-OF-NOW";

/// The ball starts at the same place each time: a ground that changes with every start keeps two test photos
/// from having the same bytes.
std::string shaded(std::string line)
{
    const auto at = line.find(kShade);
    if (at == std::string::npos) return line;
    const auto ticks =
        static_cast<std::uint64_t>(std::chrono::steady_clock::now().time_since_epoch().count());
    const auto shade =
        0xFF000000U | (static_cast<std::uint32_t>((ticks * 0x9E3779B97F4A7C15ULL) >> 40U) & 0x3F3F3FU);
    return line.replace(at, kShade.size(), std::to_string(shade));
}

} // namespace

StreamPlan device_stream(const std::string& device)
{
    const std::string source = "v4l2src name=source ! ";
    return {
        "camera " + device, device, {source + "image/jpeg", source + "videoconvert ! jpegenc quality=90"}};
}

StreamPlan test_stream()
{
    return {"test picture",
            "",
            {"videotestsrc is-live=true pattern=ball background-color=" + std::string(kShade) +
             " ! video/x-raw,width=1280,height=720,framerate=15/1 ! jpegenc quality=90"}};
}

struct StreamCamera::Running {
    GstElement* pipeline = nullptr;
    GstElement* sink     = nullptr;

    Running()                          = default;
    Running(const Running&)            = delete;
    Running& operator=(const Running&) = delete;
    Running(Running&&)                 = delete;
    Running& operator=(Running&&)      = delete;
    ~Running()
    {
        if (sink != nullptr) gst().object_unref(sink);
        if (pipeline == nullptr) return;
        gst().element_set_state(pipeline, GST_STATE_NULL); // waits for its threads
        gst().object_unref(pipeline);
    }

    /// A picture that is there within the time, else nothing.
    [[nodiscard]] std::vector<unsigned char> pull(std::uint64_t wait_ns) const
    {
        const Owned<GstSample> sample(
            gst().app_sink_try_pull_sample(reinterpret_cast<GstAppSink*>(sink), wait_ns));
        GstBuffer* buffer = sample ? gst().sample_get_buffer(sample.get()) : nullptr;
        GstMapInfo map{};
        if (buffer == nullptr || gst().buffer_map(buffer, &map, GST_MAP_READ) == FALSE) return {};
        std::vector<unsigned char> jpeg(map.data, map.data + map.size);
        gst().buffer_unmap(buffer, &map);
        cut_padding(jpeg);
        return jpeg;
    }

    /// What the library complained about, for the log.
    [[nodiscard]] std::string trouble() const
    {
        const Owned<GstBus>     bus(gst().element_get_bus(pipeline));
        const Owned<GstMessage> message(gst().bus_pop_filtered(bus.get(), GST_MESSAGE_ERROR));
        if (!message) return {};
        GError* error = nullptr;
        gst().message_parse_error(message.get(), &error, nullptr);
        const Owned<GError> owned(error);
        return owned ? owned->message : "unknown trouble";
    }
};

StreamCamera::StreamCamera(StreamPlan plan) : plan_(std::move(plan)) {}

StreamCamera::~StreamCamera() = default;

void StreamCamera::stop()
{
    running_.reset();
    first_.clear();
    frame_.reset();
}

engine::Status StreamCamera::start_line(const std::string& line)
{
    auto    running   = std::make_unique<Running>();
    GError* raw_error = nullptr;
    running->pipeline = gst().parse_launch((shaded(line) + kSink).c_str(), &raw_error);
    const Owned<GError> error(raw_error);
    if (running->pipeline == nullptr || error) {
        return failure(
            Fault::unsupported,
            short_name(plan_) +
                " cannot be used: a part of GStreamer is missing; install its base and good plugins.",
            error ? error->message : "");
    }
    gst().object_ref_sink(running->pipeline);
    running->sink = gst().bin_get_by_name(reinterpret_cast<GstBin*>(running->pipeline), "sink");
    if (GstElement* source = gst().bin_get_by_name(reinterpret_cast<GstBin*>(running->pipeline), "source");
        source != nullptr) {
        gst().g_object_set(source, "device", plan_.device.c_str(), nullptr);
        gst().object_unref(source);
    }
    if (gst().element_set_state(running->pipeline, GST_STATE_PLAYING) != GST_STATE_CHANGE_FAILURE)
        first_ = running->pull(kStartWait);
    if (!first_.empty()) {
        running_ = std::move(running);
        return engine::Unit{};
    }
    return failure(Fault::io,
                   short_name(plan_) + " gives no picture; check that no other program uses it, plug it in "
                                       "again, or start with --camera test or --camera-folder DIR.",
                   running->trouble());
}

engine::Status StreamCamera::start()
{
    if (running_) return engine::Unit{};
    std::error_code trouble;
    if (!plan_.device.empty() && !std::filesystem::exists(plan_.device, trouble))
        return failure(Fault::not_found,
                       "There is no camera at " + plan_.device +
                           "; plug one in or start with --camera test or --camera-folder DIR.");
    if (!library_ready())
        return failure(Fault::unsupported, "No camera can be used: GStreamer does not start; start with "
                                           "--camera-folder DIR.");
    engine::Status started = engine::Unit{};
    for (const std::string& line : plan_.lines) {
        started = start_line(line);
        if (started) return started;
    }
    return started;
}

std::shared_ptr<const Frame> StreamCamera::latest()
{
    if (!running_) return nullptr;
    std::vector<unsigned char> jpeg = running_->pull(0);
    if (jpeg.empty()) jpeg.swap(first_);
    first_.clear();
    if (jpeg.empty()) return frame_;
    // A picture torn on the bus is skipped: the next one is a fraction of a second away.
    if (auto picture = decode_jpeg(jpeg, kPreviewWidth, kPreviewHeight))
        frame_ = std::make_shared<const Frame>(Frame{*std::move(picture), ++frames_});
    return frame_;
}

engine::Result<Shot> StreamCamera::shoot()
{
    if (!running_)
        return failure(Fault::refused, short_name(plan_) + " is not running; open the photo step again.");
    static_cast<void>(running_->pull(0)); // what waits was seen before the button was pressed
    for (int attempt = 0; attempt < 3; ++attempt) {
        std::vector<unsigned char> jpeg = running_->pull(kShotWait);
        if (jpeg.empty()) break;
        if (decode_jpeg(jpeg, kPreviewWidth, kPreviewHeight)) return Shot{std::move(jpeg), plan_.name};
    }
    return failure(Fault::io,
                   short_name(plan_) +
                       " gave no whole picture; check its plug, then open the photo step again.",
                   running_->trouble());
}

} // namespace field::camera
