// Aureole: the glow of haze about a sun or moon in the sky: too narrow for a table of the dome.
#pragma once

#include <vector>

#include <glm/glm.hpp>

#include "renderer/air/atmosphere.h"

namespace lampflight {

/// Light that haze sends on within 30 degrees of a body, beyond what a table of the dome holds of
/// it.
class Aureole {
public:
    /// `direction` unit, towards the body, which stands above the horizon.
    Aureole(const Atmosphere& air, const std::array<glm::vec3, band_count>& bands_lx,
            const LitFrom& body, const glm::vec3& direction);

    bool near(const glm::vec3& direction) const;

    /// Linear Rec. 709 in cd/m2, some components negative; below the horizon, as on it.
    glm::vec3 at(const glm::vec3& direction) const;

    /// What it lays on open level ground, in lux.
    glm::vec3 horizontal_lx() const;

    void scale(float factor);

private:
    glm::vec3 direction_;
    std::vector<glm::vec3> haze_;  ///< by rows of the sky's table, to be multiplied with the peak
};

}  // namespace lampflight
