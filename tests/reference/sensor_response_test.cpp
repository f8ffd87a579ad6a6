// From light on the film to codes of the picture: what a photographer sets an exposure by, white
// balance, and what burns out.
#include "renderer/develop/sensor_response.h"

#include <algorithm>
#include <cmath>

#include "renderer/develop/tone.h"
#include "scene/basics/colour.h"
#include "scene/camera/sensor.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr ExposureSettings at_iso_400{.shutter_s = 10.0, .f_number = 8.0, .iso = 400.0};

/// Codes before rounding of a film colour.
Vec3 codes_of(const SensorResponse& sensor, const Rgb& film_lxs) {
    const glm::vec3 developed = sensor.develop(sensor.seen(glm::vec3(film_lxs)));
    Vec3 codes;
    for (int c = 0; c < 3; ++c)
        codes[c] = 255.0 * srgb_encode(tone(static_cast<double>(developed[c])));
    return codes;
}

SensorResponse balanced_for(double temperature_k, double duv = 0.0,
                            const ExposureSettings& settings = at_iso_400) {
    Camera camera;
    camera.white_balance_k = temperature_k;
    camera.white_balance_duv = duv;
    return SensorResponse(camera, settings);
}

double spread(const Vec3& v) {
    return std::max({v.x, v.y, v.z}) - std::min({v.x, v.y, v.z});
}

/// Hue of a colour as an angle in the plane across grey.
double hue_rad(const Vec3& v) {
    return std::atan2(std::sqrt(3.0) * (v.y - v.z), 2.0 * v.x - v.y - v.z);
}

}  // namespace

// Incident light meters: N^2 / t = E S / C, C = 250 for a flat receptor (ISO 2720); a card of 18 %
// then stands at L = 0.18 E / pi, and on the film at q L t / N^2 with q = 0.65 (ISO 12232), which
// is 0.931 of mid-grey's 10 / S. Of a reflected light meter, L = K N^2 / (t S) with K = 12.5,
// 0.8125 of it. The card that is metered so that H = 10 / S is code 118.
TEST_CASE("a grey card under a metered exposure") {
    for (const double iso : {100.0, 1600.0}) {
        const ExposureSettings settings{.shutter_s = 1.0 / 60.0, .f_number = 5.6, .iso = iso};
        const double n2_over_t = settings.f_number * settings.f_number / settings.shutter_s;
        const auto code = [&](double luminance_cd_m2) {
            const double film = focal_plane_exposure_lxs(0.65 * luminance_cd_m2, settings.shutter_s,
                                                         settings.f_number);
            const Vec3 codes =
                codes_of(balanced_for(5500.0, 0.0, settings), film * planckian_rgb(5500.0));
            CHECK(spread(codes) < 0.1);
            return codes.y;
        };
        const double incident_lx = 250.0 * n2_over_t / iso;
        const double mid_grey_cd_m2 = 10.0 * n2_over_t / (0.65 * iso);
        CHECK_WITHIN(code(mid_grey_cd_m2), 118.0, 1.0);
        CHECK_RELATIVE(0.18 * incident_lx / pi / mid_grey_cd_m2, 0.931, 1e-3);
        CHECK_WITHIN(code(0.18 * incident_lx / pi), 114.2, 1.0);
    }
}

// Sunny 16: full sun at f/16 and 1/S s. By the reflected meter's equation the scene's mean is then
// 12.5 x 256 = 3200 cd/m2 (ISO 2720, K = 12.5), 0.8125 of mid-grey: code 107. White paper three
// stops above the card burns, a shadow three stops under it is dark and not black.
TEST_CASE("sunny sixteen") {
    for (const double iso : {100.0, 400.0}) {
        const ExposureSettings sunny{.shutter_s = 1.0 / iso, .f_number = 16.0, .iso = iso};
        const SensorResponse sensor = balanced_for(5500.0, 0.0, sunny);
        const auto code = [&](double luminance_cd_m2) {
            return codes_of(sensor, focal_plane_exposure_lxs(0.65 * luminance_cd_m2,
                                                             sunny.shutter_s, sunny.f_number) *
                                        planckian_rgb(5500.0))
                .y;
        };
        CHECK_RELATIVE(focal_plane_exposure_lxs(0.65 * 3200.0, sunny.shutter_s, sunny.f_number),
                       8.125 / iso, 1e-9);
        CHECK_WITHIN(code(3200.0), 107.0, 1.0);
        CHECK(code(8.0 * 3200.0) < 255.0);
        CHECK_WITHIN(code(10.0 * 3200.0), 255.0, 1e-9);
        CHECK(code(3200.0 / 8.0) > 30.0);
    }
}

TEST_CASE("a lamp behind a gel under a balance of their temperature is neutral at every level") {
    // Half orange: 109 mired, transmission 0.71 (common practice, no source).
    for (const double lamp_k : {2700.0, 3200.0, 4000.0, 5600.0, 6500.0, 9000.0}) {
        const double seen_k = shifted_temperature_k(lamp_k, 109.0);
        for (const double balance_k : {lamp_k, seen_k}) {
            const SensorResponse sensor = balanced_for(balance_k);
            for (double stops = -5.0; stops < 9.0; stops += 0.1) {
                const Rgb film = mid_grey_lxs(400.0) * std::exp2(stops) * planckian_rgb(balance_k);
                const Vec3 codes = codes_of(sensor, film);
                CHECK(spread(codes) < 0.5);
                const double plain = 255.0 * srgb_encode(tone(std::exp2(stops)));
                // The last stop is drawn up where the balance has a lower end than white.
                if (stops < 1.3) CHECK_WITHIN(codes.y, plain, 0.5);
                CHECK(codes.y > plain - 0.5);
            }
        }
    }
}

