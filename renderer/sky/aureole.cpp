#include "renderer/sky/aureole.h"

#include <cmath>

#include <tbb/parallel_for.h>

#include "renderer/air/phase.h"
#include "renderer/sampling/directions.h"
#include "renderer/sky/sky_table.h"
#include "scene/basics/angle.h"

namespace lampflight {

Aureole::Aureole(const Atmosphere& air, const std::array<glm::vec3, band_count>& bands_lx,
                 const LitFrom& body, const glm::vec3& direction)
    : direction_(direction), haze_(static_cast<std::size_t>(SkyTable::rows)) {
    // The haze along a ray changes with its altitude, and over 30 degrees hardly with its bearing.
    tbb::parallel_for(0, SkyTable::rows, [&](int row) {
        const Bands haze = air.radiance(SkyTable::altitude_rad(row), 0.0, body).haze_once;
        glm::vec3& sum = haze_[static_cast<std::size_t>(row)];
        for (std::size_t band = 0; band < band_count; ++band) sum += haze[band] * bands_lx[band];
    });
}

bool Aureole::near(const glm::vec3& direction) const {
    return glm::dot(direction, direction_) > static_cast<float>(peak_edge_cosine);
}

glm::vec3 Aureole::at(const glm::vec3& direction) const {
    const float cosine = glm::dot(direction, direction_);
    const float row_at = SkyTable::row_at(direction);
    const auto row = std::min(static_cast<std::size_t>(row_at), haze_.size() - 2);
    return static_cast<float>(haze_peak(static_cast<double>(cosine))) *
           glm::mix(haze_[row], haze_[row + 1], row_at - static_cast<float>(row));
}

glm::vec3 Aureole::horizontal_lx() const {
    // Midpoint rule over rings that lie closer towards the body.
    constexpr int rings = 64;
    constexpr int parts = 64;
    const double edge_rad = std::acos(peak_edge_cosine);
    const Across frame = across(direction_);
    glm::dvec3 sum(0.0);
    for (int ring = 0; ring < rings; ++ring) {
        const double share = (ring + 0.5) / rings;
        const double off_rad = edge_rad * share * share;
        const double solid_angle_sr =
            std::sin(off_rad) * edge_rad * 2.0 * share / rings * (2.0 * pi / parts);
        for (int part = 0; part < parts; ++part) {
            const double turn_rad = 2.0 * pi * (part + 0.5) / parts;
            const glm::vec3 aside = static_cast<float>(std::cos(turn_rad)) * frame.tangent +
                                    static_cast<float>(std::sin(turn_rad)) * frame.bitangent;
            const glm::vec3 direction = static_cast<float>(std::cos(off_rad)) * direction_ +
                                        static_cast<float>(std::sin(off_rad)) * aside;
            if (direction.z > 0.0f)
                sum +=
                    solid_angle_sr * static_cast<double>(direction.z) * glm::dvec3(at(direction));
        }
    }
    return glm::vec3(sum);
}

void Aureole::scale(float factor) {
    for (glm::vec3& haze : haze_) haze *= factor;
}

}  // namespace lampflight
