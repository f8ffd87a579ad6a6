// Light that bounces and light of the sky, against closed forms for closed and open worlds.
#include <array>
#include <map>

#include "renderer/sky/sky.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double shell_reflectance = 0.5;

/// Inside a closed grey shell high above the ground, the lamp in its middle, the camera off it.
PlacedShoot furnace(const glm::ivec2& pixels) {
    PlacedShoot shoot = dark_shoot(pixels);
    const Vec3 middle_m{0.0, 0.0, 60.0};
    Mesh shell = icosphere(middle_m, 3.0, 5, true);
    shell.materials = {{Rgb(shell_reflectance), SurfaceRelief::none}};
    add_subject(shoot, "shell", shell);
    stand(shoot, bare_lamp("lamp", 100.0), middle_m);
    shoot.camera.position_m = middle_m + Vec3(0.8, -1.1, -0.4);
    shoot.camera.look_at_m = middle_m + Vec3(-0.5, 3.0, 0.8);
    shoot.camera.shutter_s = 5.0;
    return shoot;
}

}  // namespace

// Every point of the shell has the illuminance E0 = I / r^2 of the lamp, and sees nothing but
// shell: E = E0 (1 + rho + ... + rho^n) after n bounces; derived.
TEST_CASE("furnace: a closed shell fills with the geometric sum of its bounces") {
    PlacedShoot shoot = furnace({12, 8});
    const double direct_lxs = 100.0 / 9.0 * 5.0;
    for (const int bounces : {0, 1, 2, 6}) {
        const ExposedTake take = exposed(shoot, {.bounces = bounces});
        const Image& film = layer_of(take, "lamp.surface");
        double sum = 0.0;
        for (int n = 0; n <= bounces; ++n) sum += std::pow(shell_reflectance, n);
        CHECK_RELATIVE(mean_arrived_lxs(shoot.camera, film, shell_reflectance), direct_lxs * sum,
                       0.005);
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x)
                CHECK_RELATIVE(arrived_lxs(shoot.camera, film, x, y, shell_reflectance),
                               direct_lxs * sum, 0.01);
        CHECK(sum_of(layer_of(take, "sky.view")) == 0.0);
        CHECK(sum_of(layer_of(take, "sky.surface")) == 0.0);
    }
}

TEST_CASE("open level ground receives the sky's stated illuminance") {
    for (const bool glow : {false, true}) {
        PlacedShoot shoot = dark_shoot({8, 8});
        shoot.sky.horizontal_lx = 3.4;
        if (glow) shoot.sky.glow_bearing_deg = 250.0;
        shoot.camera.shutter_s = 8.0;
        look_down(shoot.camera, {0.0, 0.0}, 4.0);
        const ExposedTake take = exposed(shoot, {});
        CHECK_RELATIVE(mean_arrived_lxs(shoot.camera, layer_of(take, "sky.surface")), 3.4 * 8.0,
                       0.01);
    }
}

// Colours of the sky layers: the ground of equal reflectance shows the colour asked for.
TEST_CASE("light of the sky keeps its colour on grey ground") {
    PlacedShoot shoot = dark_shoot({8, 8});
    shoot.sky = {.horizontal_lx = 1.0, .temperature_k = 6000.0, .glow_bearing_deg = 100.0};
    look_down(shoot.camera, {0.0, 0.0}, 4.0);
    const ExposedTake take = exposed(shoot, {});
    glm::vec3 mean(0.0f);
    for (const glm::vec3& pixel : layer_of(take, "sky.surface").pixels) mean += pixel;
    const Sky sky(shoot.sky);
    const glm::vec3 share = mean / static_cast<float>(luminance_of(mean));
    for (int c = 0; c < 3; ++c)
        CHECK_RELATIVE(double(share[c]), double(sky.horizontal_lx()[c]), 0.01);
}

// Where nothing hides the sky its light has no noise, however narrow the glow: each pixel counts.
TEST_CASE("light of the sky on open ground is even") {
    PlacedShoot shoot = dark_shoot({48, 32});
    shoot.sky = {.horizontal_lx = 1.0, .temperature_k = 9000.0, .glow_bearing_deg = 100.0};
    look_down(shoot.camera, {0.0, 0.0}, 4.0);
    const Image film = layer_of(exposed(shoot, {Quality::draft, 1}), "sky.surface");
    const double middle_lxs = arrived_lxs(shoot.camera, film, 24, 16);
    for (int y = 0; y < 32; ++y)
        for (int x = 0; x < 48; ++x)
            CHECK_RELATIVE(arrived_lxs(shoot.camera, film, x, y), middle_lxs, 1e-4);
}

// A sky of 1 cd/m2 all round would lay pi lux; ours varies, but a pixel that sees it directly must
// hold q L t / N^2 with L the luminance in its direction.
TEST_CASE("the sky in view: exposure by ISO 12232 from its luminance") {
    PlacedShoot shoot = dark_shoot({6, 4});
    shoot.sky.horizontal_lx = 2.0;
    shoot.camera.position_m = {0.0, 0.0, 2.0};
    shoot.camera.tilt_deg = 60.0;
    shoot.camera.focal_mm = 85.0;
    const ExposedTake take = exposed(shoot, {.bounces = 0});
    const Sky sky(shoot.sky);
    const Projection projection(shoot.camera);
    for (const glm::ivec2 pixel : {glm::ivec2(0, 0), glm::ivec2(3, 2), glm::ivec2(5, 3)}) {
        const Vec2 middle = Vec2(pixel) + 0.5;
        const double luminance_cd_m2 =
            luminance_of(sky.luminance_cd_m2(glm::vec3(projection.direction(middle))));
        const double cos_axis = projection.cos_off_axis(middle);
        const double expected_lxs =
            pi / 4 * 0.9 * 0.98 * std::pow(cos_axis, 4) * luminance_cd_m2 * 15.0 / (13.0 * 13.0);
        CHECK_RELATIVE(luminance_of(layer_of(take, "sky.view").at(pixel.x, pixel.y)), expected_lxs,
                       0.005);
    }
}

// Behind a wall the direct light is none at all.
TEST_CASE("a wall's shadow is black without bounces") {
    PlacedShoot shoot = dark_shoot({16, 16});
    Mesh wall;
    wall.positions = {
        {-4.0f, 0.0f, -0.1f}, {4.0f, 0.0f, -0.1f}, {4.0f, 0.0f, 3.0f}, {-4.0f, 0.0f, 3.0f}};
    wall.normals.assign(4, {0.0f, -1.0f, 0.0f});
    wall.triangles = {{0, 1, 2}, {0, 2, 3}};
    wall.material_of = {0, 0};
    wall.materials = {{}};
    add_subject(shoot, "wall", wall);
    Flight flight;  // along the wall, on its south side
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-1.0, -2.0, 2.0);
    flight.to_m = Vec3(1.0, -2.0, 2.0);
    fly(shoot, bare_lamp("lamp", 100.0), flight);
    look_down(shoot.camera, {0.0, 1.0}, 1.6);  // y from 0.2 to 1.8: in the shadow
    const ExposedTake dark = exposed(shoot, {.bounces = 0});
    for (const glm::vec3& pixel : layer_of(dark, "lamp.surface").pixels)
        CHECK(pixel == glm::vec3(0.0f));
    look_down(shoot.camera, {0.0, -1.0}, 1.6);
    const ExposedTake lit = exposed(shoot, {.bounces = 0});
    for (const glm::vec3& pixel : layer_of(lit, "lamp.surface").pixels) CHECK(pixel.g > 0.0f);
}
