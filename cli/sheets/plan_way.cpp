#include "cli/sheets/plan_way.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/sheets/plan_fix.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double sample_m = 0.2;
constexpr double fewest_samples = 360.0;
constexpr double most_samples = 4096.0;

/// Twice the area that a closed line goes about, anticlockwise positive.
template <class OnPlane>
double double_area(const std::vector<Vec3>& way_m, OnPlane on_plane) {
    double sum = 0.0;
    for (std::size_t i = 0; i < way_m.size(); ++i) {
        const Vec2 from = on_plane(way_m[i] - way_m.front());
        const Vec2 to = on_plane(way_m[(i + 1) % way_m.size()] - way_m.front());
        sum += from.x * to.y - from.y * to.x;
    }
    return sum;
}

/// Turns about the middle, as seen from above.
double turns_about(const std::vector<Vec3>& way_m, const Vec3& middle_m) {
    double sum_rad = 0.0;
    for (std::size_t i = 1; i < way_m.size(); ++i) {
        const Vec2 from = Vec2(way_m[i - 1] - middle_m), to = Vec2(way_m[i] - middle_m);
        sum_rad += std::atan2(from.x * to.y - from.y * to.x, glm::dot(from, to));
    }
    return std::abs(sum_rad) / (2.0 * pi);
}

bool goes_round(FlightShape shape) {
    switch (shape) {
        case FlightShape::circle:
        case FlightShape::ring:
        case FlightShape::helix:
        case FlightShape::spiral:
        case FlightShape::star:
        case FlightShape::figure:
            return true;
        case FlightShape::line:
        case FlightShape::sweep:
        case FlightShape::hover:
        case FlightShape::waypoints:
            break;
    }
    return false;
}

std::string sets_off(const std::vector<Vec3>& way_m) {
    constexpr double first_m = 0.3;
    const auto off = std::ranges::find_if(way_m, [&](const Vec3& place_m) {
        return glm::distance(place_m, way_m.front()) > first_m;
    });
    const Vec3 by_m = (off == way_m.end() ? way_m.back() : *off) - way_m.front();
    if (glm::length(by_m) < 1e-3) return "hovers";
    if (std::abs(by_m.z) > 3.0 * glm::length(Vec2(by_m)))
        return by_m.z > 0.0 ? "climbs first" : "sinks first";
    return fmt::format("sets off on {}", bearing_text(degrees(bearing_of(by_m))));
}

}  // namespace

std::vector<Vec3> way_of(const FlightPath& path) {
    const double way_m = path.flown_m(path.ends_s());
    const int steps = static_cast<int>(std::clamp(way_m / sample_m, fewest_samples, most_samples));
    std::vector<double> times_s = path.breaks_s();
    for (int i = 0; i <= steps; ++i)
        times_s.push_back(std::lerp(path.begins_s(), path.ends_s(), 1.0 * i / steps));
    std::ranges::sort(times_s);
    std::vector<Vec3> places;
    for (const double time_s : times_s)
        if (time_s >= path.begins_s() && time_s <= path.ends_s())
            places.push_back(path.position_m(time_s));
    return places;
}

std::string way_round(const Flight& flight, const std::vector<Vec3>& way_m,
                      const SightLine& sight) {
    double length_m = 0.0;
    for (std::size_t i = 1; i < way_m.size(); ++i)
        length_m += glm::distance(way_m[i - 1], way_m[i]);
    // As the camera sees it, upright and level, towards the flight's middle.
    Vec3 middle_m{0.0};
    for (const Vec3& place_m : way_m) middle_m += place_m / static_cast<double>(way_m.size());
    constexpr double nearly_once = 0.75;
    const bool rounds = goes_round(flight.shape) || (flight.shape == FlightShape::waypoints &&
                                                     turns_about(way_m, middle_m) > nearly_once);
    if (!rounds) return sets_off(way_m);
    const Vec2 towards_m = Vec2(middle_m) - Vec2(sight.lens_m);
    const Vec2 along = glm::length(towards_m) > 1e-6 ? glm::normalize(towards_m) : sight.along;
    const double above = double_area(way_m, [](const Vec3& by_m) { return Vec2(by_m); });
    const double seen = double_area(way_m, [&](const Vec3& by_m) {
        return Vec2(glm::dot(Vec2(by_m), Vec2(along.y, -along.x)), by_m.z);
    });
    constexpr double least_share = 0.004;  // a circle of one turn has 1 / 2 pi
    if (std::max(std::abs(above), std::abs(seen)) < least_share * length_m * length_m)
        return sets_off(way_m);
    const bool from_above = std::abs(above) >= std::abs(seen);
    const double turn = from_above ? above : seen;
    return std::string(turn < 0.0 ? "clockwise" : "anticlockwise") +
           (from_above ? " seen from above" : " seen from the camera");
}

std::string tag_of(std::size_t place) {
    constexpr std::size_t letters = 26;
    const std::string last(1, static_cast<char>('A' + place % letters));
    return place < letters ? last : tag_of(place / letters - 1) + last;
}

}  // namespace lampflight
