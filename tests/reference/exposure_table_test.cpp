// Published exposure arithmetic.
#include "scene/camera/exposure.h"

#include <array>
#include <cmath>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double standard_lens_factor = 0.65;  // rounded q of ISO 12232 (from memory)
constexpr double meter_constant_k = 12.5;      // within 10.6 to 13.4 of ISO 2720:1974

/// Settings of an exposure value at ISO 100 and f/1.
ExposureSettings settings_at(double exposure_value) {
    return {.shutter_s = std::exp2(-exposure_value), .f_number = 1.0, .iso = 100.0};
}

}  // namespace

// colour-science/colour-hdri, colour_hdri/exposure/dsc.py, docstring values (after ISO 12232:2006).
TEST_CASE("lens factor and focal-plane exposure agree with the worked values of ISO 12232") {
    const double q = lens_factor(0.9, std::cos(radians(10.0)));
    CHECK_WITHIN(q, 0.6515748, 1e-6);
    const double exposure_lxs = focal_plane_exposure_lxs(q * 4000.0, 1.0 / 250.0, 8.0);
    CHECK_WITHIN(exposure_lxs, 0.1628937, 1e-6);
    // The exposure index of that mean exposure, S = 10 / H, is the ISO that makes it mid-grey.
    CHECK_WITHIN(mid_grey_lxs(61.389725), exposure_lxs, 1e-7);
    CHECK_WITHIN(ev100({.shutter_s = 1.0 / 250.0, .f_number = 8.0, .iso = 400.0}), 11.9657843,
                 1e-6);
}

// Definition, ISO 2720: EV = log2(N^2 / t).
TEST_CASE("exposure values of settings") {
    struct Row {
        double f_number, shutter_s, value;
    };
    constexpr std::array rows{Row{1.0, 1.0, 0.0},         Row{16.0, 0.008, 14.965784},
                              Row{8.0, 0.004, 13.965784}, Row{2.8, 30.0, -1.9360369},
                              Row{5.6, 20.0, 0.64892556}, Row{4.0, 1.0 / 60.0, 9.9068906},
                              Row{1.4, 0.125, 3.9708537}};
    for (const Row& row : rows)
        CHECK_WITHIN(exposure_value({row.shutter_s, row.f_number, 100.0}), row.value, 1e-6);
}

// Exposure value table, ISO 100, K = 12.5, C = 250: rows -4 to 14 as published in the common table
// (EV 0: 0.125 cd/m2 and 2.5 lx; EV 14: 2048 cd/m2 and 40960 lx), 15 and 16 by its formula.
TEST_CASE("luminances of the exposure value table are metered to the same exposure") {
    struct Row {
        int value;
        double luminance_cd_m2, illuminance_lx;
    };
    constexpr std::array rows{
        Row{-4, 0.0078125, 0.15625}, Row{-3, 0.015625, 0.3125}, Row{-2, 0.03125, 0.625},
        Row{-1, 0.0625, 1.25},       Row{0, 0.125, 2.5},        Row{1, 0.25, 5.0},
        Row{2, 0.5, 10.0},           Row{3, 1.0, 20.0},         Row{4, 2.0, 40.0},
        Row{5, 4.0, 80.0},           Row{6, 8.0, 160.0},        Row{7, 16.0, 320.0},
        Row{8, 32.0, 640.0},         Row{9, 64.0, 1280.0},      Row{10, 128.0, 2560.0},
        Row{11, 256.0, 5120.0},      Row{12, 512.0, 10240.0},   Row{13, 1024.0, 20480.0},
        Row{14, 2048.0, 40960.0},    Row{15, 4096.0, 81920.0},  Row{16, 8192.0, 163840.0}};
    for (const Row& row : rows) {
        const ExposureSettings settings = settings_at(row.value);
        CHECK_WITHIN(ev100(settings), row.value, 1e-12);
        // H = q K / S: 0.08125 lx s at ISO 100, ISO 2720 with ISO 12232.
        const double metered_lxs = focal_plane_exposure_lxs(
            standard_lens_factor * row.luminance_cd_m2, settings.shutter_s, settings.f_number);
        CHECK_RELATIVE(metered_lxs, 0.08125, 1e-12);
        // A card of reflectance pi K / C = 0.15707963 in the row's illuminance has that luminance.
        const double card_cd_m2 = 0.15707963 * row.illuminance_lx / pi;
        CHECK_RELATIVE(focal_plane_exposure_lxs(standard_lens_factor * card_cd_m2,
                                                settings.shutter_s, settings.f_number),
                       metered_lxs, 1e-7);
    }
}

