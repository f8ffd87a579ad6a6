// The sky as a source of light: luminance by direction, and the light it lays on open ground.
#pragma once

#include <vector>

#include <glm/glm.hpp>

#include "renderer/aureole.h"
#include "renderer/direct_disc.h"
#include "renderer/sky_table.h"
#include "scene/night_sky.h"
#include "scene/sky_light.h"

namespace lampflight {

/// A sky of fixed level and colour: a smooth rise of luminance and warmth towards the horizon, more
/// so about the afterglow's bearing if it has one. Scaled so that open level ground receives just
/// the stated illuminance in just the stated colour. Or the sky over a place at one moment, as
/// night_dome.h makes it.
class Sky {
public:
    explicit Sky(const SkyLight& light);
    explicit Sky(const NightSky& night);

    /// Linear Rec. 709 luminance in cd/m2; below the horizon, that of the horizon.
    glm::vec3 luminance_cd_m2(const glm::vec3& direction) const;

    /// Discs of which something is above the horizon; none without a place. They are not in the
    /// luminance.
    const std::vector<DirectLight>& direct() const { return direct_; }

    /// On open level ground, in lux, discs left out.
    glm::vec3 horizontal_lx() const { return horizontal_lx_; }

private:
    glm::vec3 shape(const glm::vec3& direction) const;

    SkyTable table_;  // empty without a place
    std::vector<DirectLight> direct_;
    std::vector<Aureole> aureoles_;  ///< beyond the table
    glm::vec3 zenith_{0.0f};
    glm::vec3 horizon_{0.0f};
    glm::vec3 glow_{0.0f};
    glm::vec3 glow_direction_{0.0f};  ///< level; zero without an afterglow
    glm::vec3 horizontal_lx_{0.0f};
    glm::vec3 scale_{1.0f};
};

}  // namespace lampflight
