// Air columns: the air over a place in layers: gas, haze and ozone by height, and how much of each
// lies along a ray to space.
#pragma once

#include "renderer/air/air_spectrum.h"

namespace lampflight {

/// Metres. Hillaire 2020.
constexpr double earth_radius_m = 6360e3;
constexpr double air_top_m = 100e3;

/// What the air does to light, per metre. The Earth is taken as level all round at the height of
/// the place: gas and haze are as dense as there, ozone as at its peak.
struct AirOptics {
    Bands gas{};
    Bands haze_scattering{};
    Bands haze{};  ///< extinction
    Bands ozone{};
    double ground_m = 0.0;  ///< of the place, above sea level
};

/// Extinction at 550 nm at the place is 3.912 / visibility (Koschmieder 1924), of which haze has
/// what the gas leaves. Haze falls off with a power of the wavelength (Angstrom 1929; 1.3 is his
/// mean, from memory) and keeps 0.9 of what it takes, as Hillaire 2020's does.
AirOptics air_optics(double visibility_km, double elevation_m, double angstrom_exponent = 1.3);

/// Relative density times metres along a ray.
struct AirColumns {
    float gas = 0.0f;
    float haze = 0.0f;
    float ozone = 0.0f;
};

/// Adds a stretch of air of this density.
void add(AirColumns& sum, const AirColumns& density, double length_m);

/// Densities relative to the place's (scale height of gas 8 km, of haze 1.2 km: Hillaire 2020) and
/// to the peak of the ozone, a tent from 10 to 40 km above sea level. Heights here and below are
/// above the place.
AirColumns density_at(const AirOptics& air, double height_m);

/// To where a ray leaves the air, from a distance to the Earth's centre.
double length_to_space(double radius_m, double zenith_cosine);

/// From a height to space. `zenith_cosine` of the ray; the ground does not stop it.
AirColumns columns_to_space(const AirOptics& air, double height_m, double zenith_cosine);

float optical_depth(const AirOptics& air, std::size_t band, const AirColumns& columns);

/// exp(-depth) of every band.
Bands transmittance(const AirOptics& air, const AirColumns& columns);

}  // namespace lampflight
