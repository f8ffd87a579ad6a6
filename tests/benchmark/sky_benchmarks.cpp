#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>

#include "renderer/sky/sky.h"
#include "scene/reader/read_shoot.h"
#include "scene/shoot/take_moment.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/run_alone.h"
#include "tests/benchmark/timed.h"
#include "tests/text_of.h"

namespace lampflight::bench {
namespace {

const std::string demo_file = std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/ruin-sweep.toml";

PlacedShoot demo_at(const std::string& when) {
    Checked<PlacedShoot> read =
        read_placed_shoot(text_of(demo_file), demo_file, {{"place.when", when}});
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        throw std::runtime_error(to_string(problems->front()));
    return std::get<PlacedShoot>(std::move(read));
}

/// The sky of one take.
void dome(benchmark::State& state, const std::string& name, const std::string& when) {
    const PlacedShoot shoot = demo_at(when);
    const NightSky night = night_sky(shoot, shoot.place->when.unix_s);
    const Spent spent = timed(state, [&] { benchmark::DoNotOptimize(Sky(night).horizontal_lx()); });
    results().domes.keep(name, {name, spent});
}

/// The demo scene with the light of its sky stated, as a file of its own.
std::string stated_file() {
    std::string text = text_of(demo_file);
    const std::size_t place = text.find("[place]"), ground = text.find("[ground]");
    if (place == std::string::npos || ground == std::string::npos || ground < place)
        throw std::runtime_error("no [place] before [ground] in " + demo_file);
    text.replace(place, ground - place,
                 "[sky]\nhorizontal_lx = 0.02\ntemperature_k = 9500\nglow_bearing_deg = 271\n\n");
    for (std::size_t later = 0; (later = text.find("after_s", later)) != std::string::npos;)
        text.erase(later, text.find('\n', later) + 1 - later);  // means nothing without a place
    const std::string file = (std::filesystem::path(LAMPFLIGHT_BUILD_DIR) / "stated-sky.toml");
    std::ofstream(file) << text;
    return file;
}

double picture_s(const std::string& scene) {
    const auto picture = std::filesystem::path(LAMPFLIGHT_BUILD_DIR) / "benchmark-picture.png";
    const auto ended = run_alone({LAMPFLIGHT_PROGRAM, "render", scene, "-o", picture.string(),
                                  "--quality", "good", "--size", "960x640", "--quiet"});
    if (!ended) throw std::runtime_error("the program failed");
    return ended->spent.cpu_s;
}

/// The whole picture by turns with its place and with a stated sky; the quickest of each counts.
void pictures(benchmark::State& state) {
    constexpr int turns = 4;
    const std::string stated = stated_file();
    SkyPictures found{1e9, 1e9};
    for (auto _ : state)
        for (int turn = 0; turn < turns; ++turn) {
            found.stated_s = std::min(found.stated_s, picture_s(stated));
            found.place_s = std::min(found.place_s, picture_s(demo_file));
        }
    results().sky_pictures = found;
}

}  // namespace

void register_skies() {
    const auto add = [](const std::string& name, const std::string& when) {
        time_by_clock(benchmark::RegisterBenchmark(
            ("sky/" + name).c_str(), [=](benchmark::State& state) { dome(state, name, when); }));
    };
    add("dusk_and_crescent", "2026-11-12T17:56:00+01:00");
    add("full_moon", "2026-11-24T22:00:00+01:00");
    benchmark::RegisterBenchmark("sky/picture", pictures)
        ->Unit(benchmark::kSecond)
        ->UseRealTime()
        ->Iterations(1);
}

}  // namespace lampflight::bench
