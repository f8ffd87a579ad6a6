#include "renderer/meter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "renderer/glow.h"
#include "renderer/stage.h"
#include "renderer/tone.h"

namespace lampflight {
namespace {

constexpr double black_over_mid_grey = 1.0 / 64.0;  // 6 stops under

// A point named on a surface may lie a hand's breadth behind it.
constexpr double before_point_m = 0.25;

double luminance_of(const glm::vec3& colour) { return luminance(Rgb(colour)); }

/// Mean luminance of 3 x 3 pixels, fewer at the edge.
double reading_lxs(const Image& film, const glm::ivec2& pixel) {
    double sum = 0.0;
    int count = 0;
    for (int y = std::max(0, pixel.y - 1); y <= std::min(film.height - 1, pixel.y + 1); ++y)
        for (int x = std::max(0, pixel.x - 1); x <= std::min(film.width - 1, pixel.x + 1); ++x) {
            sum += luminance_of(film.at(x, y));
            ++count;
        }
    return sum / count;
}

bool is_hidden(const Stage& stage, const Projection& projection, const Vec3& point_m) {
    const Vec3 towards = point_m - projection.position_m();
    const double distance_m = glm::length(towards);
    if (distance_m <= before_point_m) return false;
    RayPacket ray;
    ray.active = 1;
    ray.reach.lane.fill(static_cast<float>((distance_m - before_point_m) / distance_m));
    ray.origin_m.set(0, glm::vec3(projection.position_m()));
    ray.direction.set(0, glm::vec3(towards));
    return stage.rays().occluded(ray) != 0;
}

PointReading read_point(const Shoot& shoot, const Point& point,
                        const std::vector<ExposedTake>& takes) {
    PointReading reading{point.name, false, false, 0.0, -std::numeric_limits<double>::infinity(),
                         {}, {}};
    const Projection projection(shoot.camera);
    const auto film_px = projection.film_px(point.position_m);
    if (!film_px || film_px->x < 0.0 || film_px->y < 0.0 ||
        film_px->x >= shoot.camera.pixels.x || film_px->y >= shoot.camera.pixels.y)
        return reading;
    reading.in_frame = true;
    const glm::ivec2 pixel(glm::floor(*film_px));
    for (const ExposedTake& take : takes) {
        std::map<std::string, double> layers;
        double direct_lxs = 0.0;
        for (const Layer& layer : take.layers) {
            const double lxs = reading_lxs(layer.exposure_lxs, pixel);
            direct_lxs += lxs;
            layers[layer.name] = (1.0 - static_cast<double>(glow_share)) * lxs;
        }
        const double sum_lxs = direct_lxs + reading_lxs(take.glow_lxs, pixel);
        layers["glow"] = sum_lxs - (1.0 - static_cast<double>(glow_share)) * direct_lxs;
        const double stops = stops_from_mid_grey(sum_lxs, take.settings.iso);
        if (!reading.take.empty() && stops <= reading.stops) continue;
        reading.take = take.name;
        reading.exposure_lxs = sum_lxs;
        reading.stops = stops;
        reading.layers = std::move(layers);
    }
    return reading;
}

/// Marks the points that something stands before in the take that they were read from.
void mark_hidden(const Shoot& shoot, std::vector<PointReading>& readings) {
    const Projection projection(shoot.camera);
    for (const Take& take : shoot.takes) {
        const auto from_take = [&](const PointReading& reading) {
            return reading.in_frame && reading.take == take.name;
        };
        if (std::ranges::none_of(readings, from_take)) continue;
        const Stage stage(shoot, present_subjects(shoot, take));
        for (PointReading& reading : readings)
            if (from_take(reading))
                reading.hidden = is_hidden(stage, projection,
                                           find_named(shoot.points, reading.name)->position_m);
    }
}

/// Shortest run of pixels through a place whose luminance stays at or above a level, in pixels.
double width_through(const Image& layer, const glm::ivec2& place, double level) {
    constexpr std::array<glm::ivec2, 4> ways{{{1, 0}, {0, 1}, {1, 1}, {1, -1}}};
    const auto bright = [&](const glm::ivec2& p) {
        return p.x >= 0 && p.y >= 0 && p.x < layer.width && p.y < layer.height &&
               luminance_of(layer.at(p.x, p.y)) >= level;
    };
    double shortest_px = std::numeric_limits<double>::infinity();
    for (const glm::ivec2& way : ways) {
        int count = 1;
        for (glm::ivec2 p = place + way; bright(p); p += way) ++count;
        for (glm::ivec2 p = place - way; bright(p); p -= way) ++count;
        shortest_px = std::min(shortest_px, count * glm::length(glm::dvec2(way)));
    }
    return shortest_px;
}

std::optional<TrailReading> read_trail(const Image& layer, double iso) {
    const auto brightest = std::ranges::max_element(layer.pixels, {}, luminance_of);
    const double peak_lxs = luminance_of(*brightest);
    if (!(peak_lxs > 0.0)) return std::nullopt;
    const auto index = static_cast<int>(brightest - layer.pixels.begin());
    return TrailReading{peak_lxs, std::log2(peak_lxs / saturation_lxs(iso)),
                        width_through(layer, {index % layer.width, index / layer.width},
                                      0.5 * peak_lxs)};
}

std::map<std::string, TrailReading> read_trails(const std::vector<ExposedTake>& takes) {
    constexpr std::string_view ending = ".trail";
    std::map<std::string, TrailReading> trails;
    for (const ExposedTake& take : takes)
        for (const Layer& layer : take.layers) {
            if (!layer.name.ends_with(ending)) continue;
            const auto reading = read_trail(layer.exposure_lxs, take.settings.iso);
            if (!reading) continue;
            const std::string lamp = layer.name.substr(0, layer.name.size() - ending.size());
            const auto [known, fresh] = trails.try_emplace(lamp, *reading);
            if (!fresh && known->second.stops_over_saturation < reading->stops_over_saturation)
                known->second = *reading;
        }
    return trails;
}

}  // namespace

MeterReading meter(const Shoot& shoot, const std::vector<ExposedTake>& takes) {
    MeterReading reading{};
    for (const Point& point : shoot.points)
        reading.points.push_back(read_point(shoot, point, takes));
    mark_hidden(shoot, reading.points);

    const Image picture = photograph(shoot, takes);
    std::size_t burnt = 0;
    std::size_t black = 0;
    for (const glm::vec3& pixel : picture.pixels) {
        const double over_mid_grey = luminance_of(pixel);
        if (over_mid_grey >= saturation_over_mid_grey) ++burnt;
        if (over_mid_grey < black_over_mid_grey) ++black;
    }
    const auto pixels = static_cast<double>(picture.pixels.size());
    reading.burnt_share = static_cast<double>(burnt) / pixels;
    reading.black_share = static_cast<double>(black) / pixels;
    reading.trail = read_trails(takes);
    return reading;
}

}  // namespace lampflight
