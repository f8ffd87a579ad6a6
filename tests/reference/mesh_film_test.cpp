// Mesh files on film: edges that are sharp, and smooth shading down to the shadow's edge.
#include <algorithm>
#include <limits>

#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double mesh_reflectance = 0.35;

/// Bodies from mesh files on grey ground, lit from the side by a lamp that flies by and a dusky
/// sky.
PlacedShoot bodies(std::string (*text_of)(const ObjShape&)) {
    PlacedShoot shoot = dark_shoot({96, 64});
    shoot.sky.horizontal_lx = 0.05;
    shoot.camera.position_m = {0.0, -9.0, 2.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.2);
    shoot.camera.focal_mm = 28.0;
    const auto put = [&](const std::string& name, const ObjShape& shape, double facing_deg,
                         const Vec3& position_m) {
        Mesh mesh = obj_of(text_of(shape)).mesh;
        place(mesh, facing_deg, 1.0, position_m);
        add_subject(shoot, name, std::move(mesh));
    };
    put("box", box_shape({-1.0, -1.0, 0.0}, {1.0, 1.0, 2.0}), 205.0, {-2.2, 0.0, 0.0});
    put("wall", box_shape({-3.0, -0.1, 0.0}, {3.0, 0.1, 2.5}), 170.0, {1.0, 3.0, 0.0});
    put("square pole", pole_shape(4, 0.2, 3.0), 190.0, {0.6, 0.0, 0.0});
    put("eight-sided pole", pole_shape(8, 0.2, 3.0), 180.0, {1.9, -0.5, 0.0});
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-5.0, -3.0, 2.5);
    flight.to_m = Vec3(-2.0, -4.0, 3.5);
    fly(shoot, bare_lamp("lamp", 100.0), flight);
    return shoot;
}

/// Means over 8 x 8 pixels.
std::vector<double> means_of(const Image& film) {
    std::vector<double> means;
    for (int y = 0; y + 8 <= film.height; y += 8)
        for (int x = 0; x + 8 <= film.width; x += 8) {
            double sum = 0.0;
            for (int i = 0; i < 64; ++i) sum += luminance_of(film.at(x + i % 8, y + i / 8));
            means.push_back(sum / 64.0);
        }
    return means;
}

constexpr double sphere_m = 1.0;
const Vec3 sphere_middle_m(0.0, 0.0, 60.0);

/// A ball of 80 triangles with the normals of the sphere, high above the ground, seen from the
/// south; the lamp stands at a right angle to that, so that half of what is seen is lit.
PlacedShoot lit_ball(const Mesh& ball, const glm::ivec2& pixels) {
    PlacedShoot shoot = dark_shoot(pixels);
    shoot.camera.position_m = sphere_middle_m + Vec3(0.0, -8.0, 0.0);
    shoot.camera.look_at_m = sphere_middle_m;
    shoot.camera.sensor_mm = {24.0, 24.0};
    shoot.camera.focal_mm = 24.0 * 8.0 / 2.4;
    add_subject(shoot, "ball", ball);
    stand(shoot, bare_lamp("lamp", 1000.0), sphere_middle_m + Vec3(-12.0, -1.0, 3.0));
    return shoot;
}

/// Where a ray enters a convex body, the last of the planes that it crosses from outside; nothing
/// where it leaves one before.
std::optional<Vec3> entered_m(const Mesh& body, const Vec3& from_m, const Vec3& along) {
    double enters = -std::numeric_limits<double>::infinity();
    double leaves = std::numeric_limits<double>::infinity();
    for (const auto& t : body.triangles) {
        const Vec3 a(body.positions[t[0]]), b(body.positions[t[1]]), c(body.positions[t[2]]);
        const Vec3 normal = glm::cross(b - a, c - a);
        const double speed = glm::dot(normal, along), at = glm::dot(normal, a - from_m) / speed;
        if (speed < 0.0)
            enters = std::max(enters, at);
        else
            leaves = std::min(leaves, at);
    }
    if (enters >= leaves) return std::nullopt;
    return from_m + enters * along;
}

}  // namespace

