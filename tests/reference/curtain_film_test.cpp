// A strip of light that hangs below its drone draws a curtain: as evenly as a line of lamps without
// number, with the light of one.
#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double hang_m = 3.0;

/// A pass from left to right, whose strip ends at half of its height.
PlacedShoot curtain_over_ground(const Lamp& lamp) {
    PlacedShoot shoot = dark_shoot({24, 16});
    shoot.camera.position_m = {1.0, -7.0, 2.5};
    shoot.camera.look_at_m = Vec3(0.0, 3.0, 0.5);
    shoot.camera.focal_mm = 20.0;
    fly(shoot, lamp, straight_flight({-6.0, 4.0, 6.0}, {5.0, 3.0, 5.5}, 1.0));
    return shoot;
}

/// The strip cut into so many bare lamps, each with its part of the light.
PlacedShoot lamps_over_ground(const Lamp& strip, int count) {
    PlacedShoot shoot = curtain_over_ground(strip);
    shoot.lamps.clear();
    shoot.flights.front().carries.clear();
    for (int i = 0; i < count; ++i) {
        Lamp lamp = strip;
        lamp.name = "lamp " + std::to_string(i);
        lamp.hang_m = 0.0;
        lamp.offset_m = {0.0, 0.0, -strip.hang_m * (i + 0.5) / count};
        lamp.flux_lm = strip.flux_lm / count;
        shoot.lamps.push_back(lamp);
        shoot.flights.front().carries.push_back(lamp.name);
    }
    // So that lamps stay below one another: no drag.
    shoot.drones.resize(1);
    shoot.drones.front().drag_area_m2 = 0.0;
    return shoot;
}

/// A curtain in an upright plane far off, all of it in frame.
PlacedShoot curtain_far_off(const glm::ivec2& pixels, double sensor_pixels_across) {
    PlacedShoot shoot = dark_shoot(pixels);
    Lamp lamp = bare_lamp("lamp", 100.0);
    lamp.hang_m = hang_m;
    lamp.face_mm = 20.0;
    fly(shoot, lamp, straight_flight({-4.0, 200.0, 60.0}, {4.0, 200.0, 60.0}, 1.0));
    look_up(shoot.camera, {0.0, 200.0, 58.5}, 10.0);
    shoot.camera.sensor_pixels_across = sensor_pixels_across;
    return shoot;
}

/// What is largest over what is smallest, less 1.
double unevenness(const std::vector<double>& values) {
    const auto [low, high] = std::ranges::minmax_element(values);
    return *high / *low - 1.0;
}

}  // namespace

TEST_CASE("a curtain lays the light of 64 lamps one below the other on the ground") {
    struct Row {
        std::string what;
        Lamp lamp;
    };
    Lamp down = lobe_lamp("lamp", 300.0, 2.0);
    down.hang_m = hang_m;
    Lamp bare = bare_lamp("lamp", 100.0);
    bare.hang_m = hang_m;
    for (const Row& row : {Row{"bare", bare}, Row{"beam", down}}) {
        const Image curtain = layer_of(
            exposed(curtain_over_ground(row.lamp), {.quality = Quality::good, .bounces = 0}),
            "lamp.surface");
        const PlacedShoot lamps = lamps_over_ground(row.lamp, 64);
        const ExposedTake take = exposed(lamps, {.quality = Quality::good, .bounces = 0});
        std::vector<Image> films;
        for (const Lamp& lamp : lamps.lamps)
            films.push_back(layer_of(take, lamp.name + ".surface"));
        check_same_film(row.what, curtain, sum_of_films(films), 5e-3, 5e-3);
    }
}

