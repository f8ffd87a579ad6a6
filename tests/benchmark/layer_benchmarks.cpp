#include <fmt/format.h>

#include "tests/benchmark/methods.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/timed.h"

namespace lampflight::bench {
namespace {

/// Makes a method ready for a flight; its cost counts.
using MakeMethod = std::function<TileMethod(Prepared&)>;

struct Entry {
    std::string method;
    std::string setting;
    bool on_ladder;
    MakeMethod make;
};

/// A power of two near `at_good`, which grows as the 2/3rd power of 1 / ratio of errors.
int instants_for(float ratio, int at_good, int least) {
    const float steps = std::round(-std::log2(ratio) * 2.0f / 3.0f);
    return std::max(least,
                    static_cast<int>(std::exp2(std::log2(static_cast<float>(at_good)) + steps)));
}

/// One dial from draft to beyond fine: `good` with its bounds on the error times a ratio, and as
/// many instants to begin with as suit them.
Effort times_good(const Effort& good, float ratio) {
    Effort effort = good;
    effort.shadow_error *= ratio;
    effort.smooth_error *= ratio;
    effort.first_instants = std::min(instants_for(ratio, good.first_instants, 1), 16);
    effort.solved_instants = std::min(instants_for(ratio, good.solved_instants, 4), 64);
    return effort;
}

Entry one_by_one(int times) {
    return {"fixed, one by one", std::to_string(times), true, [=](Prepared& on) {
                return fixed_times_one_by_one(on.tracks().front(), on.embree(), times);
            }};
}

Entry packets(int times) {
    return {"fixed, packets", std::to_string(times), true, [=](Prepared& on) {
                return fixed_times_in_packets(on.tracks().front(), on.geometry().rays(), times);
            }};
}

Entry random(int times) {
    return {"random, packets", std::to_string(times), true, [=](Prepared& on) {
                return random_times(on.tracks().front(), on.geometry().rays(), times);
            }};
}

Entry ours(const std::string& setting, bool on_ladder, float ratio = 1.0f) {
    return {"ours", setting, on_ladder, [=](Prepared& on) {
                return shutter_integral(on.tracks().front(), on, times_good(on.good(), ratio));
            }};
}

/// As draft is, but on the film samples of good.
Entry our_draft() {
    return {"ours", "draft", false, [=](Prepared& on) {
                return shutter_integral(on.tracks().front(), on, effort_of(Quality::draft));
            }};
}

/// Fine shadows need more times to come near 1 %.
std::vector<Entry> all_entries(bool fine_shadows) {
    std::vector<int> ladder{8, 32, 128, 512};
    std::vector<Entry> entries;
    for (const int times : ladder) entries.push_back(one_by_one(times));
    if (fine_shadows) ladder.push_back(2048);
    for (const int times : ladder) entries.push_back(packets(times));
    for (const int times : ladder) entries.push_back(random(times));
    for (const float ratio : {8.0f, 4.0f, 2.0f, 1.0f, 0.5f, 0.25f, 0.125f})
        entries.push_back(ours(fmt::format("{:g}", static_cast<double>(ratio)), true, ratio));
    entries.push_back(our_draft());
    entries.push_back(ours("good", false));
    return entries;
}

std::vector<Entry> few_entries() {
    return {packets(32), packets(128), ours("good", false)};
}

void show(benchmark::State& state, const LayerResult& result) {
    state.counters["rel_rmse"] = result.errors.rms;
    state.counters["worst_hundredth"] = result.errors.worst;
    state.counters["tile_means"] = result.errors.tile_means;
    state.counters["bias"] = result.errors.bias;
    state.counters["rays_a_pixel"] = result.rays_a_pixel;
    state.counters["mrays_core_s"] = result.mrays_core_s;
    if (result.shadow_kept) state.counters["shadow_kept"] = *result.shadow_kept;
}

void run(benchmark::State& state, const std::string& name, const std::string& flight,
         const FilmSize& size, const Entry& entry) {
    Prepared& on = prepared(flight, size);
    const SeenFilm& film = on.film();
    on.embree();  // built before the clock runs
    LampLayer layer;
    const Spent spent = timed(state, [&] { light_film(film, entry.make(on), layer); });

    LayerResult result;
    result.film = fmt::format("{} {} x {}", flight, film.pixels.x, film.pixels.y);
    result.method = entry.method;
    result.setting = entry.setting;
    result.on_ladder = entry.on_ladder;
    result.spent = scaled(spent, film.whole_over_seen());
    const auto rays = static_cast<double>(layer.rays);
    result.rays_a_pixel = rays / static_cast<double>(surface_pixels(film));
    result.mrays_core_s = 1e-6 * rays / spent.cpu_s;
    const std::vector<float> found = grey_pixels(layer);
    result.errors = errors_of(on.truth().grey, found);
    if (!on.without_fine().empty())
        result.shadow_kept = shadow_kept(on.without_fine(), on.truth().grey, found);
    results().own_errors[result.film] = on.truth().own_error;
    show(state, result);
    results().layers.keep(name, result);
}

void register_on(const std::string& flight, const FilmSize& size,
                 const std::vector<Entry>& entries) {
    for (const Entry& entry : entries) {
        std::string name = fmt::format("layer/{}/{}x{}/{}/{}", flight, size.pixels.x, size.pixels.y,
                                       entry.method, entry.setting);
        std::ranges::replace(name, ' ', '_');
        std::erase(name, ',');
        time_by_clock(benchmark::RegisterBenchmark(
            name.c_str(), [=](benchmark::State& state) { run(state, name, flight, size, entry); }));
    }
}

}  // namespace

void register_layers(int every) {
    for (const std::string& flight : built_flights())
        register_on(flight, {{960, 640}, every}, all_entries(flight.starts_with("thicket")));
    for (const std::string& flight : demo_flights())
        register_on(flight, {{960, 640}, every}, all_entries(false));
    // Large, so fewer tiles, and a truth that is quicker had: 2048 times are ample without
    // thickets.
    constexpr int thinner = 3;
    register_on("open_circle", {{6000, 4000}, thinner * every - 1, 2048}, few_entries());
}

}  // namespace lampflight::bench
