// Attitude of a multirotor: it leans so that its thrust, along its own up, carries its weight,
// accelerates it and holds it against the air.
#pragma once

#include "scene/flights/drone.h"
#include "scene/flights/flight_path.h"
#include "scene/flights/straying.h"

namespace lampflight {

/// What makes a drone lean.
struct Airframe {
    double drag_per_m = 0.0;  ///< half the air's density times drag area over mass
    Vec3 wind_m_s{0.0};       ///< velocity of the air

    bool operator==(const Airframe&) const = default;
};

Airframe airframe_of(const Drone& drone, const Vec3& wind_m_s);

/// Axes of the drone in the world, as columns: to its right, ahead, up; a turn by bearing and then
/// the shortest lean. Thrust per mass is a + g z + k |u| u, with u the velocity through the air.
/// Standard gravity by ISO 80000-3; air of 1.225 kg/m3, the ISO 2533 standard atmosphere's.
/// Where it strays, with what that adds: its acceleration, and the gust.
glm::dmat3 attitude(const FlightPath& path, const Airframe& airframe, double time_s,
                    const Straying* strays = nullptr);

}  // namespace lampflight
