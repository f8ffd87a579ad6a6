#include <fmt/format.h>

#include <cmath>

#include "tests/benchmark/methods.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/timed.h"

namespace lampflight::bench {
namespace {

// Tiles of each film that are lit; the rest is counted in.
constexpr int tiles_lit = 86;
constexpr int tiles_lit_by_many = 24;

FilmSize size_with(const glm::ivec2& pixels, int tiles) {
    const glm::ivec2 in_all = (pixels + tile_side_px - 1) / tile_side_px;
    // Odd, so that the tiles do not stand in columns.
    return {pixels, std::max(1, in_all.x * in_all.y / tiles / 2 * 2 + 1)};
}

/// The lamp layer at `good`, all lamps of the flight one after the other.
void run(benchmark::State& state, ScalingResult result, Prepared& on) {
    const Effort effort = on.good();
    LampLayer layer;
    std::uint64_t rays = 0;
    const Spent spent = timed(state, [&] {
        rays = 0;
        for (const LampTrack& track : on.tracks()) {
            light_film(on.film(), shutter_integral(track, on, effort), layer);
            rays += layer.rays;
        }
    });
    result.spent = scaled(spent, on.film().whole_over_seen());
    result.rays_a_pixel =
        static_cast<double>(rays) / static_cast<double>(surface_pixels(on.film()));
    state.counters["whole_film_s"] = result.spent.wall_s;
    state.counters["rays_a_pixel"] = result.rays_a_pixel;
    results().scaling.keep(result.table + result.entry, result);
}

LampFlight ground_named(const std::string& cells) {
    return ground_of(std::stoi(cells));
}

LampFlight swarm_named(const std::string& lamps) {
    return swarm_of(std::stoi(lamps));
}

void register_pixels() {
    for (const glm::ivec2 pixels : {glm::ivec2(960, 640), glm::ivec2(1500, 1000),
                                    glm::ivec2(3000, 2000), glm::ivec2(6000, 4000)}) {
        const std::string entry = fmt::format("{}x{}", pixels.x, pixels.y);
        time_by_clock(benchmark::RegisterBenchmark(
            ("scaling/pixels/" + entry).c_str(), [=](benchmark::State& state) {
                run(state, {"megapixels", entry, 1e-6 * pixels.x * pixels.y, {}, 0.0},
                    prepared("open_circle", size_with(pixels, tiles_lit)));
            }));
    }
}

void register_triangles() {
    for (const int cells : {70, 224, 707, 1225})
        time_by_clock(benchmark::RegisterBenchmark(
            fmt::format("scaling/triangles/{}", 2 * cells * cells).c_str(),
            [=](benchmark::State& state) {
                Prepared& on =
                    prepared(std::to_string(cells), size_with({960, 640}, tiles_lit), ground_named);
                const auto triangles = static_cast<double>(triangles_of(on.geometry()));
                run(state, {"triangles", fmt::format("{:.0f}", triangles), triangles, {}, 0.0}, on);
            }));
}

void register_lamps() {
    for (const int lamps : {1, 4, 16, 64})
        time_by_clock(benchmark::RegisterBenchmark(
            fmt::format("scaling/lamps/{}", lamps).c_str(), [=](benchmark::State& state) {
                run(state, {"lamps", std::to_string(lamps), static_cast<double>(lamps), {}, 0.0},
                    prepared(std::to_string(lamps), size_with({960, 640}, tiles_lit_by_many),
                             swarm_named));
            }));
}

}  // namespace

void register_scaling() {
    register_pixels();
    register_triangles();
    register_lamps();
}

}  // namespace lampflight::bench
