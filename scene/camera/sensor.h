// Colour filter array sensor: quantum efficiency, full well and noise. A quarter of its pixels sit
// behind red, half behind green, a quarter behind blue. All figures here are for one of the
// sensor's own pixels, of which a reduced picture joins many (Camera::sensor_pixels_across). The
// defaults are those of a generic full-frame sensor of today (common practice, no source); together
// they make ISO 100 the lowest speed that fills a pixel before it saturates.
#pragma once

#include <optional>

namespace lampflight {

struct Camera;

struct Sensor {
    double quantum_efficiency = 0.2;  ///< electrons for a photon of 400 to 700 nm, filter included
    std::optional<double> full_well_e;  ///< electrons a pixel holds; by its area when absent
    double read_noise_e = 3.0;          ///< root mean square, for each pixel
    double dark_current_e_s = 0.02;     ///< electrons a pixel gathers in the dark, in a second
};

/// Photons of 400 to 700 nm in a lux second of CIE D65, on a square micrometre: from the CIE 1931
/// observer and K_m = 683.002 lm/W. Planckian light of 2700 to 6500 K has 1 to 14 % more.
constexpr double photons_per_lxs_um2 = 10880.1;

/// Electrons that a square micrometre holds when full_well_e is absent (common practice, no
/// source).
constexpr double full_well_e_per_um2 = 1700.0;

/// Area of one of the sensor's own pixels in square micrometres.
double sensor_pixel_um2(const Camera& camera);

/// Electrons that white light of this exposure frees in a sensor pixel: photons times area times
/// quantum efficiency, whether or not the pixel holds them.
double electrons(const Camera& camera, double exposure_lxs);

/// Electrons that a sensor pixel gathers in the dark while the shutter is open.
double dark_electrons(const Camera& camera, double shutter_s);

/// Electrons that a sensor pixel holds.
double full_well_electrons(const Camera& camera);

/// Exposure from which on a sensor pixel tells no more: 78 / S lux seconds (ISO 12232) or a full
/// well, whichever is lower.
double clipping_lxs(const Camera& camera, double iso);

/// Noise of a sensor pixel in electrons, root mean square: the shot noise of light and of dark
/// electrons (Poisson) and the noise of reading, as the root of the sum of their squares.
double noise_electrons(const Camera& camera, double exposure_lxs, double shutter_s);

/// Signal over noise of a sensor pixel; 0 for no light. As `electrons`, it knows no upper end.
double signal_to_noise(const Camera& camera, double exposure_lxs, double shutter_s);

}  // namespace lampflight
