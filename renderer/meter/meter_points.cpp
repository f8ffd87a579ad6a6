#include "renderer/meter/meter_points.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/lens/spread_film.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/camera/sensor.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

/// How much of each pixel along a row or column lies within a span about a place: a pixel and a
/// half to either side, less near the frame's edge so that the place stays in the middle.
struct Span {
    int first;
    std::vector<double> shares;  ///< of the span, from the first pixel on

    Span(double place_px, int pixels) {
        const double half_px = std::clamp(std::min(place_px, pixels - place_px), 0.5, 1.5);
        const double from_px = std::max(place_px - half_px, 0.0);
        const double to_px = std::min(place_px + half_px, static_cast<double>(pixels));
        first = static_cast<int>(from_px);
        for (int i = first; i < to_px; ++i)
            shares.push_back((std::min(i + 1.0, to_px) - std::max<double>(i, from_px)) /
                             (to_px - from_px));
    }

    int end() const { return first + static_cast<int>(shares.size()); }
};

/// The pixels about a place in the picture, by their shares of a square there.
class MeteredSquare {
public:
    MeteredSquare(const glm::ivec2& pixels, const Vec2& place_px)
        : columns_(place_px.x, pixels.x), rows_(place_px.y, pixels.y) {}

    int first_row() const { return rows_.first; }
    int end_row() const { return rows_.end(); }

    /// Mean of the luminance that `light(x, y)` gives.
    template <class Light>
    double mean_luminance(Light light) const {
        double sum = 0.0;
        for (int y = rows_.first; y < rows_.end(); ++y)
            for (int x = columns_.first; x < columns_.end(); ++x)
                sum += rows_.shares[static_cast<std::size_t>(y - rows_.first)] *
                       columns_.shares[static_cast<std::size_t>(x - columns_.first)] *
                       picture_luminance(light(x, y));
        return sum;
    }

private:
    Span columns_;
    Span rows_;
};

/// Where a point falls in the picture; nothing outside the frame.
std::optional<Vec2> place_of(const Camera& camera, const Point& point) {
    const auto film_px = Projection(camera).film_px(point.position_m);
    if (!film_px || !in_frame(camera, *film_px)) return std::nullopt;
    return film_px;
}

TakeReading read_take(const Camera& camera, const ExposedTake& take, const SpreadFilm& film,
                      const Vec2& place_px) {
    const MeteredSquare about(take.pixels, place_px);
    const glm::vec3 near = film.near_share();
    TakeReading reading{};
    reading.take = take.name;
    double direct_lxs = 0.0;
    for (const Layer& layer : take.layers) {
        const double lxs =
            about.mean_luminance([&](int x, int y) { return near * exposure_lxs(layer, x, y); });
        direct_lxs += lxs;
        reading.layers[layer.id.text()] = lxs;
    }
    const int first = about.first_row();
    Image rows(take.pixels.x, about.end_row() - first);
    PointSpread::Room room;
    film.read(first, about.end_row(), rows, room);
    reading.exposure_lxs =
        about.mean_luminance([&](int x, int y) { return rows.at(x, y - first); });
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
                std::max(0.0, MeteredSquare({picture.width, picture.height}, *place_px)
                                  .mean_luminance([&](int x, int y) { return picture.at(x, y); })));
        }
        readings.push_back(std::move(reading));
    }
    return readings;
}

/// Looks through the points in the frame, as all stands in the take that exposes them most.
void look_through(const PlacedShoot& shoot, std::vector<PointReading>& readings) {
    const Vec3 lens_m = Projection(shoot.camera).position_m();
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
        for (std::size_t i = 0; i < readings.size(); ++i) {
            PointReading& reading = readings[i];
            if (!from_take(reading)) continue;
            reading.sight = point_sight(shoot, *geometry, lens_m, shoot.points[i].position_m);
            reading.hidden = reading.sight.meets == PointSight::Meets::nearer;
        }
    }
}

}  // namespace

std::vector<PointReading> read_points(const PlacedShoot& shoot,
                                      const std::vector<ExposedTake>& takes, const Image& picture,
                                      PointSpreads& spreads) {
    std::vector<PointReading> readings = placed_points(shoot, picture);
    if (std::ranges::none_of(readings, &PointReading::in_frame)) return readings;
    for (const ExposedTake& take : takes) {
        const FilmRows rows(take);
        const SpreadFilm film(spreads.at(take.settings.f_number), rows);
        for (PointReading& reading : readings) {
            if (!reading.in_frame) continue;
            reading.takes.push_back(read_take(shoot.camera, take, film, reading.place_px));
            if (reading.takes.back().stops > reading.brightest_take().stops)
                reading.brightest = reading.takes.size() - 1;
        }
    }
    look_through(shoot, readings);
    return readings;
}

}  // namespace lampflight
