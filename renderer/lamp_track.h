// A lamp over the shutter as the renderer asks for it: fast tables of place, aim and strength.
#pragma once

#include <vector>

#include "scene/shoot.h"

namespace lampflight {

/// A lamp at one instant.
struct LampInstant {
    glm::vec3 position_m;
    glm::vec3 aim;  ///< unit
};

/// Positions and aims at even times, interpolated between; intensities by angle in a table.
class LampTrack {
public:
    LampTrack(const Shoot& shoot, const LitLamp& lit);

    const Lamp& lamp() const { return *lamp_; }
    bool moves() const { return instants_.size() > 1; }
    float lit_s() const { return lit_s_; }
    float face_radius_m() const { return face_radius_m_; }
    glm::vec3 colour() const { return colour_; }  ///< linear Rec. 709 at luminance 1
    float path_length_m() const { return path_length_m_; }

    LampInstant at(float time_s) const;

    /// Luminous intensity in candela in a direction at this cosine from the aim.
    float intensity_cd(float cos_to_aim) const;

private:
    const Lamp* lamp_;
    float lit_s_;
    float face_radius_m_;
    float path_length_m_ = 0.0f;
    glm::vec3 colour_;
    std::vector<LampInstant> instants_;
    std::vector<float> intensity_cd_;
};

}  // namespace lampflight
