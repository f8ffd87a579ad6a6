#include "renderer/meter/meter.h"

#include <tbb/parallel_for.h>

#include <numeric>

#include "renderer/develop/photograph.h"
#include "renderer/meter/exposure_steps.h"
#include "renderer/meter/line_widths.h"
#include "renderer/meter/meter_points.h"
#include "renderer/meter/meter_trails.h"

namespace lampflight {
namespace {

/// Luminance summed over a film, row by row in their order, so that threads change nothing.
double sum_lxs(const Image& film) {
    std::vector<double> rows(static_cast<std::size_t>(film.height));
    tbb::parallel_for(0, film.height, [&](int y) {
        double sum = 0.0;
        for (const glm::vec3& pixel : film.row(y)) sum += picture_luminance(pixel);
        rows[static_cast<std::size_t>(y)] = sum;
    });
    return std::accumulate(rows.begin(), rows.end(), 0.0);
}

double sum_lxs(const Layer& layer) {
    double sum = 0.0;
    for (const auto& [film, scale] : layer.films)
        sum += static_cast<double>(scale) * sum_lxs(*film);
    if (layer.trail)
        for (const TrailPixel& pixel : layer.trail->pixels())
            sum += picture_luminance(pixel.mean_lxs);
    return sum;
}

TakeLight light_of(const ExposedTake& take) {
    TakeLight light{take.name, {}};
    double total_lxs = 0.0;
    for (const Layer& layer : take.layers) {
        const double lxs = sum_lxs(layer);
        light.shares[layer.id.text()] += lxs;
        total_lxs += lxs;
    }
    if (!(total_lxs > 0.0)) return {take.name, {}};
    for (auto& [layer, share] : light.shares) share /= total_lxs;
    return light;
}

}  // namespace

MeterReading meter(const PlacedShoot& shoot, const std::vector<ExposedTake>& takes,
                   const Image& picture) {
    MeterReading reading{};
    PointSpreads spreads(shoot.camera);
    reading.points = read_points(shoot, takes, picture, spreads);
    reading.step_shares = shares_by_step(picture);
    reading.burnt_share = reading.step_shares.back();
    const auto edges = step_edges_stops();
    for (std::size_t i = 0; i < edges.size() && edges[i] <= black_stops; ++i)
        reading.black_share += reading.step_shares[i];
    reading.trail = read_trails(takes, picture);
    reading.trails = line_widths(shoot, takes, spreads);
    for (const ExposedTake& take : takes) reading.takes.push_back(light_of(take));
    return reading;
}

MeterReading meter(const PlacedShoot& shoot, const std::vector<ExposedTake>& takes) {
    return meter(shoot, takes, photograph(shoot, takes));
}

}  // namespace lampflight
