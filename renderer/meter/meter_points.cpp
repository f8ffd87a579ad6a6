#include "renderer/meter/meter_points.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "renderer/geometry/geometry.h"
#include "renderer/lens/spread_film.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/camera/sensor.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

// A point named on a surface may lie a hand's breadth behind it.
constexpr double before_point_m = 0.25;

/// Mean over 3 x 3 pixels, fewer at the edge, of the luminance that `light(x, y)` gives.
template <class Light>
double mean_luminance(const glm::ivec2& size, const glm::ivec2& pixel, Light light) {
    double sum = 0.0;
    int count = 0;
    for (int y = std::max(0, pixel.y - 1); y <= std::min(size.y - 1, pixel.y + 1); ++y)
        for (int x = std::max(0, pixel.x - 1); x <= std::min(size.x - 1, pixel.x + 1); ++x) {
            sum += picture_luminance(light(x, y));
            ++count;
        }
    return sum / count;
}

bool is_hidden(const Geometry& geometry, const Projection& projection, const Vec3& point_m) {
    const Vec3 towards = point_m - projection.position_m();
    const double distance_m = glm::length(towards);
    if (distance_m <= before_point_m) return false;
    RayPacket ray;
    ray.active = 1;
    ray.reach.lane.fill(static_cast<float>((distance_m - before_point_m) / distance_m));
    ray.origin_m.set(0, glm::vec3(projection.position_m()));
    ray.direction.set(0, glm::vec3(towards));
    return geometry.rays().occluded(ray) != 0;
}

/// Where a point falls in the picture; nothing outside the frame.
std::optional<Vec2> place_of(const Camera& camera, const Point& point) {
    const auto film_px = Projection(camera).film_px(point.position_m);
    if (!film_px || !in_frame(camera, *film_px)) return std::nullopt;
    return film_px;
}

glm::ivec2 pixel_at(const Vec2& place_px) {
    return glm::ivec2(glm::floor(place_px));
}

TakeReading read_take(const Camera& camera, const ExposedTake& take, const SpreadFilm& film,
                      const glm::ivec2& pixel) {
    const glm::vec3 near = film.near_share();
    TakeReading reading{};
    reading.take = take.name;
    double direct_lxs = 0.0;
    for (const Layer& layer : take.layers) {
        const double lxs = mean_luminance(
            take.pixels, pixel, [&](int x, int y) { return near * exposure_lxs(layer, x, y); });
        direct_lxs += lxs;
        reading.layers[layer.id.text()] = lxs;
    }
    const int first = std::max(0, pixel.y - 1);
    const int end = std::min(take.pixels.y, pixel.y + 2);
    Image rows(take.pixels.x, end - first);
    PointSpread::Room room;
    film.read(first, end, rows, room);
    reading.exposure_lxs =
        mean_luminance(take.pixels, pixel, [&](int x, int y) { return rows.at(x, y - first); });
    reading.layers["glow"] = reading.exposure_lxs - direct_lxs;
    reading.stops = stops_from_mid_grey(reading.exposure_lxs, take.settings.iso);
    const double clips_at_lxs = clipping_lxs(camera, take.settings.iso);
    reading.clipped = reading.exposure_lxs >= clips_at_lxs;
    const double told_lxs = std::clamp(reading.exposure_lxs, 0.0, clips_at_lxs);
    reading.electrons = electrons(camera, told_lxs);
    reading.snr = signal_to_noise(camera, told_lxs, take.settings.shutter_s);
    return reading;
}

/// The points with their places, as yet without light.
std::vector<PointReading> placed_points(const Shoot& shoot, const Image& picture) {
    std::vector<PointReading> readings;
    for (const Point& point : shoot.points) {
        PointReading reading{};
        reading.name = point.name;
        reading.picture_stops = -std::numeric_limits<double>::infinity();
        if (const auto place_px = place_of(shoot.camera, point)) {
            reading.in_frame = true;
            reading.place_px = *place_px;
            reading.picture_stops = std::log2(
                std::max(0.0, mean_luminance({picture.width, picture.height}, pixel_at(*place_px),
                                             [&](int x, int y) { return picture.at(x, y); })));
        }
        readings.push_back(std::move(reading));
    }
    return readings;
}

/// Marks the points that something stands before in the take that exposes them most.
void mark_hidden(const PlacedShoot& shoot, std::vector<PointReading>& readings) {
    const Projection projection(shoot.camera);
    std::optional<Geometry> geometry;
    for (const Take& take : shoot.takes) {
        const auto from_take = [&](const PointReading& reading) {
            return reading.in_frame && reading.brightest_take().take == take.name;
        };
        if (std::ranges::none_of(readings, from_take)) continue;
        if (geometry)
            geometry->set_subjects(present_subjects(shoot, take));
        else
            geometry.emplace(shoot, present_subjects(shoot, take));
        for (PointReading& reading : readings)
            if (from_take(reading))
                reading.hidden = is_hidden(*geometry, projection,
                                           find_named(shoot.points, reading.name)->position_m);
    }
}

}  // namespace

std::vector<PointReading> read_points(const PlacedShoot& shoot,
                                      const std::vector<ExposedTake>& takes, const Image& picture) {
    std::vector<PointReading> readings = placed_points(shoot, picture);
    if (std::ranges::none_of(readings, &PointReading::in_frame)) return readings;
    PointSpreads spreads(shoot.camera);
    for (const ExposedTake& take : takes) {
        const FilmRows rows(take);
        const SpreadFilm film(spreads.at(take.settings.f_number), rows);
        for (PointReading& reading : readings) {
            if (!reading.in_frame) continue;
            reading.takes.push_back(
                read_take(shoot.camera, take, film, pixel_at(reading.place_px)));
            if (reading.takes.back().stops > reading.brightest_take().stops)
                reading.brightest = reading.takes.size() - 1;
        }
    }
    mark_hidden(shoot, readings);
    return readings;
}

}  // namespace lampflight
