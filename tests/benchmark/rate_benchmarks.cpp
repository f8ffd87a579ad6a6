#include "tests/benchmark/bare_rays.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/timed.h"

namespace lampflight::bench {
namespace {

void keep(benchmark::State& state, const std::string& flight, const std::string& kind,
          const Spent& spent, std::size_t rays) {
    const double mrays = 1e-6 * static_cast<double>(rays);
    state.counters["mrays_s"] = mrays / spent.wall_s;
    state.counters["mrays_core_s"] = mrays / spent.cpu_s;
    results().rates.keep(flight + kind, {flight, kind, spent, mrays});
}

template <class Packets>
std::size_t rays_in(const Packets& packets, std::size_t each) {
    return each * packets.size();
}

void lens(benchmark::State& state, const std::string& flight) {
    Prepared& on = prepared(flight, {});
    const auto packets = lens_packets(on.flight().shoot.camera);
    const EmbreeRays& embree = on.embree();
    const Spent spent = timed(state, [&] { benchmark::DoNotOptimize(embree.hits_of(packets)); });
    keep(state, flight, "lens, packets", spent, rays_in(packets, 8));
}

void shadow(benchmark::State& state, const std::string& flight, bool own_instants) {
    Prepared& on = prepared(flight, {});
    const auto packets = shadow_packets(on.film(), on.tracks().front(), own_instants);
    const EmbreeRays& embree = on.embree();
    const Spent spent =
        timed(state, [&] { benchmark::DoNotOptimize(embree.occluded_of(packets)); });
    keep(state, flight, own_instants ? "shadow, packets, own times" : "shadow, packets, one time",
         spent, rays_in(packets, 8));
}

void single(benchmark::State& state, const std::string& flight) {
    Prepared& on = prepared(flight, {});
    const auto rays = single_rays(shadow_packets(on.film(), on.tracks().front(), false));
    const EmbreeRays& embree = on.embree();
    const Spent spent = timed(state, [&] { benchmark::DoNotOptimize(embree.occluded_of(rays)); });
    keep(state, flight, "shadow, single", spent, rays_in(rays, 1));
}

}  // namespace

void register_bare_rates() {
    for (const std::string flight : {"open_circle", "thicket_close", "ruin-sweep/left sweep"}) {
        std::string name = "embree/" + flight;
        std::ranges::replace(name, ' ', '_');
        const auto add = [&](const char* kind, auto run) {
            time_by_clock(benchmark::RegisterBenchmark((name + kind).c_str(), run));
        };
        add("/lens", [=](benchmark::State& state) { lens(state, flight); });
        add("/shadow_one_time", [=](benchmark::State& state) { shadow(state, flight, false); });
        add("/shadow_own_times", [=](benchmark::State& state) { shadow(state, flight, true); });
        add("/shadow_single", [=](benchmark::State& state) { single(state, flight); });
    }
}

}  // namespace lampflight::bench
