#include <benchmark/benchmark.h>

#include <algorithm>
#include <vector>

#include "renderer/film/trail_film.h"
#include "renderer/trails/lamp_trail.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/stopwatch.h"

namespace lampflight::bench {
namespace {

constexpr double depth_m = 20.0;

/// A lamp that crosses the frame on a straight line, its face so large that the lens images it with
/// this radius.
PlacedShoot shoot_with(double radius_px) {
    PlacedShoot shoot;
    Camera& camera = shoot.camera;
    camera.pixels = {960, 640};
    camera.focal_mm = 50.0;
    camera.shutter_s = 10.0;
    camera.position_m = Vec3(0.0, -depth_m, 2.0);
    camera.look_at_m = Vec3(0.0, 0.0, 2.0);
    camera.focus_m = depth_m;
    Lamp lamp;
    lamp.name = "lamp";
    lamp.face_mm = 2.0 * radius_px * pixel_pitch_mm(camera).x * 1000.0 * depth_m / camera.focal_mm;
    shoot.lamps.push_back(lamp);
    Flight flight;
    flight.name = "line";
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-5.0, 0.0, 2.0);
    flight.to_m = Vec3(5.0, 0.0, 2.0);
    flight.speed_m_s = 1.0;
    flight.carries = {lamp.name};
    shoot.flights.push_back(flight);
    Take take;
    take.name = "take";
    take.flights = {flight.name};
    shoot.takes = {take};
    return shoot;
}

double trail_s(const PlacedShoot& shoot) {
    const Camera& camera = shoot.camera;
    const Geometry geometry{std::vector<const Mesh*>{}};
    const LampTrack track(lit_lamps(shoot, shoot.takes.front()).front(), {});
    const ExposureSettings settings{camera.shutter_s, camera.f_number, camera.iso};
    TrailFilm film(camera.pixels.x, camera.pixels.y, 1);
    const Stopwatch watch;
    add_trail(camera, settings, geometry, track, film);
    return watch.spent().cpu_s;
}

/// By turns; the quickest of each counts.
void widths(benchmark::State& state) {
    constexpr int turns = 5;
    const PlacedShoot narrow = shoot_with(2.0), wide = shoot_with(2000.0);
    TrailCosts found{1e9, 1e9};
    for (auto _ : state)
        for (int turn = 0; turn < turns; ++turn) {
            found.narrow_s = std::min(found.narrow_s, trail_s(narrow));
            found.wide_s = std::min(found.wide_s, trail_s(wide));
        }
    state.counters["wide_over_narrow"] = found.wide_s / found.narrow_s;
    results().trails = found;
}

}  // namespace

void register_trails() {
    benchmark::RegisterBenchmark("trail/2000_over_2", widths)
        ->Unit(benchmark::kMillisecond)
        ->UseRealTime()
        ->Iterations(1);
}

}  // namespace lampflight::bench
