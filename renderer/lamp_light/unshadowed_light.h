// Unshadowed light: what a lamp lays on sixteen points, nothing in between.
#pragma once

#include <algorithm>
#include <cmath>

#include "renderer/lamp_light/lamp_track.h"

namespace lampflight {

/// One instant for all lanes.
struct AllLanes {
    const LampInstant& lamp;
    glm::vec3 position(int) const { return lamp.position_m; }
    glm::vec3 aim(int) const { return lamp.aim; }
};

/// An instant for each lane.
struct EachLane {
    const LampInstants& lamp;
    glm::vec3 position(int i) const { return lamp.position_m.at(i); }
    glm::vec3 aim(int i) const { return lamp.aim.at(i); }
};

/// Illuminance in lux at sixteen points with nothing in between. The face is a disc that always
/// looks at the point; within its radius the inverse square is cut off.
template <class Lamp>
void unshadowed_lx(const LampTrack& track, const Lamp& lamp, const LaneVectors& position_m,
                   const LaneVectors& normal, Lanes& light_lx) {
    Lanes haversine, geometry;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 at_m = lamp.position(i);
        const glm::vec3 aim = lamp.aim(i);
        const float x = at_m.x - position_m.x[i];
        const float y = at_m.y - position_m.y[i];
        const float z = at_m.z - position_m.z[i];
        const float square_m2 = std::max(x * x + y * y + z * z, 1e-12f);
        const float per_m = 1.0f / std::sqrt(square_m2);
        const float along = (x * normal.x[i] + y * normal.y[i] + z * normal.z[i]) * per_m;
        haversine[i] = haversine_to_aim(x, y, z, per_m, aim);
        geometry[i] = std::max(along, 0.0f) / std::max(square_m2, least_m2);
    }
    track.intensity_cd(haversine, light_lx);
    for (int i = 0; i < packet_size; ++i) light_lx[i] *= geometry[i];
}

}  // namespace lampflight