// The same bodies, told in two ways: with corners of its own each face is flat by what a file says.
TEST_CASE("mesh film: bodies that share their corners look as with corners of their own") {
    const ExposedTake shared = exposed(bodies(with_shared_corners), {.quality = Quality::draft});
    const ExposedTake own = exposed(bodies(with_own_corners), {.quality = Quality::draft});
    for (const char* layer : {"lamp.surface", "sky.surface"}) {
        const auto one = means_of(layer_of(shared, layer)), other = means_of(layer_of(own, layer));
        for (std::size_t i = 0; i < one.size(); ++i) CHECK_RELATIVE(one[i], other[i], 0.01);
    }
}

// Lambert's cosine law, E = I cos / r^2. Corners of the ball are on the sphere and their normals
// its radii: a point of a triangle blends both by the same weights, so its blended normal points
// away from the middle, and the law holds in closed form. Split, the new corners' normals are made
// unit: they then weigh up to 2 % more, which turns a blend by up to 0.2 degrees, 0.4 % of the
// most.
TEST_CASE("mesh film: a coarse smooth ball has no dark facets down to the shadow's edge") {
    const Mesh whole = icosphere(sphere_middle_m, sphere_m, 1, false);
    REQUIRE(whole.triangles.size() == 80);
    Mesh split = whole;
    REQUIRE(split_long_edges(split, 0.25));
    for (const Mesh& ball : {whole, split}) {
        const PlacedShoot shoot = lit_ball(ball, {64, 64});
        const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
        const Projection projection(shoot.camera);
        const Vec3 lamp_m = *shoot.lamps[0].position_m;
        const double most_lxs =
            1000.0 * 15.0 / std::pow(glm::length(lamp_m - sphere_middle_m) - 1.0, 2);
        int compared = 0;
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x) {
                double expected_lxs = 0.0;
                bool all = true;
                for (const Vec2 place :
                     {Vec2(0.2, 0.2), Vec2(0.8, 0.2), Vec2(0.2, 0.8), Vec2(0.8, 0.8)}) {
                    const auto at_m = entered_m(whole, shoot.camera.position_m,
                                                projection.direction(Vec2(x, y) + place));
                    all = all && at_m;
                    if (!at_m) continue;
                    const Vec3 to_lamp_m = lamp_m - *at_m;
                    const double cosine = glm::dot(glm::normalize(*at_m - sphere_middle_m),
                                                   glm::normalize(to_lamp_m));
                    expected_lxs += 0.25 * 1000.0 * 15.0 * std::max(cosine, 0.0) /
                                    glm::dot(to_lamp_m, to_lamp_m);
                }
                if (!all) continue;
                ++compared;
                const double arrived = arrived_lxs(shoot.camera, film, x, y, mesh_reflectance);
                // One for the places within the pixel, where the shadow's edge runs through it.
                CHECK_WITHIN(arrived, expected_lxs, 0.015 * most_lxs);
                if (expected_lxs > 0.02 * most_lxs) CHECK(arrived > 0.0);
            }
        CHECK(compared > 1500);
    }
}

// A sheet stands closer to the facets than the smooth surface does; the lamp is beyond it.
TEST_CASE("mesh film: light beyond a sheet that touches a smooth ball does not leak in") {
    PlacedShoot shoot = lit_ball(icosphere(sphere_middle_m, sphere_m, 1, false), {64, 64});
    double reach_m = 0.0;
    for (const glm::vec3& corner_m : shoot.meshes[0].positions)
        reach_m = std::max(reach_m, std::abs(Vec3(corner_m).x - sphere_middle_m.x));
    Mesh sheet;
    const auto x = static_cast<float>(sphere_middle_m.x - reach_m - 0.001);
    for (const float y : {-40.0f, 40.0f})
        for (const float z : {20.0f, 100.0f}) sheet.positions.emplace_back(x, y, z);
    sheet.normals.assign(4, {-1.0f, 0.0f, 0.0f});
    sheet.triangles = {{0, 1, 2}, {1, 3, 2}};
    sheet.material_of = {0, 0};
    sheet.materials = {{}};
    add_subject(shoot, "sheet", sheet);
    const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    for (const glm::vec3& pixel : film.pixels) CHECK(pixel == glm::vec3(0.0f));
}
