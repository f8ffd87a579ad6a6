// A grey card metered, exposed and developed: the whole way from light on the ground to codes.
#include <array>
#include <cmath>

#include "renderer/develop/photograph.h"
#include "renderer/develop/tone.h"
#include "renderer/meter/meter.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A card of 18 % that fills the frame under an even sky.
PlacedShoot grey_card(double temperature_k) {
    PlacedShoot shoot = dark_shoot({96, 64});
    shoot.ground.reflectance = Rgb(0.18);
    shoot.sky.horizontal_lx = 20.0;
    shoot.sky.temperature_k = temperature_k;
    look_down(shoot.camera, {0.0, 0.0}, 4.0);
    shoot.camera.sensor_pixels_across = 40.0;
    shoot.camera.f_number = 5.6;
    shoot.camera.iso = 400.0;
    shoot.camera.white_balance_k = temperature_k;
    shoot.points = {{"card", {0.0, 0.0, 0.0}}};
    return shoot;
}

/// Mean codes of the middle of the photograph.
Vec3 middle_codes(const PlacedShoot& shoot, const ExposedTake& take) {
    const auto codes = develop_srgb8(photograph(shoot, {take}, Noise::counted));
    Vec3 sum(0.0);
    int count = 0;
    for (int y = 24; y < 40; ++y)
        for (int x = 36; x < 60; ++x, ++count)
            for (int c = 0; c < 3; ++c)
                sum[c] += codes[static_cast<std::size_t>(3 * (y * 96 + x) + c)];
    return sum / static_cast<double>(count);
}

}  // namespace

// Mid-grey at 10 / S lux seconds is code 118 (standard output sensitivity of ISO 12232; the code
// from memory of that text). L = rho E / pi; H = q L t / N^2.
TEST_CASE("a grey card under a metered exposure comes out at code 118, neutral") {
    for (const double temperature_k : {3200.0, 5200.0, 9000.0}) {
        PlacedShoot shoot = grey_card(temperature_k);
        const double card_cd_m2 = 0.18 * 20.0 / pi;
        const double q = lens_factor(shoot.camera.lens.transmission, 1.0);
        shoot.camera.shutter_s =
            mid_grey_lxs(400.0) * shoot.camera.f_number * shoot.camera.f_number / (q * card_cd_m2);
        const MeterReading reading = meter(shoot, {exposed(shoot, {})});
        CHECK_WITHIN(reading.points.at(0).brightest_take().stops, 0.0, 0.1);
        shoot.camera.shutter_s *= std::exp2(-reading.points.at(0).brightest_take().stops);
        CHECK_WITHIN(middle_codes(shoot, exposed(shoot, {})), Vec3(118.0), 1.0);
    }
}
