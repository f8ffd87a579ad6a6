// Drones' own lights on film: a beacon's dots, sides as the camera sees them, nothing from covered.
#include <cmath>
#include <string>
#include <vector>

#include "scene/reader/read_shoot.h"
#include "scene/shoot/own_lights.h"
#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const RenderSettings as_draft{.quality = Quality::draft, .bounces = 0};

/// Middles of the lit runs of columns, in pixels.
std::vector<double> dots_px(const Image& film) {
    std::vector<double> dots;
    double light = 0.0, moment = 0.0;
    for (int x = 0; x <= film.width; ++x) {
        double column = 0.0;
        for (int y = 0; x < film.width && y < film.height; ++y)
            column += luminance_of(film.at(x, y));
        if (column > 0.0) {
            light += column;
            moment += column * (x + 0.5);
        } else if (light > 0.0) {
            dots.push_back(moment / light);
            light = moment = 0.0;
        }
    }
    return dots;
}

/// Middle of a film's light across the frame, in pixels.
double middle_px(const Image& film) {
    double light = 0.0, moment = 0.0;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            light += luminance_of(film.at(x, y));
            moment += luminance_of(film.at(x, y)) * (x + 0.5);
        }
    REQUIRE(light > 0.0);
    return moment / light;
}

/// A drone with all its lights, in a frame of 20 m.
PlacedShoot lit_drone(const Flight& flight, const Drone& drone) {
    PlacedShoot shoot = dark_shoot({400, 100});
    look_up(shoot.camera, {0.0, 200.0, 60.0}, 20.0);
    fly(shoot, bare_lamp("warm", 1.0), flight);
    shoot.drones = {drone};
    shoot.drones.front().drag_area_m2 = 0.0;
    add_own_lights(shoot);
    return shoot;
}

constexpr const char* scene = R"(
sky = { horizontal_lx = 0.1 }
camera = { pixels = [90, 60], shutter_s = 10, position_m = [0, -15, 1.5], look_at_m = [0, 0, 5] }
lamp = [{ name = "warm" }]
flight = [{ name = "halo", lap_s = 10, carries = ["warm"] }]
take = [{ name = "one", flights = ["halo"] }]
)";

PlacedShoot read_with(const std::string& more) {
    const Checked<PlacedShoot> read = read_placed_shoot(scene + more, "scene.toml", {});
    REQUIRE(std::holds_alternative<PlacedShoot>(read));
    return std::get<PlacedShoot>(read);
}

}  // namespace

// Dots lie v * 60 / n apart (arithmetic), here on a line across the frame at 20 px a metre.
TEST_CASE("a beacon's dots lie as far apart on film as the drone flies between flashes") {
    for (const double per_minute : {40.0, 60.0, 100.0}) {
        Drone drone;
        drone.beacon.pulse = {per_minute, 0.02, 0.0};
        constexpr double speed_m_s = 1.2;
        const PlacedShoot shoot =
            lit_drone(straight_flight({-9.0, 200.0, 60.0}, {9.0, 200.0, 60.0}, speed_m_s), drone);
        const Image film = layer_of(exposed(shoot, as_draft), "beacon.trail");
        const std::vector<double> dots = dots_px(film);
        // While the shutter is open for 15 s; the last flash would begin as it closes.
        REQUIRE(dots.size() == static_cast<std::size_t>(15.0 * per_minute / 60.0));
        const double apart_px = speed_m_s * 60.0 / per_minute * 20.0;
        // One of them lies within a part of a pixel; all of them together by far nearer.
        for (std::size_t i = 0; i + 1 < dots.size(); ++i)
            CHECK_WITHIN(dots[i + 1] - dots[i], apart_px, 0.2);
        const auto gaps = static_cast<double>(dots.size() - 1);
        CHECK_WITHIN((dots.back() - dots.front()) / gaps, apart_px, 0.02);
    }
}

// Who looks a drone in the face has its left on the right.
TEST_CASE("a drone that comes shows red on the right, one that leaves its light behind") {
    Drone drone;
    drone.own_lights = OwnLights::showing;
    drone.lights.arm_m = 0.5;
    Flight flight = straight_flight({0.0, 205.0, 60.0}, {0.0, 195.0, 60.0}, 1.0);
    flight.nose_deg = 180.0;
    const PlacedShoot coming = lit_drone(flight, drone);
    const ExposedTake film = exposed(coming, as_draft);
    const Image left = layer_of(film, "left light.trail");
    const Image right = layer_of(film, "right light.trail");
    // 1 m apart in a frame of 20 m, 400 px; the way towards the lens takes it up to 3 % nearer.
    CHECK_WITHIN(middle_px(left) - middle_px(right), 20.0, 0.7);
    glm::vec3 red(0.0f), green(0.0f);
    for (const glm::vec3& pixel : left.pixels) red += pixel;
    for (const glm::vec3& pixel : right.pixels) green += pixel;
    CHECK(red.r > 10.0f * red.g);
    CHECK(green.g > 5.0f * green.r);
    CHECK(sum_of(layer_of(film, "light behind.trail")) == 0.0);

    flight.nose_deg = 0.0;
    const ExposedTake leaving = exposed(lit_drone(flight, drone), as_draft);
    CHECK(sum_of(layer_of(leaving, "left light.trail")) == 0.0);
    CHECK(sum_of(layer_of(leaving, "right light.trail")) == 0.0);
    CHECK(sum_of(layer_of(leaving, "light behind.trail")) > 0.0);
}

TEST_CASE("a drone whose lights are covered changes no pixel") {
    const ExposedTake without = exposed(read_with(""), as_draft);
    const ExposedTake with = exposed(read_with("drone = [{ name = \"scout\" }]\n"), as_draft);
    REQUIRE(with.layers.size() == without.layers.size());
    for (std::size_t i = 0; i < with.layers.size(); ++i) {
        CHECK(with.layers[i].id == without.layers[i].id);
        CHECK(picture_lxs(with.layers[i], with.pixels).pixels ==
              picture_lxs(without.layers[i], without.pixels).pixels);
    }
}
