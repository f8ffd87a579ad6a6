// Sunlight in the air of a round Earth: how much comes through, and how much is scattered.
#pragma once

#include <vector>

#include "renderer/air_spectrum.h"

namespace lampflight {

/// Metres. The two of them as Hillaire 2020 has them.
constexpr double earth_radius_m = 6360e3;
constexpr double air_top_m = 100e3;

/// What the air does to light, per metre: gas and haze at the ground, ozone at 25 km.
struct Air {
    Bands gas{};
    Bands haze_scattering{};
    Bands haze{};  ///< extinction
    Bands ozone{};
};

/// Extinction at 550 nm near the ground is 3.912 / visibility (Koschmieder 1924). Haze falls off
/// with a power of the wavelength (Angstrom 1929; 1.3 is his mean, from memory) and keeps 0.9 of
/// what it takes, as Hillaire 2020's does.
Air air_of(double visibility_km, double angstrom_exponent = 1.3);

/// Relative density times metres along a ray.
struct AirColumns {
    float gas = 0.0f;
    float haze = 0.0f;
    float ozone = 0.0f;
};

/// Densities relative to the ground's (gas: scale height 8 km, haze: 1.2 km) and to the tent's
/// peak.
AirColumns density_at(double height_m);

/// From a height to space. `zenith_cosine` of the ray; the ground does not stop it.
AirColumns columns_to_space(double height_m, double zenith_cosine);

float optical_depth(const Air& air, std::size_t band, const AirColumns& columns);

/// exp(-depth) of every band.
Bands transmittance(const Air& air, const AirColumns& columns);

/// Per steradian; each integrates to 1 over the sphere.
double rayleigh_phase(double cosine);
/// Cornette & Shanks 1992.
double haze_phase(double cosine, double asymmetry = 0.8);

/// Columns towards the sun and light of the second and higher orders, tabled for one air.
class Atmosphere {
public:
    explicit Atmosphere(const Air& air);

    const Air& air() const { return air_; }

    /// Transmittance towards a disc of half a degree: soft into the Earth's shadow.
    Bands towards_sun(double height_m, double sun_altitude_sine) const;

    /// Radiance seen from the ground for irradiance 1 outside the air. `view_altitude` in radians,
    /// from 0 up; `bearing` between view and sun.
    Bands radiance(double view_altitude_rad, double bearing_rad, double sun_altitude_rad) const;

private:
    void fill_columns();
    void fill_higher_orders();
    AirColumns sun_columns(double height_m, double above_horizon_rad) const;
    Bands higher_order(double height_m, double sun_altitude_sine) const;
    Bands higher_order_at(double height_m, double sun_altitude_rad) const;

    Air air_;
    std::vector<AirColumns> columns_;
    std::vector<Bands> log_higher_;
};

}  // namespace lampflight
