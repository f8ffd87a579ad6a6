// Natural light against published tables.
#include "scene/sky/natural_light.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "tests/within.h"

using namespace lampflight;

TEST_CASE("The sun's light by altitude") {
    // Worked by another program from the coefficients in Vallado, table 5-1 (four independent
    // copies agree on them).
    for (const auto& [altitude_deg, lx] : {std::pair{60.0, 103118.0},
                                           {30.0, 46297.3},
                                           {10.0, 11121.0},
                                           {2.0, 1920.78},
                                           {0.0, 758.578},
                                           {-2.0, 189.361},
                                           {-3.0, 79.0683},
                                           {-4.0, 29.9348},
                                           {-6.0, 3.41159},
                                           {-8.0, 0.348056},
                                           {-10.0, 0.0421064},
                                           {-14.0, 0.00291647},
                                           {-16.0, 0.0014429},
                                           {-18.0, 0.000644703}})
        CHECK_RELATIVE(sun_lx(altitude_deg), lx, 1e-5);
    // At the seams half of the polynomials' disagreement, 1 % at the most, is ours.
    for (const auto& [altitude_deg, lx] : {std::pair{20.0, 27375.8},
                                           {5.0, 4538.32},
                                           {-0.8, 462.382},
                                           {-5.0, 10.4443},
                                           {-12.0, 0.00805648}})
        CHECK_RELATIVE(sun_lx(altitude_deg), lx, 0.006);
}

TEST_CASE("Light at the ends of twilight, by the AMS Glossary of Meteorology") {
    CHECK(sun_lx(-0.8333) > 410.0);
    CHECK(sun_lx(-0.8333) < 585.0);
    CHECK(sun_lx(-6.0) > 2.0);
    CHECK(sun_lx(-6.0) < 3.5);
    CHECK_RELATIVE(sun_lx(-12.0), 0.008, 0.1);
    CHECK_RELATIVE(sun_lx(-18.0), 0.0006, 0.1);
}

TEST_CASE("Light falls without a jump as sun or moon goes down, and ends") {
    double last_sun = sun_lx(80.0), last_alone = last_sun,
           last_moon = moon_lx(80.0, 170.0, 384400.0);
    for (double h = 79.99; h > -17.995; h -= 0.01) {
        CAPTURE(h);
        const double sun = sun_lx(h), alone = sun_alone_lx(h), moon = moon_lx(h, 170.0, 384400.0);
        CHECK(sun < last_sun);
        CHECK(alone < last_alone);
        CHECK(moon < last_moon);
        // The steepest twilight halves within 0.5 deg; a step of 0.01 deg is at most 6 % of that.
        CHECK(sun / last_sun > 0.94);
        if (h > -17.0) CHECK(alone / last_alone > 0.94);
        if (h > -17.0) CHECK(moon / last_moon > 0.94);
        // With the night's light added it is what was published, but for our fade.
        CHECK_RELATIVE(alone + sun_lx(-18.0), sun, h > -12.0 ? 0.04 : 0.18);
        last_sun = sun;
        last_alone = alone;
        last_moon = moon;
    }
    CHECK(sun_lx(-21.0) == sun_lx(-18.0));
    CHECK(sun_alone_lx(-18.0) == 0.0);
    CHECK(sun_alone_lx(-90.0) == 0.0);
    CHECK(moon_lx(-90.0, 0.0, 356400.0) == 0.0);
}

TEST_CASE("The moon's light by altitude and elongation") {
    // From the same source; the distance is that of a parallax of 0.951 deg.
    const double mean_km = 6378.137 / std::sin(0.951 * M_PI / 180.0);
    for (const auto& [altitude_deg, lx] : {std::pair{90.0, 0.269153},
                                           {60.0, 0.215995},
                                           {45.0, 0.164059},
                                           {30.0, 0.0977237},
                                           {10.0, 0.023611}})
        CHECK_RELATIVE(moon_lx(altitude_deg, 180.0, mean_km), lx, 1e-5);
    for (const auto& [elongation_deg, lx] :
         {std::pair{150.0, 0.0897053}, {120.0, 0.0463114}, {90.0, 0.0194741}})
        CHECK_RELATIVE(moon_lx(45.0, elongation_deg, mean_km), lx, 1e-5);
    // Inverse square, to the bend of a sine.
    CHECK_RELATIVE(moon_lx(45.0, 120.0, 0.9 * mean_km), 0.0463114 / 0.81, 1e-3);
}

TEST_CASE("Night sky and clouds") {
    // 10.8e4 10^(-0.4 m): the customary conversion; its worked example is 16.60 to 2.474e-2 cd/m2.
    CHECK_RELATIVE(night_luminance_cd_m2(16.60), 2.474e-2, 1e-4);
    // The natural illuminance table of electro-optics handbooks: starlight 0.0011 lx (factor 3).
    CHECK(night_lx(21.5) > 0.0011 / 3.0);
    CHECK(night_lx(21.5) < 0.0011 * 3.0);
    // Kasten & Czeplak 1980 (from memory): a full cover leaves a quarter.
    CHECK(clouded(0.0) == 1.0);
    CHECK_WITHIN(clouded(1.0), 0.25, 1e-12);
    CHECK(clouded(0.5) > 0.9);
}