// CIE D65 lies 0.0032 above the Planckian locus at 6504 K (from memory of Ohno 2014, LEUKOS 10).
TEST_CASE("a tint balances for light off the locus") {
    const Vec3 tinted = codes_of(balanced_for(6504.0, 0.0032), Rgb(mid_grey_lxs(400.0)));
    CHECK_WITHIN(tinted, Vec3(118.0), 0.5);
    const Vec3 plain = codes_of(balanced_for(6504.0), Rgb(mid_grey_lxs(400.0)));
    CHECK(plain.y > plain.x);  // greenish light without it
    CHECK(plain.y > plain.z);
    const Vec3 more = codes_of(balanced_for(6504.0, 0.01), Rgb(mid_grey_lxs(400.0)));
    CHECK(more.y < more.x);
    CHECK(more.y < more.z);
    for (const double temperature_k : {1667.0, 3000.0, 25000.0})
        for (const double duv : {-0.05, 0.05})
            for (int c = 0; c < 3; ++c) {
                const double gain = white_balance_gains({temperature_k, duv})[c];
                CHECK(gain > 0.0);
                CHECK(gain <= 50.0);
            }
}

TEST_CASE("each of the sensor's colours clips by itself, at 78 / S or a full well") {
    Camera camera;
    camera.white_balance_k = 6504.0;
    camera.white_balance_duv = 0.0032;
    const SensorResponse sensor(camera, at_iso_400);
    const auto clip = static_cast<float>(saturation_lxs(400.0));
    const glm::vec3 full = sensor.develop({4.0f * clip, 0.3f * clip, 0.1f * clip});
    CHECK(full == sensor.develop({clip, 0.3f * clip, 0.1f * clip}));
    CHECK(full != sensor.develop({0.9f * clip, 0.3f * clip, 0.1f * clip}));
    CHECK(full != sensor.develop({clip, 0.35f * clip, 0.1f * clip}));
    camera.sensor.full_well_e = 0.5 * electrons(camera, saturation_lxs(400.0));
    const SensorResponse shallow(camera, at_iso_400);
    CHECK(shallow.develop(glm::vec3(0.5f * clip)) == shallow.develop(glm::vec3(clip)));
    CHECK(luminance_of(shallow.develop(glm::vec3(0.2f * clip))) ==
          luminance_of(sensor.develop(glm::vec3(0.2f * clip))));
}

TEST_CASE("a burnt core is white, whatever lamp and balance, and its edge has the lamp's colour") {
    for (const double balance_k : {3200.0, 5200.0, 9000.0})
        for (const double lamp_k : {2000.0, 2700.0, 5200.0, 9000.0, 20000.0}) {
            const SensorResponse sensor = balanced_for(balance_k);
            const Rgb lamp = planckian_rgb(lamp_k);
            for (const double stops : {8.0, 10.0, 14.0})
                CHECK_WITHIN(codes_of(sensor, mid_grey_lxs(400.0) * std::exp2(stops) * lamp),
                             Vec3(255.0), 1e-9);
            const Vec3 edge = codes_of(sensor, mid_grey_lxs(400.0) * lamp);
            const double away_mired = 1e6 / lamp_k - 1e6 / balance_k;
            if (away_mired > 30.0) CHECK(edge.x > edge.z + 10.0);
            if (away_mired < -30.0) CHECK(edge.z > edge.x + 10.0);
        }
}

TEST_CASE("no step and no foreign hue on the way from lamp's colour to white") {
    for (const double balance_k : {3200.0, 5200.0})
        for (const double lamp_k : {2000.0, 2700.0, 4000.0, 9000.0, 20000.0}) {
            const SensorResponse sensor = balanced_for(balance_k);
            const Rgb lamp = planckian_rgb(lamp_k);
            const double hue = hue_rad(codes_of(sensor, mid_grey_lxs(400.0) * lamp));
            Vec3 before = codes_of(sensor, mid_grey_lxs(400.0) * std::exp2(-6.0) * lamp);
            for (double stops = -6.0; stops < 8.0; stops += 0.01) {
                const Vec3 codes = codes_of(sensor, mid_grey_lxs(400.0) * std::exp2(stops) * lamp);
                // A hundredth of a stop. Red runs fastest, where green is full and no longer taken
                // off it.
                for (int c = 0; c < 3; ++c) CHECK(std::abs(codes[c] - before[c]) < 4.0);
                // Orange goes by yellow, blue by cyan; a sixth of the circle is the next primary's.
                if (spread(codes) > 8.0 && balance_k != lamp_k) {
                    const double turn = std::remainder(hue_rad(codes) - hue, 2.0 * pi);
                    CHECK(std::abs(turn) < pi / 3.0);
                }
                before = codes;
            }
        }
}
