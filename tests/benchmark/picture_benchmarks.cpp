#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <filesystem>
#include <optional>

#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/run_alone.h"

namespace lampflight::bench {
namespace {

void render(benchmark::State& state, const std::string& quality, const glm::ivec2& pixels) {
    const std::string size = fmt::format("{}x{}", pixels.x, pixels.y);
    const std::string picture =
        (std::filesystem::path(LAMPFLIGHT_BUILD_DIR) / "benchmark-picture.png").string();
    std::optional<Ended> ended;
    for (auto _ : state) {
        ended = run_alone({LAMPFLIGHT_PROGRAM, "render",
                           std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/ruin-sweep.toml", "-o",
                           picture, "--quality", quality, "--size", size, "--quiet"});
        if (!ended) {
            state.SkipWithError("the program failed");
            return;
        }
        state.SetIterationTime(ended->spent.wall_s);
    }
    state.counters["cpu_s"] = ended->spent.cpu_s;
    state.counters["peak_mb"] = ended->peak_mb;
    results().pictures.keep(
        quality + size, {fmt::format("ruin-sweep {} {}", quality, size), 1e-6 * pixels.x * pixels.y,
                         ended->spent, ended->peak_mb});
}

}  // namespace

void register_pictures(bool full) {
    const auto add = [](const std::string& quality, const glm::ivec2& pixels) {
        benchmark::RegisterBenchmark(
            fmt::format("picture/{}/{}x{}", quality, pixels.x, pixels.y).c_str(),
            [=](benchmark::State& state) { render(state, quality, pixels); })
            ->Unit(benchmark::kSecond)
            ->UseManualTime()
            ->Iterations(1);
    };
    add("draft", {960, 640});
    add("good", {960, 640});
    if (full) add("good", {6000, 4000});
}

}  // namespace lampflight::bench
