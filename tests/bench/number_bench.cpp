// The engine's numbers: how long a fitter or a script waits for them.
#include "engine/fit/estimate.h"
#include "engine/fit/nut_edge.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <initializer_list>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/engine/fit/nut_render.h"

namespace bench {
namespace {

constexpr double kFigure_ms   = 20;
constexpr double kEstimate_ms = 1;
constexpr double kEdge_ms     = 300;
constexpr int    kRounds      = 15;

/// Processor time of a child of ours, ms: start of the program and everything it does.
double process_ms(const std::vector<std::string>& words)
{
    const pid_t child = fork();
    if (child < 0) give_up("no process can be started");
    if (child == 0) {
        const int nowhere = ::open("/dev/null", O_WRONLY);
        dup2(nowhere, STDOUT_FILENO);
        std::vector<char*> args;
        for (const std::string& word : words)
            args.push_back(const_cast<char*>(word.c_str()));
        args.push_back(nullptr);
        execv(args[0], args.data());
        _exit(127);
    }
    int    state = 0;
    rusage used{};
    if (wait4(child, &state, 0, &used) != child || !WIFEXITED(state) || WEXITSTATUS(state) != 0)
        give_up("`" + words.at(2) + "` does not answer");
    const auto ms = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) * 1000 + static_cast<double>(t.tv_usec) / 1000;
    };
    return ms(used.ru_utime) + ms(used.ru_stime);
}

std::vector<std::string> words_of(const std::string& line)
{
    std::vector<std::string> words{WM_PROGRAM, "figure"};
    std::size_t              from = 0;
    while (from < line.size()) {
        const auto to = std::min(line.find(' ', from), line.size());
        words.push_back(line.substr(from, to - from));
        from = to + 1;
    }
    return words;
}

/// What some topics read: as long as a fitter's or an engineer's own.
std::string run_in_sheet(const std::filesystem::path& folder)
{
    std::ofstream sheet(folder / "run_in.csv");
    sheet << "minutes,temperature_c,ambient_c\n";
    for (int minute = 0; minute <= 240; minute += 5)
        sheet << minute << ',' << 60 - 38 * std::exp(-minute / 45.0) << ",22\n";
    return (folder / "run_in.csv").string();
}

std::string lives_sheet(const std::filesystem::path& folder)
{
    std::ofstream sheet(folder / "lives.csv");
    sheet << "group,time_h,event\n";
    for (int i = 1; i <= 200; ++i)
        sheet << (i % 2 == 0 ? "pried" : "pressed") << ',' << 100 * i + (i * 37) % 90 << ','
              << (i % 3 == 0 ? 0 : 1) << '\n';
    return (folder / "lives.csv").string();
}

std::string readings_sheet(const std::filesystem::path& folder)
{
    std::ofstream sheet(folder / "readings.json");
    sheet
        << R"({"unit":{"bore":"50mm","raceway":"62.5mm","taper":12,"pitch":"1.5mm","width":"40mm","on_sleeve":true},
"readings":{"angle":{"value":"95deg","u":"2deg"},"sleeve_travel":{"value":"0.41mm","u":"0.05mm"},
"clearance_before":{"value":"0.055mm","u":"0.005mm"},"clearance_after":{"value":"0.030mm","u":"0.005mm"}}})";
    return (folder / "readings.json").string();
}

bool every_figure(const std::filesystem::path& folder)
{
    std::vector<double> bare;
    for (int i = 0; i < kRounds; ++i)
        bare.push_back(process_ms({"/bin/true", "", "true"}));
    tell("limit: a program that does nothing", median(bare), "ms");
    bool good = true;
    for (const std::string& line : std::initializer_list<std::string>{
             "limits --nominal 50mm --class h9",
             "seat --nominal 50mm --class h9 --form IT5/2 --reading I.up=49.972mm",
             "drawup --bore 55mm --raceway 66mm --taper 12 --pitch 2mm --angle 95deg",
             "estimate " + readings_sheet(folder),
             "tab --slots 4 --tangs 17 --turned 95deg --gap 4deg",
             "shims --turns 1turn --pitch 24tpi --leaf 0.5mm*2,0.2mm*3,0.1mm*3",
             "expansion --span 2000mm --rise 45K",
             "align --span 800mm --offset-across 0.3mm --offset-up 0.2mm",
             "bolt --size M16 --class 8.8 --lube oiled --bolts 4",
             "grease --bore 55mm --outer 100mm --width 25mm --speed 980rpm",
             "run-in " + run_in_sheet(folder),
             "viscosity --at 40C=150 --at 100C=15 --temperature 70C",
             "life --kind roller --c 100kN --p 10kN --speed 600rpm",
             "vibration --rms 2.9mm/s --group 2 --support rigid",
             "frequencies --elements 9 --element 7.94mm --pitch 39.04mm --speed 980rpm",
             "weibull " + lives_sheet(folder),
             "survival " + lives_sheet(folder),
         }) {
        std::vector<double> times;
        for (int i = 0; i < kRounds; ++i)
            times.push_back(process_ms(words_of(line)));
        const std::string topic = line.substr(0, line.find(' '));
        good &= show(
            {"figure " + topic + ", processor time of the whole process", median(times), "ms", kFigure_ms});
    }
    return good;
}

engine::FitReadings everything_read()
{
    using namespace engine;
    FitReadings readings;
    readings.angle            = Read<Degrees>{Degrees{95}, Degrees{1}};
    readings.sleeve_travel    = Read<Millimetres>{Millimetres{0.52}, Millimetres{0.1}};
    readings.clearance_before = Read<Millimetres>{Millimetres{0.060}, Millimetres{0.005}};
    readings.clearance_after  = Read<Millimetres>{Millimetres{0.030}, Millimetres{0.005}};
    readings.nut_torque       = Read<NewtonMetres>{NewtonMetres{80}, NewtonMetres{3}};
    return readings;
}

bool estimate_alone()
{
    engine::Taper taper;
    taper.raceway                = engine::Millimetres{66};
    taper.bore                   = engine::Millimetres{55};
    taper.taper                  = 12;
    taper.pitch                  = engine::ThreadPitch{2};
    taper.width                  = engine::Millimetres{25};
    taper.on_sleeve              = true;
    const auto          readings = everything_read();
    std::vector<double> times;
    for (int i = 0; i < 200; ++i) {
        const auto start    = Steady::now();
        const auto estimate = engine::estimate_fit(taper, readings);
        times.push_back(ms_since(start));
        if (!estimate) give_up(estimate.error().message);
    }
    return show({"estimate from five readings, p99", spread_of(times).p99_ms, "ms", kEstimate_ms});
}

bool edge_of_nut()
{
    support::NutScene scene;
    scene.width = 4000, scene.height = 3000; // 12 megapixels
    scene.radius_px = 950, scene.tilt_deg = 30, scene.heading_deg = 40, scene.blur = 2;
    const auto          picture = support::NutRenderer(scene).picture();
    std::vector<double> times;
    for (int i = 0; i < 9; ++i) {
        const auto start = Steady::now();
        const auto edge  = engine::find_nut_edge(picture.image(), {std::nullopt, picture.nut_mark});
        times.push_back(ms_since(start));
        if (!edge) give_up(edge.error().message);
    }
    return show({"edge of the nut in a photo of 12 megapixels", median(times), "ms", kEdge_ms});
}

} // namespace

bool numbers(const std::filesystem::path& folder)
{
    heading("numbers");
    bool good = every_figure(folder);
    good &= estimate_alone();
    good &= edge_of_nut();
    return good;
}

} // namespace bench
