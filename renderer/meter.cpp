#include "renderer/meter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "renderer/film_rows.h"
#include "renderer/stage.h"
#include "renderer/tone.h"

namespace lampflight {
namespace {

constexpr double black_over_mid_grey = 1.0 / 64.0;  // 6 stops under

// A point named on a surface may lie a hand's breadth behind it.
constexpr double before_point_m = 0.25;

double luminance_of(const glm::vec3& colour) {
    return luminance(Rgb(colour));
}

/// Mean over 3 x 3 pixels, fewer at the edge, of the luminance that `film_lxs(x, y)` gives.
template <class Film>
double reading_lxs(const glm::ivec2& size, const glm::ivec2& pixel, Film film_lxs) {
    double sum = 0.0;
    int count = 0;
    for (int y = std::max(0, pixel.y - 1); y <= std::min(size.y - 1, pixel.y + 1); ++y)
        for (int x = std::max(0, pixel.x - 1); x <= std::min(size.x - 1, pixel.x + 1); ++x) {
            sum += luminance_of(film_lxs(x, y));
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

/// The pixel that a point falls on; nothing outside the frame.
std::optional<glm::ivec2> pixel_of(const Camera& camera, const Point& point) {
    const auto film_px = Projection(camera).film_px(point.position_m);
    if (!film_px || film_px->x < 0.0 || film_px->y < 0.0 || film_px->x >= camera.pixels.x ||
        film_px->y >= camera.pixels.y)
        return std::nullopt;
    return glm::ivec2(glm::floor(*film_px));
}

/// Reads one take at a pixel; keeps the reading if the take is the brightest so far.
void read_take(const ExposedTake& take, const SpreadFilm& film, const glm::ivec2& pixel,
               PointReading& reading) {
    const glm::vec3 near = film.near_share();
    std::map<std::string, double> layers;
    double direct_lxs = 0.0;
    for (const Layer& layer : take.layers) {
        const double lxs = reading_lxs(
            take.pixels, pixel, [&](int x, int y) { return near * exposure_lxs(layer, x, y); });
        direct_lxs += lxs;
        layers[layer.name] = lxs;
    }
    std::vector<glm::vec3> row(static_cast<std::size_t>(take.pixels.x));
    const double sum_lxs = reading_lxs(take.pixels, pixel, [&](int x, int y) {
        film.read(y, row);
        return row[static_cast<std::size_t>(x)];
    });
    layers["glow"] = sum_lxs - direct_lxs;
    const double stops = stops_from_mid_grey(sum_lxs, take.settings.iso);
    if (!reading.take.empty() && stops <= reading.stops) return;
    reading.take = take.name;
    reading.exposure_lxs = sum_lxs;
    reading.stops = stops;
    reading.layers = std::move(layers);
}

std::vector<PointReading> read_points(const Shoot& shoot, const std::vector<ExposedTake>& takes) {
    std::vector<PointReading> readings;
    for (const Point& point : shoot.points)
        readings.push_back({point.name,
                            pixel_of(shoot.camera, point).has_value(),
                            false,
                            0.0,
                            -std::numeric_limits<double>::infinity(),
                            {},
                            {}});
    if (readings.empty()) return readings;
    for (const ExposedTake& take : takes) {
        const SpreadFilm film(shoot.camera, take);
        for (std::size_t i = 0; i < readings.size(); ++i)
            if (const auto pixel = pixel_of(shoot.camera, shoot.points[i]))
                read_take(take, film, *pixel, readings[i]);
    }
    return readings;
}

/// Marks the points that something stands before in the take that they were read from.
void mark_hidden(const Shoot& shoot, std::vector<PointReading>& readings) {
    const Projection projection(shoot.camera);
    std::optional<Stage> stage;
    for (const Take& take : shoot.takes) {
        const auto from_take = [&](const PointReading& reading) {
            return reading.in_frame && reading.take == take.name;
        };
        if (std::ranges::none_of(readings, from_take)) continue;
        if (stage)
            stage->recast(present_subjects(shoot, take));
        else
            stage.emplace(shoot, present_subjects(shoot, take));
        for (PointReading& reading : readings)
            if (from_take(reading))
                reading.hidden = is_hidden(*stage, projection,
                                           find_named(shoot.points, reading.name)->position_m);
    }
}

/// Shortest run of pixels through a place whose luminance stays at or above a level, in pixels.
double width_through(const TrailFilm& trail, const glm::ivec2& place, double level) {
    constexpr std::array<glm::ivec2, 4> ways{{{1, 0}, {0, 1}, {1, 1}, {1, -1}}};
    const auto bright = [&](const glm::ivec2& p) {
        return luminance_of(trail.exposure_lxs(p.x, p.y)) >= level;
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

std::optional<TrailReading> read_trail(const TrailFilm& trail, double iso) {
    const std::vector<TrailPixel> pixels = trail.pixels();
    const auto brightest = std::ranges::max_element(
        pixels, {}, [](const TrailPixel& pixel) { return luminance_of(pixel.mean_lxs); });
    const double peak_lxs = pixels.empty() ? 0.0 : luminance_of(brightest->mean_lxs);
    if (!(peak_lxs > 0.0)) return std::nullopt;
    return TrailReading{peak_lxs, std::log2(peak_lxs / saturation_lxs(iso)),
                        width_through(trail, {brightest->x, brightest->y}, 0.5 * peak_lxs)};
}

std::map<std::string, TrailReading> read_trails(const std::vector<ExposedTake>& takes) {
    constexpr std::string_view ending = ".trail";
    std::map<std::string, TrailReading> trails;
    for (const ExposedTake& take : takes)
        for (const Layer& layer : take.layers) {
            if (!layer.trail || !layer.name.ends_with(ending)) continue;
            const auto reading = read_trail(*layer.trail, take.settings.iso);
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
    reading.points = read_points(shoot, takes);
    mark_hidden(shoot, reading.points);

    const Image picture = photograph(shoot, takes);
    std::size_t burnt = 0;
    std::size_t black = 0;
    for (const glm::vec3& pixel : picture.pixels) {
        // Where green is full, no more than a tenth of luminance is left to tell light from light.
        if (static_cast<double>(pixel.g) >= saturation_over_mid_grey) ++burnt;
        if (luminance_of(pixel) < black_over_mid_grey) ++black;
    }
    const auto pixels = static_cast<double>(picture.pixels.size());
    reading.burnt_share = static_cast<double>(burnt) / pixels;
    reading.black_share = static_cast<double>(black) / pixels;
    reading.trail = read_trails(takes);
    return reading;
}

}  // namespace lampflight
