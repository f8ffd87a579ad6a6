#include "scene/sky/starlight.h"

#include <cmath>
#include <fstream>
#include <string>
#include <vector>

#include "scene/sky/bright_stars.h"
#include "tests/within.h"

using namespace lampflight;

// The Extended Hipparcos Compilation (VizieR V/137D) has 5044 stars to V = 6.0.
TEST_CASE("the catalogue is in the program whole") {
    const auto stars = bright_stars();
    REQUIRE(stars.size() == 5044);
    CHECK(stars[0].ra_deg == 101.2872);  // Sirius
    CHECK(stars[0].v_mag == -1.44);
    std::ifstream file(LAMPFLIGHT_SOURCE_DIR "/scene/sky/bright_stars.csv");
    std::size_t row = 0, without_b_v = 0;
    for (std::string line; std::getline(file, line);) {
        if (line.front() < '0' || line.front() > '9') continue;
        std::vector<std::string> fields;
        for (std::size_t from = 0, to = 0; to != std::string::npos; from = to + 1) {
            to = line.find(',', from);
            fields.push_back(line.substr(from, to - from));
        }
        REQUIRE(fields.size() == 5);
        REQUIRE(row < stars.size());
        const BrightStar& star = stars[row++];
        CHECK(star.ra_deg == std::stod(fields[1]));
        CHECK(star.dec_deg == std::stod(fields[2]));
        CHECK(star.v_mag == std::stod(fields[3]));
        without_b_v += fields[4].empty();
        CHECK(star.b_v == (fields[4].empty() ? unknown_b_v : std::stod(fields[4])));
    }
    CHECK(row == stars.size());
    CHECK(without_b_v == 2);
}

TEST_CASE("airmass by Kasten & Young 1989") {
    struct Row {
        double altitude_deg, airmass;
    };
    for (const Row& row : {Row{0.0, 37.9196}, Row{5.0, 10.3058}, Row{10.0, 5.58604},
                           Row{30.0, 1.99429}, Row{90.0, 0.999712}})
        CHECK_RELATIVE(airmass(row.altitude_deg), row.airmass, 1e-5);
    CHECK(airmass(-3.0) == airmass(0.0));
}

// The sun's B-V of 0.65 gives about 5800 K (Ballesteros 2012); 0 gives 4600 (1/1.7 + 1/0.62).
TEST_CASE("temperature of a star by its B-V") {
    CHECK_WITHIN(star_temperature_k(0.65), 5800.0, 25.0);
    CHECK_WITHIN(star_temperature_k(0.0), 10125.2, 0.1);
    CHECK(star_temperature_k(-9.0) > star_temperature_k(-0.3));
    CHECK(star_temperature_k(99.0) > 1667.0);
}

// Five magnitudes are a factor of 100 (Pogson 1856).
TEST_CASE("light of a star by its magnitude") {
    CHECK_RELATIVE(star_lx(0.0), 2.54e-6, 1e-9);
    CHECK_RELATIVE(star_lx(5.0), 2.54e-8, 1e-9);
}

// 15.041 seconds of arc a second: at 24 mm on pixels of 6 um 0.29168 pixels a second.
TEST_CASE("length of a star's trail") {
    Camera camera;
    camera.focal_mm = 24.0;
    CHECK_RELATIVE(star_trail_px(camera, 25.0, 0.0), 25.0 * 0.29168, 1e-4);
    CHECK_RELATIVE(star_trail_px(camera, 25.0, -60.0), 12.5 * 0.29168, 1e-4);
    CHECK_WITHIN(star_trail_px(camera, 25.0, 90.0), 0.0, 1e-9);
    CHECK(star_trail_px(camera, 1e6, 0.0) == star_trail_px(camera, 2e5, 0.0));
}
