#include "scene/basics/colour.h"

#include <initializer_list>

#include "tests/within.h"

using namespace lampflight;

TEST_CASE("Planckian colours have luminance 1 and go from red to blue") {
    double last_ratio = 0.0;
    for (double temperature_k = 1700.0; temperature_k <= 25000.0; temperature_k *= 1.1) {
        const Rgb colour = planckian_rgb(temperature_k);
        CHECK_WITHIN(luminance(colour), 1.0, 1e-12);
        const double ratio = colour.b / colour.r;
        if (temperature_k > 1700.0) CHECK(ratio > last_ratio);
        last_ratio = ratio;
    }
}

TEST_CASE("the locus has no visible step where its pieces meet and stops at its ends") {
    for (const double seam_k : {2222.0, 4000.0})
        CHECK_WITHIN(planckian_xy(seam_k - 0.001), planckian_xy(seam_k + 0.001), 2e-4);
    CHECK(planckian_xy(500.0) == planckian_xy(lowest_temperature_k));
    CHECK(planckian_xy(90000.0) == planckian_xy(highest_temperature_k));
}

TEST_CASE("light of the white balance's own temperature comes out neutral") {
    for (const double white_k : {2700.0, 3200.0, 5200.0, 6500.0, 9000.0}) {
        const Rgb seen = white_balance_matrix({.temperature_k = white_k}) * planckian_rgb(white_k);
        CHECK_WITHIN(seen.r, seen.g, 1e-9);
        CHECK_WITHIN(seen.b, seen.g, 1e-9);
        CHECK_WITHIN(seen.g, 1.0, 1e-4);
    }
}

TEST_CASE("a cooler lamp than the white balance is warm, a hotter one blue") {
    const glm::dmat3 matrix = white_balance_matrix({.temperature_k = 5200.0});
    const Rgb warm = matrix * planckian_rgb(3200.0);
    const Rgb blue = matrix * planckian_rgb(9000.0);
    CHECK(warm.r > warm.b);
    CHECK(blue.b > blue.r);
}

TEST_CASE("gels add up in mired and never run past the range") {
    const double once_k = shifted_temperature_k(5600.0, 60.0);
    CHECK_RELATIVE(shifted_temperature_k(once_k, 49.0), shifted_temperature_k(5600.0, 109.0),
                   1e-12);
    CHECK_RELATIVE(shifted_temperature_k(once_k, -60.0), 5600.0, 1e-12);
    CHECK_RELATIVE(shifted_temperature_k(10000.0, -100.0), highest_temperature_k, 1e-12);
    CHECK_RELATIVE(shifted_temperature_k(10000.0, -300.0), highest_temperature_k, 1e-12);
}
