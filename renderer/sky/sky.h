// The sky as a source of light: luminance by direction, and the light it lays on open ground.
#pragma once

#include <vector>

#include <glm/glm.hpp>

#include "renderer/sky/night_dome.h"
#include "renderer/sky/sky_irradiance.h"
#include "scene/sky/sky_light.h"

namespace lampflight {

/// A stated sky (stated_dome.h) or the sky over a place at one moment (night_dome.h).
class Sky {
public:
    explicit Sky(const SkyLight& light);
    explicit Sky(const NightSky& night);
    Sky(const NightSky& night, const Atmosphere& air);  ///< the air of that night, made before

    /// Linear Rec. 709 luminance in cd/m2; below the horizon, that of the horizon.
    glm::vec3 luminance_cd_m2(const glm::vec3& direction) const {
        return luminance_cd_m2(direction, SkyTable::place_of(direction));
    }
    /// The same for a direction whose place in the tables is known: of several skies only once.
    glm::vec3 luminance_cd_m2(const glm::vec3& direction, const SkyTable::Place& place) const;

    /// Discs of which something is above the horizon; none without a place. They are not in the
    /// luminance.
    const std::vector<SunMoonDisc>& direct() const { return dome_.direct; }

    /// On open level ground, in lux, discs left out.
    glm::vec3 horizontal_lx() const { return horizontal_lx_; }

    /// The same on a surface of any slant that nothing hides from the sky, by its normal.
    glm::vec3 irradiance_lx(const glm::vec3& normal) const { return open_.at(normal); }

private:
    explicit Sky(NightDome dome);

    NightDome dome_;
    glm::vec3 horizontal_lx_;
    SkyIrradiance open_;
};

}  // namespace lampflight
