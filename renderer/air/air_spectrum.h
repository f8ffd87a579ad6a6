// Spectral optics of air: twelve bands of wavelength, what each scatters and absorbs, and its
// colour to the eye.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>

#include <glm/glm.hpp>

namespace lampflight {

/// Bands 30 nm wide about 390, 420, ... 720 nm.
constexpr std::size_t band_count = 12;
using Bands = std::array<float, band_count>;
constexpr double band_nm(std::size_t band) {
    return 390.0 + 30.0 * static_cast<double>(band);
}

/// Exponential of each, to 1e-6 of it and never under 1e-38; in plain arithmetic, so that a
/// compiler works all bands at once.
inline Bands exp_of(const Bands& powers) {
    Bands values{};
    for (std::size_t band = 0; band < band_count; ++band) {
        const float twos = std::max(-125.0f, powers[band] * 1.44269504f);
        const float whole = std::floor(twos + 0.5f);
        const float x = (twos - whole) * 0.69314718f;
        const float tail = 1.0f / 24.0f + x * (1.0f / 120.0f + x * (1.0f / 720.0f));
        const float value = 1.0f + x * (1.0f + x * (0.5f + x * (1.0f / 6.0f + x * tail)));
        values[band] = value * std::bit_cast<float>((static_cast<int>(whole) + 127) << 23);
    }
    return values;
}

/// Rayleigh scattering at sea level, 1/m: 1.24062e-6 / wavelength^4 (micrometres), Bruneton 2017.
double rayleigh_per_m(double wavelength_nm);

/// Absorption by ozone at the height of its greatest density, 1/m: 300 Dobson units in a tent from
/// 10 to 40 km. Cross sections every 10 nm, 360 to 730 nm, from memory of Bruneton 2017.
double ozone_per_m(double wavelength_nm);

/// Extraterrestrial solar irradiance, W/m2/nm, every 10 nm from 360 to 730 nm: from memory of
/// Bruneton 2017, who has it from an ASTM table.
double solar_w_m2_nm(double wavelength_nm);

/// CIE 1931 colour matching functions by the sums of lobes of Wyman, Sloan & Shirley 2013 (Journal
/// of Computer Graphics Techniques 2, 2).
glm::dvec3 observer_1931(double wavelength_nm);

/// Linear Rec. 709 in lux that sunlight outside the air gives in each band.
std::array<glm::vec3, band_count> sun_bands_lx();

/// The same for moonlight, as bright: the moon's ground is redder, by wavelength to the power 0.9
/// (common practice, no source).
std::array<glm::vec3, band_count> moon_bands_lx();

/// Colours outside Rec. 709 drawn towards grey of their own luminance until they fit, more gently
/// the nearer they are.
glm::vec3 within_rec709(const glm::vec3& colour);

}  // namespace lampflight
