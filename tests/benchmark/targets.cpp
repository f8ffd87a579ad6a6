#include "tests/benchmark/targets.h"

#include <fmt/format.h>

#include <cmath>

#include "tests/benchmark/to_wanted.h"

namespace lampflight::bench {
namespace {

const std::string large_film = "open_circle 6000 x 4000";

std::string small_film(const std::string& flight) {
    return flight + " 960 x 640";
}

void print_row(const std::string& what, const std::string& asked, const std::string& measured,
               bool met) {
    fmt::print("  {:<52} {:>10} {:>30}  {}\n", what, asked, measured, met ? "met" : "MISSED");
}

/// How much faster than another method to the wanted error: judged by the clock.
void print_faster(const std::string& flight, const std::string& method, double asked) {
    const std::string film = small_film(flight);
    if (at_wanted(film, method, clock_s).known == Known::not_at_all) return;
    const double by_clock = times_ours(film, method, clock_s);
    print_row(fmt::format("{}: to {:g} % rms, {}", flight, 100.0 * wanted_error, method),
              fmt::format(">= {:g} x", asked),
              by_clock > 0.0 ? fmt::format("{:.1f} x clock, {:.1f} x cores", by_clock,
                                           times_ours(film, method, cores_s))
                             : "ours never gets there",
              by_clock >= asked);
}

void print_large(const LayerResult& row) {
    constexpr double most_s = 1.5;
    print_row(row.film + ": good, clock", fmt::format("<= {:g} s", most_s),
              fmt::format("{:.2f} s clock, {:.2f} s cores", row.spent.wall_s, row.spent.cpu_s),
              row.spent.wall_s <= most_s);
    print_row(row.film + ": good, rms", fmt::format("<= {:g} %", 100.0 * wanted_error),
              fmt::format("{:.2f} %", 100.0 * row.errors.rms), row.errors.rms <= wanted_error);
}

void print_errors(const LayerResult& row) {
    constexpr double most_bias = 0.001;
    constexpr double most_tile_means = 0.01;
    constexpr double least_kept = 0.98;
    print_row(row.film + ": good, bias", fmt::format("< {:g} %", 100.0 * most_bias),
              fmt::format("{:.3f} %", 100.0 * row.errors.bias),
              std::abs(row.errors.bias) < most_bias);
    print_row(row.film + ": good, 8 x 8 means", fmt::format("< {:g} %", 100.0 * most_tile_means),
              fmt::format("{:.2f} %", 100.0 * row.errors.tile_means),
              row.errors.tile_means < most_tile_means);
    if (row.shadow_kept)
        print_row(row.film + ": good, fine shadow kept", fmt::format(">= {:g} %", 100 * least_kept),
                  fmt::format("{:.1f} %", 100.0 * *row.shadow_kept),
                  *row.shadow_kept >= least_kept);
}

}  // namespace

void print_targets() {
    fmt::print("\nTargets\n  {:<52} {:>10} {:>30}\n", "what", "asked", "measured");
    print_faster("open_circle", "fixed, packets", 3.0);
    print_faster("open_circle", "fixed, one by one", 12.0);
    for (const char* flight : {"thicket_circle", "thicket_close", "open_close"})
        print_faster(flight, "fixed, packets", 2.0);
    for (const LayerResult& row : results().layers.all()) {
        if (row.method != "ours" || row.setting != "good") continue;
        if (row.film == large_film) print_large(row);
        print_errors(row);
    }
}

void print_development_targets() {
    fmt::print("\nLens and sensor, of a good picture\n  {:<52} {:>10} {:>30}\n", "what", "asked",
               "measured");
    constexpr double most = 1.0 / 3.0;
    for (const DevelopmentResult& row : results().developments.all()) {
        const auto line = [&](const std::string& what, double exposed_s, double developed_s) {
            const double share = developed_s / (exposed_s + developed_s);
            print_row(row.size + ": share of the " + what, "<= 1/3",
                      fmt::format("{:.0f} % ({:.2f} of {:.2f} s)", 100.0 * share, developed_s,
                                  exposed_s + developed_s),
                      share <= most);
        };
        line("clock", row.exposed.wall_s, row.developed.wall_s);
        line("cores' time", row.exposed.cpu_s, row.developed.cpu_s);
    }
}

void print_sky_targets() {
    fmt::print("\nSky over a place\n  {:<52} {:>10} {:>30}\n", "what", "asked", "measured");
    constexpr double most_s = 0.3;
    for (const DomeResult& row : results().domes.all())
        print_row("sky of one take, " + row.moment, fmt::format("<= {:g} s", most_s),
                  fmt::format("{:.3f} s clock, {:.3f} s cores", row.spent.wall_s, row.spent.cpu_s),
                  row.spent.wall_s <= most_s);
    if (!results().sky_pictures) return;
    constexpr double most_more = 0.15;
    const auto [stated_s, place_s] = *results().sky_pictures;
    const double more = place_s / stated_s - 1.0;
    print_row("good picture 960 x 640, over a stated sky",
              fmt::format("<= +{:g} %", 100 * most_more),
              fmt::format("{:+.0f} % ({:.2f} to {:.2f} s cores)", 100.0 * more, stated_s, place_s),
              more <= most_more);
}

}  // namespace lampflight::bench
