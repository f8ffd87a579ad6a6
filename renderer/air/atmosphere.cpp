#include "renderer/air/atmosphere.h"

#include <algorithm>
#include <cmath>

#include "renderer/air/air_march.h"
#include "renderer/air/phase.h"

namespace lampflight {

Atmosphere::Atmosphere(const AirOptics& air) : sunlight_(air), higher_(sunlight_) {}

Scattered Atmosphere::radiance(double view_altitude_rad, double bearing_rad,
                               const LitFrom& body) const {
    constexpr int steps = 64;
    const glm::dvec3 sun(std::cos(body.altitude_rad), 0.0, std::sin(body.altitude_rad));
    const glm::dvec3 seen(std::cos(body.seen_altitude_rad), 0.0, std::sin(body.seen_altitude_rad));
    const glm::dvec3 ray(std::cos(view_altitude_rad) * std::cos(bearing_rad),
                         std::cos(view_altitude_rad) * std::sin(bearing_rad),
                         std::sin(view_altitude_rad));
    const double cosine = glm::dot(seen, ray);
    const auto gas_share = static_cast<float>(rayleigh_phase(cosine));
    const auto haze_share = static_cast<float>(haze_phase(cosine) - haze_peak(cosine));
    const AirOptics& optics = air();
    Scattered sum{};
    march(optics, {earth_radius_m, ray, length_to_space(earth_radius_m, ray.z), steps},
          [&](const AirStep& at) {
              const double sun_sine = glm::dot(at.point_m, sun) / glm::length(at.point_m);
              const double sun_rad = std::asin(std::clamp(sun_sine, -1.0, 1.0));
              const Bands lit =
                  sunlight_.towards_sun(at.height_m, sun_rad + dip_rad(std::max(0.0, at.height_m)));
              const Bands higher = higher_.at(at.height_m, sun_rad);
              const Bands through = transmittance(optics, at.view);
              for (std::size_t band = 0; band < band_count; ++band) {
                  const float gas = optics.gas[band] * at.density.gas;
                  const float haze = optics.haze_scattering[band] * at.density.haze;
                  const float reaching = at.length_m * through[band];
                  sum.smooth[band] +=
                      reaching * ((gas * gas_share + haze * haze_share) * lit[band] +
                                  (gas + haze) * higher[band]);
                  sum.haze_once[band] += reaching * haze * lit[band];
              }
          });
    return sum;
}

}  // namespace lampflight
