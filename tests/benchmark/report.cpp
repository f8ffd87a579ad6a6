#include "tests/benchmark/report.h"

#include <fmt/format.h>

#include <algorithm>

#include "tests/benchmark/targets.h"
#include "tests/benchmark/to_wanted.h"

namespace lampflight::bench {
namespace {

void print_layer(const LayerResult& row) {
    fmt::print(
        "  {:<18} {:>7} {:>8.1f} {:>9.3f} {:>9.3f} {:>8.1f} {:>8.2f} {:>8.2f} {:>8.2f} "
        "{:>7.2f}",
        row.method, row.setting, row.rays_a_pixel, row.spent.wall_s, row.spent.cpu_s,
        row.mrays_core_s, 100.0 * row.errors.rms, 100.0 * row.errors.worst,
        100.0 * row.errors.tile_means, 100.0 * row.errors.bias);
    if (row.shadow_kept) fmt::print(" {:>8.1f}", 100.0 * *row.shadow_kept);
    fmt::print("\n");
}

void print_layers() {
    for (const std::string& film : films()) {
        fmt::print("\n{}   (the truth itself: {:.2f} %)\n", film,
                   100.0 * results().own_errors[film]);
        fmt::print("  {:<18} {:>7} {:>8} {:>9} {:>9} {:>8} {:>8} {:>8} {:>8} {:>7} {:>8}\n",
                   "method", "setting", "rays/px", "clock s", "cores s", "Mrays/cs", "rms %",
                   "worst %", "8x8 %", "bias %", "shadow %");
        for (const LayerResult& row : results().layers.all())
            if (row.film == film) print_layer(row);
    }
}

std::vector<std::string> methods_on(const std::string& film) {
    std::vector<std::string> names;
    for (const LayerResult& row : results().layers.all())
        if (row.film == film && std::ranges::count(names, row.method) == 0)
            names.push_back(row.method);
    return names;
}

/// "<" before what is an upper bound, "~" before what is drawn on beyond the steps taken.
std::string in_words(const CostAtError& cost, int decimals) {
    const char* mark = "";
    switch (cost.known) {
        case Known::not_at_all:
            return "-";
        case Known::at_most:
            mark = "<";
            break;
        case Known::drawn_on:
            mark = "~";
            break;
        case Known::between_steps:
            break;
    }
    return fmt::format("{}{:.{}f}", mark, cost.cost, decimals);
}

std::string times_in_words(double times) {
    return times > 0.0 ? fmt::format("{:.1f}", times) : "-";
}

void print_time_to_wanted() {
    fmt::print("\nTo {:g} % rms error, whole film (< at most; ~ drawn on beyond the steps taken)\n",
               100.0 * wanted_error);
    fmt::print("  {:<36} {:<18} {:>9} {:>9} {:>9} {:>12} {:>12}\n", "film", "method", "rays/px",
               "clock s", "cores s", "clock/ours", "cores/ours");
    for (const std::string& film : films())
        for (const std::string& method : methods_on(film)) {
            const CostAtError cores = at_wanted(film, method, cores_s);
            if (cores.known == Known::not_at_all) continue;
            const CostAtError rays =
                at_wanted(film, method, [](const LayerResult& row) { return row.rays_a_pixel; });
            fmt::print("  {:<36} {:<18} {:>9} {:>9} {:>9} {:>12} {:>12}\n", film, method,
                       in_words(rays, 1), in_words(at_wanted(film, method, clock_s), 2),
                       in_words(cores, 2), times_in_words(times_ours(film, method, clock_s)),
                       times_in_words(times_ours(film, method, cores_s)));
        }
}

void print_rates() {
    fmt::print("\nEmbree's bare rate\n  {:<24} {:<28} {:>10} {:>10}\n", "flight", "rays", "Mrays/s",
               "Mrays/cs");
    for (const RateResult& row : results().rates.all())
        fmt::print("  {:<24} {:<28} {:>10.1f} {:>10.1f}\n", row.flight, row.kind,
                   row.mrays / row.spent.wall_s, row.mrays / row.spent.cpu_s);
}

void print_scaling() {
    fmt::print(
        "\nLamp layer at good, open circle, whole film\n  {:<12} {:>12} {:>10} {:>10} "
        "{:>9} {:>14}\n",
        "by", "entry", "clock s", "cores s", "rays/px", "grows as power");
    const ScalingResult* before = nullptr;
    for (const ScalingResult& row : results().scaling.all()) {
        std::string power = "";
        if (before != nullptr && before->table == row.table)
            power = fmt::format("{:.2f}", std::log(row.spent.cpu_s / before->spent.cpu_s) /
                                              std::log(row.amount / before->amount));
        fmt::print("  {:<12} {:>12} {:>10.3f} {:>10.3f} {:>9.1f} {:>14}\n", row.table, row.entry,
                   row.spent.wall_s, row.spent.cpu_s, row.rays_a_pixel, power);
        before = &row;
    }
}

/// Seconds of all cores together that bare Embree takes for one ray from the lens for each of a
/// million pixels of the demo scene; 0 if that was not measured.
double lens_s_a_megapixel() {
    for (const RateResult& row : results().rates.all())
        if (row.flight.starts_with("ruin-sweep") && row.kind.starts_with("lens"))
            return row.spent.cpu_s / row.mrays;
    return 0.0;
}

void print_pictures() {
    fmt::print(
        "\nWhole pictures, from scene file to picture file\n  {:<32} {:>9} {:>9} {:>9} "
        "{:>22}\n",
        "picture", "clock s", "cores s", "peak MB", "times one bare ray/px");
    for (const PictureResult& row : results().pictures.all()) {
        const double bare_s = row.megapixels * lens_s_a_megapixel();
        fmt::print("  {:<32} {:>9.2f} {:>9.2f} {:>9.0f} {:>22}\n", row.picture, row.spent.wall_s,
                   row.spent.cpu_s, row.peak_mb,
                   bare_s > 0.0 ? fmt::format("{:.0f}", row.spent.cpu_s / bare_s) : "-");
    }
}

void print_bounces() {
    fmt::print(
        "\nThe lamp behind a doorway: rms and sum of 8 x 8 means by level below the lit strip, in "
        "%\n  {:<10} {:>8}",
        "", "clock s");
    for (const LevelBand& band : level_bands)
        fmt::print(" {:>24}",
                   fmt::format("{} {:g}..{:g}", band.name, band.to_stops, band.from_stops));
    fmt::print(" {:>13} {:>13} {:>8}\n", "whole film", "in shade", "1e-4 px");
    for (const BounceResult& row : results().bounces.all()) {
        fmt::print("  {:<10} {:>8.2f}", row.setting, row.spent.wall_s);
        for (const LevelErrors::Band& band : row.errors.bands)
            fmt::print(" {:>24}",
                       fmt::format("{:.2f}+-{:.2f} {:+.2f} ({})", 100.0 * band.rms,
                                   100.0 * band.truth_rms, 100.0 * band.sum, band.blocks));
        for (const LevelErrors::Sum& sum : {row.whole.all, row.whole.shade})
            fmt::print(" {:>+6.2f}+-{:<5.2f}", 100.0 * sum.off, 100.0 * sum.truth);
        fmt::print(" {:>8.2f}\n", row.errors.bright_pixel);
    }
}

void print_trails(const TrailCosts& trails) {
    fmt::print(
        "\nA lamp's trail over half of 960 x 640, cores ms: radius 2 px {:.1f}, 2000 px {:.1f}, "
        "{:.1f} times that\n",
        1000.0 * trails.narrow_s, 1000.0 * trails.wide_s, trails.wide_s / trails.narrow_s);
}

}  // namespace

void print_report() {
    const AllResults& all = results();
    if (!all.layers.all().empty()) {
        print_layers();
        print_time_to_wanted();
        print_targets();
    }
    if (!all.rates.all().empty()) print_rates();
    if (!all.scaling.all().empty()) print_scaling();
    if (!all.pictures.all().empty()) print_pictures();
    if (!all.developments.all().empty()) print_development_targets();
    if (!all.bounces.all().empty()) print_bounces();
    if (all.trails) print_trails(*all.trails);
    if (!all.domes.all().empty() || all.sky_pictures) print_sky_targets();
    fmt::print("\nPeak memory of this program: {:.0f} MB\n", peak_mb_of(own_usage()));
}

AllResults& results() {
    static AllResults all;
    return all;
}

}  // namespace lampflight::bench
