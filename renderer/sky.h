// The sky as a source of light: luminance by direction, and the light it lays on open ground.
#pragma once

#include <vector>

#include <glm/glm.hpp>

#include "scene/sky_light.h"

namespace lampflight {

/// The disc of the sun or the moon.
struct DirectLight {
    glm::vec3 direction;  ///< unit, towards it
    glm::vec3 normal_lx;  ///< linear Rec. 709 lux on a plane that faces it
    float radius_rad;
};

/// A sky of fixed level and colour: a smooth rise of luminance and warmth towards the horizon, more
/// so about the afterglow's bearing if it has one. Scaled so that open level ground receives just
/// the stated illuminance in just the stated colour.
class Sky {
public:
    explicit Sky(const SkyLight& light);

    /// Linear Rec. 709 luminance in cd/m2; below the horizon, that of the horizon.
    glm::vec3 luminance_cd_m2(const glm::vec3& direction) const;

    std::vector<DirectLight> direct() const { return {}; }

    /// On open level ground, in lux.
    glm::vec3 horizontal_lx() const { return horizontal_lx_; }

private:
    glm::vec3 shape(const glm::vec3& direction) const;

    glm::vec3 zenith_;
    glm::vec3 horizon_;
    glm::vec3 glow_;
    glm::vec3 glow_direction_{0.0f};  ///< level; zero without an afterglow
    glm::vec3 horizontal_lx_;
    glm::vec3 scale_{1.0f};
};

}  // namespace lampflight
