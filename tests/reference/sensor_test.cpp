// Photons, electrons and signal-to-noise of the sensor against published figures and arithmetic.
#include "scene/camera/sensor.h"

#include <doctest/doctest.h>

#include <cmath>

#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Pixels of 6 um, no dark current, no read noise: what tables of shot noise speak of.
Camera six_micrometre_camera() {
    Camera camera;
    camera.sensor_mm = {36.0, 24.0};
    camera.pixels = {6000, 4000};
    camera.sensor.read_noise_e = 0.0;
    camera.sensor.dark_current_e_s = 0.0;
    return camera;
}

/// Exposure that frees so many electrons.
double exposure_of(const Camera& camera, double count_e) {
    return count_e / electrons(camera, 1.0);
}

}  // namespace

TEST_CASE("photons in a lux second of D65 on a square micrometre") {
    // CIE 1931 observer and CIE D65 at 1 nm, K_m = 683.002 lm/W, 400 to 700 nm: 10880.1.
    CHECK_RELATIVE(photons_per_lxs_um2, 10880.1, 1e-3);
    // Light of one wavelength at the eye's peak holds fewer: 1 / (683 h nu) = 4091.94 (definition
    // of the candela); white light needs more photons for the same lux.
    CHECK(photons_per_lxs_um2 > 4091.94);
}

TEST_CASE(
    "a pixel of 6 um at quantum efficiency 0.5 counts 152757 electrons at ISO 100 saturation") {
    // 0.78 lx s x 36 um2 x 10880.1 x 0.5 = 152757, shot noise alone 390.841 to 1.
    Camera camera = six_micrometre_camera();
    camera.sensor.quantum_efficiency = 0.5;
    CHECK_RELATIVE(sensor_pixel_um2(camera), 36.0, 1e-12);
    CHECK_RELATIVE(electrons(camera, saturation_lxs(100.0)), 152757.0, 1e-3);
    CHECK_RELATIVE(signal_to_noise(camera, saturation_lxs(100.0), 1.0), 390.841, 1e-3);
}

TEST_CASE("shot noise alone gives the root of the electrons, in decibels 20 log10 of it") {
    const Camera camera = six_micrometre_camera();
    struct Published {
        double count_e, ratio, decibels;
    };
    // Poisson: 100, 10000 and 40000 electrons.
    for (const Published& row :
         {Published{100.0, 10.0, 20.0}, {1e4, 100.0, 40.0}, {4e4, 200.0, 46.0206}}) {
        const double ratio = signal_to_noise(camera, exposure_of(camera, row.count_e), 20.0);
        CHECK_RELATIVE(ratio, row.ratio, 1e-9);
        CHECK_WITHIN(20.0 * std::log10(ratio), row.decibels, 1e-4);
    }
    CHECK(signal_to_noise(camera, 0.0, 20.0) == 0.0);
}

TEST_CASE("shot, dark and read noise add as squares") {
    Camera camera = six_micrometre_camera();
    camera.sensor.read_noise_e = 4.0;
    camera.sensor.dark_current_e_s = 0.5;
    // 90 of light, 18 in 36 s of dark, 4 x 4 of reading: the root of 124.
    const double exposure_lxs = exposure_of(camera, 90.0);
    CHECK_RELATIVE(dark_electrons(camera, 36.0), 18.0, 1e-12);
    CHECK_RELATIVE(noise_electrons(camera, exposure_lxs, 36.0), std::sqrt(124.0), 1e-12);
    CHECK_RELATIVE(signal_to_noise(camera, exposure_lxs, 36.0), 90.0 / std::sqrt(124.0), 1e-12);
}

TEST_CASE("a reduced picture has the same sensor behind it") {
    const Camera whole;
    Camera reduced;
    reduced.pixels = {960, 640};
    reduced.sensor_pixels_across = 6.25;
    CHECK_RELATIVE(electrons(reduced, 0.01), electrons(whole, 0.01), 1e-12);
    CHECK_RELATIVE(signal_to_noise(reduced, 0.01, 20.0), signal_to_noise(whole, 0.01, 20.0), 1e-12);
}

TEST_CASE("full well and quantum efficiency of the defaults agree about ISO 100") {
    // Saturation speed, ISO 12232: the speed whose 78 / S just fills the pixel. Generic sensors
    // are rated at ISO 100 (common practice, no source).
    const Camera camera;
    const double fills_at_iso = 78.0 / (full_well_electrons(camera) / electrons(camera, 1.0));
    CHECK_WITHIN(fills_at_iso, 100.0, 1.0);
    CHECK_RELATIVE(clipping_lxs(camera, 100.0), saturation_lxs(100.0), 1e-9);
    CHECK_RELATIVE(clipping_lxs(camera, 1600.0), saturation_lxs(1600.0), 1e-12);
    // Below it the well fills first.
    CHECK(clipping_lxs(camera, 50.0) < 0.6 * saturation_lxs(50.0));
    Camera shallow;
    shallow.sensor.full_well_e = 20000.0;
    CHECK_RELATIVE(electrons(shallow, clipping_lxs(shallow, 100.0)), 20000.0, 1e-12);
}
