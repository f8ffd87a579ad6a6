// Exposure arithmetic: from scene luminance to focal-plane exposure H in lux seconds and back.
// Symbols as in ISO 12232: H exposure, L luminance, N f-number, t shutter time, S speed (ISO).
#pragma once

namespace lampflight {

struct ExposureSettings {
    double shutter_s;
    double f_number;
    double iso;
};

/// Share of light a lens passes besides its glass: the vignetting factor v of ISO 12232:2006.
constexpr double lens_vignetting = 0.98;

/// q of H = q L t / N^2 at an angle off the axis: (pi/4) T v cos^4(theta), ISO 12232:2006.
double lens_factor(double lens_transmission, double cos_off_axis);

/// EV = log2(N^2 / t), ISO 2720; `ev100` refers the settings to ISO 100.
double exposure_value(const ExposureSettings& settings);
double ev100(const ExposureSettings& settings);

/// H = q L t / N^2 in lux seconds, ISO 12232. `film_cd_m2` is q L, luminance as the lens passes it
/// on; light already summed over the shutter goes in with 1 s, and 1 cd/m2 gives the factor that
/// aperture and time put on all light.
double focal_plane_exposure_lxs(double film_cd_m2, double open_s, double f_number);

/// Output mid-grey (sRGB code 118): 10 / S, standard output sensitivity of ISO 12232.
double mid_grey_lxs(double iso);

/// Sensor saturation: 78 / S, saturation speed of ISO 12232.
double saturation_lxs(double iso);

/// Stops above (plus) or below (minus) mid-grey; -infinity for no light.
double stops_from_mid_grey(double exposure_lxs, double iso);

}  // namespace lampflight
