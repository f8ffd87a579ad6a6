#include "scene/flights/attitude.h"

#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double gravity_m_s2 = 9.80665;
constexpr double air_kg_m3 = 1.225;

/// The shortest turn that takes up to a unit vector.
glm::dmat3 lean_to(const Vec3& up) {
    const Vec3 axis = glm::cross(Vec3(0.0, 0.0, 1.0), up);  // its length is the angle's sine
    const double cosine = up.z;
    if (cosine < -1.0 + 1e-12) return {{1.0, 0.0, 0.0}, {0.0, -1.0, 0.0}, {0.0, 0.0, -1.0}};
    const auto leaned = [&](const Vec3& v) {
        return v * cosine + glm::cross(axis, v) + axis * (glm::dot(axis, v) / (1.0 + cosine));
    };
    return {leaned({1.0, 0.0, 0.0}), leaned({0.0, 1.0, 0.0}), leaned({0.0, 0.0, 1.0})};
}

}  // namespace

Airframe airframe_of(const Drone& drone, const Vec3& wind_m_s) {
    return {0.5 * air_kg_m3 * drone.drag_area_m2 / drone.loaded_kg(), wind_m_s};
}

glm::dmat3 attitude(const FlightPath& path, const Airframe& airframe, double time_s,
                    const Straying* strays) {
    const Vec3 gust_m_s = strays ? strays->gust_m_s(time_s) : Vec3(0.0);
    const Vec3 astray_m_s2 = strays ? strays->acceleration_m_s2(time_s) : Vec3(0.0);
    const Vec3 through_air = path.velocity_m_s(time_s) - airframe.wind_m_s - gust_m_s;
    const Vec3 thrust = path.acceleration_m_s2(time_s) + astray_m_s2 + Vec3(0.0, 0.0, gravity_m_s2) +
                        airframe.drag_per_m * glm::length(through_air) * through_air;
    const double nose_rad = path.nose_rad(time_s);
    const double strength_m_s2 = glm::length(thrust);
    const Vec3 up = strength_m_s2 > 1e-6 ? thrust / strength_m_s2 : Vec3(0.0, 0.0, 1.0);
    const glm::dmat3 lean = lean_to(up);
    return {lean * direction_of(nose_rad + 0.5 * pi), lean * direction_of(nose_rad),
            lean * Vec3(0.0, 0.0, 1.0)};
}

}  // namespace lampflight
