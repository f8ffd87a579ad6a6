#include "scene/shoot/in_wind.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/attitude.h"

namespace lampflight {
namespace {

constexpr int steps = 1024;

double angle_deg(double cosine) {
    return degrees(std::acos(std::clamp(cosine, -1.0, 1.0)));
}

/// The highest speed through the air, and the most lean.
struct Worst {
    double air_m_s = 0.0;
    double lean_deg = 0.0;
};

double time_at(const FlightPath& path, int step) {
    return std::lerp(path.begins_s(), path.ends_s(), static_cast<double>(step) / steps);
}

Worst worst_in(const FlightPath& path, const Airframe& airframe) {
    Worst worst;
    for (int i = 0; i <= steps; ++i) {
        const double time_s = time_at(path, i);
        worst.air_m_s =
            std::max(worst.air_m_s, glm::distance(path.velocity_m_s(time_s), airframe.wind_m_s));
        worst.lean_deg = std::max(worst.lean_deg, angle_deg(attitude(path, airframe, time_s)[2].z));
    }
    return worst;
}

std::optional<double> crab_deg(const FlightPath& path, const Vec3& wind_m_s) {
    std::optional<double> most;
    for (int i = 0; i <= steps; ++i) {
        const Vec3 over_ground = path.velocity_m_s(time_at(path, i));
        const Vec2 course(over_ground), through_air(over_ground - wind_m_s);
        if (glm::length(course) <= glm::length(wind_m_s)) continue;
        const double lengths = glm::length(course) * glm::length(through_air);
        most = std::max(most.value_or(0.0), angle_deg(glm::dot(course, through_air) / lengths));
    }
    return most;
}

}  // namespace

std::optional<InWind> in_wind(const Shoot& shoot, const FlownFlight& flown) {
    const double gust_m_s = std::max(shoot.air.gust_m_s.value_or(0.0), shoot.air.wind_m_s);
    if (gust_m_s <= 0.0) return std::nullopt;
    const Drone* known = drone_of(shoot, *flown.flight);
    const Drone drone = known ? *known : Drone{};
    const Vec3 wind = wind_m_s(shoot.air);
    const Worst steady = worst_in(flown.path, airframe_of(drone, wind));
    const Vec3 gust = -gust_m_s * direction_of(radians(shoot.air.wind_from_deg));
    const Worst gusty =
        gust_m_s > shoot.air.wind_m_s ? worst_in(flown.path, airframe_of(drone, gust)) : steady;
    return InWind{steady.air_m_s, steady.lean_deg, crab_deg(flown.path, wind), gusty.air_m_s,
                  gusty.lean_deg};
}

}  // namespace lampflight
