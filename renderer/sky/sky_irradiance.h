// Sky irradiance: what a surface of any slant gets from a sky that nothing hides.
#pragma once

#include <functional>
#include <vector>

#include <glm/glm.hpp>

namespace lampflight {

/// Lux by the surface's normal, from the sky above the horizon; below it there is no light. Tabled:
/// such light is smooth in the normal.
class SkyIrradiance {
public:
    /// `luminance_cd_m2` by direction. Level ground is to get `horizontal_lx`, the sky's own
    /// figure.
    SkyIrradiance(const std::function<glm::vec3(const glm::vec3&)>& luminance_cd_m2,
                  const glm::vec3& horizontal_lx);

    glm::vec3 at(const glm::vec3& normal) const;

private:
    std::vector<glm::vec3> nodes_;
};

}  // namespace lampflight
