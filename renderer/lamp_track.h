// A lamp over the shutter as the renderer asks for it: fast tables of place, aim and strength.
#pragma once

#include <array>
#include <vector>

#include "renderer/lanes.h"
#include "scene/shoot.h"

namespace lampflight {

/// A lamp at one instant.
struct LampInstant {
    glm::vec3 position_m;
    glm::vec3 aim;  ///< unit
};

/// A lamp at sixteen instants.
struct LampInstants {
    LaneVectors position_m;
    LaneVectors aim;
};

/// Positions and aims at even times, interpolated between; intensities by angle in a table.
class LampTrack {
public:
    LampTrack(const Shoot& shoot, const LitLamp& lit);

    bool moves() const { return cells_ > 0; }
    float lit_s() const { return lit_s_; }
    float face_radius_m() const { return face_radius_m_; }
    glm::vec3 colour() const { return colour_; }  ///< linear Rec. 709 at luminance 1
    float path_length_m() const { return path_length_m_; }

    LampInstant at(float time_s) const;
    void at(const Lanes& time_s, LampInstants& instants) const;

    /// Luminous intensity in candela in directions at these cosines from the aim.
    float intensity_cd(float cos_to_aim) const;
    void intensity_cd(const Lanes& cos_to_aim, Lanes& intensity) const;

private:
    // One table a component: the sixteen-lane versions then read them side by side.
    std::array<std::vector<float>, 3> position_m_;
    std::array<std::vector<float>, 3> aim_;
    std::vector<float> intensity_cd_;
    int cells_ = 0;  ///< between the tables' entries; 0 for a standing lamp

    float lit_s_;
    float face_radius_m_;
    float path_length_m_ = 0.0f;
    glm::vec3 colour_;
};

}  // namespace lampflight