// ISO 2720 with K = 12.5; the ANSI example works N^2 = 256 to 3200 cd/m2.
TEST_CASE("sunny 16") {
    const ExposureSettings sunny{.shutter_s = 1.0 / 100.0, .f_number = 16.0, .iso = 100.0};
    CHECK_WITHIN(ev100(sunny), 14.6438562, 1e-6);
    CHECK_WITHIN(meter_constant_k * std::exp2(exposure_value(sunny)) / sunny.iso, 3200.0, 1e-9);
    CHECK_WITHIN(
        focal_plane_exposure_lxs(standard_lens_factor * 3200.0, sunny.shutter_s, sunny.f_number),
        0.08125, 1e-12);
    // The metered exposure lies below output mid-grey: log2(0.8125).
    CHECK_WITHIN(stops_from_mid_grey(0.08125, 100.0), -0.29956028, 1e-7);
}

// ISO 12232: S_sat = 78 / H_sat as in colour-hdri; S = 10 / H for standard output sensitivity (the
// 10 / H form as in colour-hdri, its name from memory).
TEST_CASE("saturation and mid-grey") {
    CHECK_WITHIN(saturation_lxs(100.0), 0.78, 1e-12);
    CHECK_WITHIN(saturation_lxs(800.0), 0.0975, 1e-12);
    CHECK_WITHIN(mid_grey_lxs(100.0), 0.1, 1e-12);
    CHECK_WITHIN(mid_grey_lxs(3200.0) / saturation_lxs(3200.0), 0.128205128, 1e-9);
    // The saturating luminance at EV100 0 is 7800 / 65 / 100 (rafx-plugins 0.0.16,
    // glsl/post_shared/exposure.glsl).
    CHECK_WITHIN(focal_plane_exposure_lxs(standard_lens_factor * 1.2, settings_at(0.0).shutter_s,
                                          settings_at(0.0).f_number),
                 saturation_lxs(100.0), 1e-12);
}

// A lit diffuse ground through to sensor and output values; the formulas above in a row, computed.
TEST_CASE("worked ground: reflectance and illuminance to exposure") {
    struct Row {
        double reflectance, illuminance_lx;
        ExposureSettings settings;
        double luminance_cd_m2, exposure_lxs, of_saturation, output;
    };
    constexpr std::array rows{
        Row{0.18, 10.0, {20.0, 5.6, 100.0}, 0.5729578, 0.23751439, 0.30450563, 0.43029115},
        Row{0.5, 1.0, {25.0, 4.0, 200.0}, 0.15915494, 0.16164174, 0.414466, 0.58567407}};
    for (const Row& row : rows) {
        const double luminance_cd_m2 = row.reflectance * row.illuminance_lx / pi;
        CHECK_RELATIVE(luminance_cd_m2, row.luminance_cd_m2, 1e-6);
        const double exposure_lxs = focal_plane_exposure_lxs(
            standard_lens_factor * luminance_cd_m2, row.settings.shutter_s, row.settings.f_number);
        CHECK_RELATIVE(exposure_lxs, row.exposure_lxs, 1e-6);
        CHECK_RELATIVE(exposure_lxs / saturation_lxs(row.settings.iso), row.of_saturation, 1e-6);
        // 0.181164244 is sRGB code 118 in linear light, IEC 61966-2-1.
        CHECK_RELATIVE(0.181164244 * exposure_lxs / mid_grey_lxs(row.settings.iso), row.output,
                       1e-6);
    }
}
