#include "renderer/air/air_spectrum.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/vector.h"

namespace lampflight {
namespace {

constexpr std::size_t entries = 38;
using Table = std::array<double, entries>;

// 1e-27 m2
constexpr Table ozone_cross_section = {
    1.18,  0.2182, 0.2818, 0.6636, 1.527, 2.763, 5.52,  8.451, 15.82, 23.16, 36.69, 49.24, 77.52,
    90.16, 148.0,  160.2,  213.9,  275.5, 309.1, 350.0, 426.6, 467.2, 439.8, 470.1, 501.9, 430.5,
    374.0, 321.5,  266.2,  223.8,  185.2, 147.3, 120.9, 94.23, 74.55, 65.66, 51.05, 41.5};

constexpr Table solar_irradiance = {
    1.11776, 1.14259, 1.01249, 1.14716, 1.72765, 1.73054, 1.6887,  1.61253, 1.91198, 2.03474,
    2.02042, 2.02212, 1.93377, 1.95809, 1.91686, 1.8298,  1.8685,  1.8931,  1.85149, 1.8504,
    1.8341,  1.8345,  1.8147,  1.78158, 1.7533,  1.6965,  1.68194, 1.64654, 1.6048,  1.52143,
    1.55622, 1.5113,  1.474,   1.4482,  1.41018, 1.36775, 1.34188, 1.31429};

double read(const Table& table, double wavelength_nm) {
    const double at =
        std::clamp((wavelength_nm - 360.0) / 10.0, 0.0, static_cast<double>(entries - 1));
    const auto low = std::min(static_cast<std::size_t>(at), entries - 2);
    return std::lerp(table[low], table[low + 1], at - static_cast<double>(low));
}

double lobe(double wavelength_nm, double peak_nm, double below_nm, double above_nm) {
    const double width_nm = wavelength_nm < peak_nm ? below_nm : above_nm;
    const double off = (wavelength_nm - peak_nm) / width_nm;
    return std::exp(-0.5 * off * off);
}

/// IEC 61966-2-1.
glm::dvec3 rec709_from_xyz(const glm::dvec3& xyz) {
    return {3.2404542 * xyz.x - 1.5371385 * xyz.y - 0.4985314 * xyz.z,
            -0.9692660 * xyz.x + 1.8760108 * xyz.y + 0.0415560 * xyz.z,
            0.0556434 * xyz.x - 0.2040259 * xyz.y + 1.0572252 * xyz.z};
}

std::array<glm::vec3, band_count> bands_lx(double power_of_wavelength) {
    std::array<glm::vec3, band_count> bands{};
    for (std::size_t band = 0; band < band_count; ++band) {
        glm::dvec3 xyz(0.0);
        for (const double off_nm : {-10.0, 0.0, 10.0}) {
            const double wavelength_nm = band_nm(band) + off_nm;
            xyz += 683.0 * 10.0 * solar_w_m2_nm(wavelength_nm) *
                   std::pow(wavelength_nm / 550.0, power_of_wavelength) *
                   observer_1931(wavelength_nm);
        }
        bands[band] = glm::vec3(rec709_from_xyz(xyz));
    }
    return bands;
}

}  // namespace

double rayleigh_per_m(double wavelength_nm) {
    return 1.24062e-6 * std::pow(1e-3 * wavelength_nm, -4.0);
}

double ozone_per_m(double wavelength_nm) {
    constexpr double molecules_per_m2 = 300.0 * 2.687e20;
    constexpr double tent_m = 15e3;  // integral of a tent 30 km wide and 1 high
    return molecules_per_m2 / tent_m * 1e-27 * read(ozone_cross_section, wavelength_nm);
}

double solar_w_m2_nm(double wavelength_nm) {
    return read(solar_irradiance, wavelength_nm);
}

glm::dvec3 observer_1931(double wavelength_nm) {
    const double l = wavelength_nm;
    return {1.056 * lobe(l, 599.8, 37.9, 31.0) + 0.362 * lobe(l, 442.0, 16.0, 26.7) -
                0.065 * lobe(l, 501.1, 20.4, 26.2),
            0.821 * lobe(l, 568.8, 46.9, 40.5) + 0.286 * lobe(l, 530.9, 16.3, 31.1),
            1.217 * lobe(l, 437.0, 11.8, 36.0) + 0.681 * lobe(l, 459.0, 26.0, 13.8)};
}

std::array<glm::vec3, band_count> sun_bands_lx() {
    return bands_lx(0.0);
}

std::array<glm::vec3, band_count> moon_bands_lx() {
    return bands_lx(0.9);
}

glm::vec3 within_rec709(const glm::vec3& colour) {
    const float grey = luminance(colour);
    if (grey <= 0.0f) return glm::vec3(0.0f);
    const float least = std::min({colour.r, colour.g, colour.b});
    const float depth = 1.0f - least / grey;
    constexpr float knee = 0.85f;
    if (depth <= knee) return colour;
    const float kept = 1.0f - (1.0f - knee) * std::exp((knee - depth) / (1.0f - knee));
    return glm::max(glm::vec3(grey) + kept / depth * (colour - grey), glm::vec3(0.0f));
}

}  // namespace lampflight
