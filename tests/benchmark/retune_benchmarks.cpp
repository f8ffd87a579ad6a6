#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <fcntl.h>
#include <unistd.h>
#include <filesystem>
#include <vector>

#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/run_alone.h"
#include "tests/benchmark/stopwatch.h"

namespace lampflight::bench {
namespace {

namespace fs = std::filesystem;

/// Seconds on the clock for reading a file's bytes, and nothing else.
double read_s(const fs::path& file) {
    std::vector<char> bytes(std::size_t{1} << 22);
    const Stopwatch watch;
    const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
    while (::read(descriptor, bytes.data(), bytes.size()) > 0) continue;
    ::close(descriptor);
    return watch.spent().wall_s;
}

/// The demo scene's layers developed by a process of its own, beside a bare read of their file.
void retune(benchmark::State& state, const glm::ivec2& pixels, bool full_floats) {
    const std::string size = fmt::format("{}x{}", pixels.x, pixels.y);
    const fs::path folder(LAMPFLIGHT_BUILD_DIR);
    const fs::path layers = folder / "benchmark-layers.exr";
    const std::string picture = (folder / "benchmark-picture.png").string();
    std::vector<std::string> render{LAMPFLIGHT_PROGRAM,
                                    "render",
                                    std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/ruin-sweep.toml",
                                    "-o",
                                    picture,
                                    "--quality",
                                    "draft",
                                    "--size",
                                    size,
                                    "--quiet",
                                    "--layers",
                                    layers.string()};
    if (full_floats) render.emplace_back("--float");
    if (!run_alone(render)) {
        state.SkipWithError("the program failed");
        return;
    }
    read_s(layers);  // into the system's memory
    Spent spent{};
    double peak_mb = 0.0, read_time_s = 0.0;
    for (auto _ : state) {
        read_time_s = read_s(layers);
        const auto ended = run_alone({LAMPFLIGHT_PROGRAM, "retune", layers.string(), "-o", picture,
                                      "--set", "camera.iso=800", "--quiet"});
        if (!ended) {
            state.SkipWithError("the program failed");
            return;
        }
        spent = ended->spent;
        peak_mb = ended->peak_mb;
        state.SetIterationTime(spent.wall_s);
    }
    state.counters["cpu_s"] = spent.cpu_s;
    state.counters["peak_mb"] = peak_mb;
    state.counters["file_mb"] = static_cast<double>(fs::file_size(layers)) / 1e6;
    state.counters["read_s"] = read_time_s;
    state.counters["times_reading"] = spent.wall_s / read_time_s;
    results().pictures.keep("retune" + size + (full_floats ? "float" : ""),
                            {fmt::format("retune {}{}", size, full_floats ? " float" : ""),
                             1e-6 * pixels.x * pixels.y, spent, peak_mb});
    fs::remove(layers);
}

}  // namespace

void register_retune(bool full) {
    const auto add = [](const glm::ivec2& pixels, bool full_floats, int times) {
        benchmark::RegisterBenchmark(
            fmt::format("retune/{}x{}/{}", pixels.x, pixels.y, full_floats ? "float" : "half")
                .c_str(),
            [=](benchmark::State& state) { retune(state, pixels, full_floats); })
            ->Unit(benchmark::kSecond)
            ->UseManualTime()
            ->Iterations(times);
    };
    add({960, 640}, false, 10);
    add({960, 640}, true, 10);
    if (!full) return;
    add({6000, 4000}, false, 3);
    add({6000, 4000}, true, 3);
}

}  // namespace lampflight::bench
