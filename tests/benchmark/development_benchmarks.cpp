#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <stdexcept>

#include "renderer/develop/photograph.h"
#include "renderer/expose/expose.h"
#include "scene/reader/read_shoot.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/text_of.h"

namespace lampflight::bench {
namespace {

PlacedShoot demo_at(const glm::ivec2& pixels) {
    const std::string file = std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/ruin-sweep.toml";
    Checked<PlacedShoot> read = read_placed_shoot(text_of(file), file);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        throw std::runtime_error(to_string(problems->front()));
    PlacedShoot shoot = std::get<PlacedShoot>(std::move(read));
    shoot.camera.sensor_pixels_across *= static_cast<double>(shoot.camera.pixels.x) / pixels.x;
    shoot.camera.pixels = pixels;
    return shoot;
}

/// What of a `good` picture goes into lens and sensor, once its layers are on film.
void develop(benchmark::State& state, const glm::ivec2& pixels) {
    const PlacedShoot shoot = demo_at(pixels);
    const Stopwatch exposing;
    const auto takes = expose(shoot, {Quality::good, 1});
    if (!takes) throw std::runtime_error("the render stopped");
    const Spent exposed = exposing.spent();
    Spent developed{};
    for (auto _ : state) {
        const Stopwatch developing;
        photograph(shoot, *takes, Noise::counted, [](int, const Image&) {});
        developed = developing.spent();
        state.SetIterationTime(developed.wall_s);
    }
    state.counters["cpu_s"] = developed.cpu_s;
    state.counters["of_cpu"] = developed.cpu_s / (exposed.cpu_s + developed.cpu_s);
    state.counters["of_clock"] = developed.wall_s / (exposed.wall_s + developed.wall_s);
    const std::string name = fmt::format("{} x {}", pixels.x, pixels.y);
    results().developments.keep(name, {name, exposed, developed});
}

}  // namespace

void register_development(bool full) {
    const auto add = [](const glm::ivec2& pixels, int times) {
        benchmark::RegisterBenchmark(fmt::format("development/{}x{}", pixels.x, pixels.y).c_str(),
                                     [=](benchmark::State& state) { develop(state, pixels); })
            ->Unit(benchmark::kSecond)
            ->UseManualTime()
            ->Iterations(times);
    };
    add({960, 640}, 10);
    if (full) add({6000, 4000}, 3);
}

}  // namespace lampflight::bench