// The curtain's own integral: over the strip, of the closed form for a bare lamp's straight level
// pass, I h (x2 / s2 - x1 / s1) / (v D^2), with D^2 = h^2 + y^2 and s^2 = D^2 + x^2.
TEST_CASE("a curtain lights the ground as the closed form integrated over its height") {
    constexpr double top_m = 6.0, half_way_m = 7.0;
    for (const double aside_m : {0.0, 2.0, 5.0})
        for (const double hangs_m : {1.5, 3.0, 5.0}) {
            PlacedShoot shoot = dark_shoot({8, 8});
            Lamp lamp = bare_lamp("lamp", 100.0);
            lamp.hang_m = hangs_m;
            fly(shoot, lamp,
                straight_flight({-half_way_m, 0.0, top_m}, {half_way_m, 0.0, top_m}, 1.0));
            look_down(shoot.camera, {0.0, aside_m}, 0.2);
            const double found = mean_arrived_lxs(
                shoot.camera, layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface"));
            constexpr int parts = 1000;
            double expected = 0.0;
            for (int i = 0; i < parts; ++i) {
                const double h = top_m - hangs_m * (i + 0.5) / parts;
                const double d2 = h * h + aside_m * aside_m;
                expected += 100.0 * h / d2 * 2.0 * half_way_m /
                            std::sqrt(d2 + half_way_m * half_way_m) / parts;
            }
            CHECK_RELATIVE(found, expected, 0.005);
        }
}

TEST_CASE("a curtain's line has the light of one lamp, whatever the picture's size") {
    struct Row {
        glm::ivec2 pixels;
        double sensor_pixels_across;
    };
    constexpr std::array rows{Row{{600, 300}, 1.0}, Row{{200, 100}, 1.0}, Row{{150, 75}, 4.0},
                              Row{{97, 51}, 6.0}};
    for (const Row& row : rows) {
        const PlacedShoot shoot = curtain_far_off(row.pixels, row.sensor_pixels_across);
        const Camera& camera = shoot.camera;
        const ExposedTake take = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
        const Image film = layer_of(take, "lamp.trail");
        // 8 s in which it is nearly one distance off.
        const double expected = 8.0 * drawn_lx_mm2(camera, 100.0, {0.0, 200.0, 58.5});
        CHECK_RELATIVE(drawn_lxs_mm2(camera, film), expected, 0.01);

        // Within it, to a tenth of its sides, all columns and all rows are alike, and so is each
        // part of a pixel.
        const Projection projection(camera);
        const Vec2 low_px = *projection.film_px({-3.2, 200.0, 59.7});
        const Vec2 high_px = *projection.film_px({3.2, 200.0, 57.3});
        const TrailFilm& fine = *std::ranges::find_if(take.layers, [](const Layer& layer) {
                                     return layer.id.text() == "lamp.trail";
                                 })->trail;
        const int side = fine.side();
        CHECK(side == static_cast<int>(row.sensor_pixels_across));
        const glm::ivec2 from = glm::ivec2(glm::ceil(low_px));
        const glm::ivec2 to = glm::ivec2(glm::floor(high_px));
        REQUIRE(to.y - from.y >= 10);
        const glm::ivec2 size = side * (to - from);
        std::vector<double> columns(static_cast<std::size_t>(size.x));
        std::vector<double> rows_of(static_cast<std::size_t>(size.y));
        std::vector<double> parts;
        for (int y = 0; y < size.y; ++y)
            for (int x = 0; x < size.x; ++x) {
                const auto of_pixel = fine.parts(from.x + x / side, from.y + y / side);
                const double light =
                    of_pixel.empty()
                        ? 0.0
                        : luminance_of(
                              of_pixel[static_cast<std::size_t>((y % side) * side + x % side)]);
                columns[static_cast<std::size_t>(x)] += light;
                rows_of[static_cast<std::size_t>(y)] += light;
                parts.push_back(light);
            }
        MESSAGE("picture ", row.pixels.x, " px wide, ", side, " parts: columns uneven by ",
                100.0 * unevenness(columns), " %, rows by ", 100.0 * unevenness(rows_of),
                " %, parts by ", 100.0 * unevenness(parts), " %");
        CHECK(unevenness(columns) < 0.02);
        CHECK(unevenness(rows_of) < 0.02);
        CHECK(unevenness(parts) < 0.05);
    }
}

TEST_CASE("a curtain hangs down from its drone by its length") {
    const PlacedShoot shoot = curtain_far_off({400, 200}, 1.0);
    const Image film =
        layer_of(exposed(shoot, {.quality = Quality::draft, .bounces = 0}), "lamp.trail");
    const Projection projection(shoot.camera);
    const double top_px = projection.film_px({0.0, 200.0, 60.0})->y;
    const double low_px = projection.film_px({0.0, 200.0, 57.0})->y;
    const int x = film.width / 2;
    const double middle = luminance_of(film.at(x, film.height / 2));
    // Half of the middle's light at its ends.
    double light = 0.0, moment = 0.0;
    for (int y = 0; y < film.height; ++y) {
        light += luminance_of(film.at(x, y));
        moment += luminance_of(film.at(x, y)) * (y + 0.5);
    }
    CHECK_WITHIN(light / middle, low_px - top_px, 0.5);
    CHECK_WITHIN(moment / light, 0.5 * (low_px + top_px), 0.2);
}
