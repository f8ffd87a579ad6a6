// Mesh files on film: edges that are sharp, and smooth shading down to the shadow's edge.
#include <algorithm>
#include <array>
#include <limits>
#include <optional>

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

/// Where the rays of a pixel's corners enter a convex body; nothing where one passes it by.
std::optional<std::array<Vec3, 4>> seen_m(const Mesh& body, const Camera& camera, int x, int y) {
    const Projection projection(camera);
    std::array<Vec3, 4> places_m;
    for (std::size_t k = 0; k < 4; ++k) {
        const Vec2 place(x + static_cast<int>(k % 2), y + static_cast<int>(k / 2));
        const auto at_m = entered_m(body, camera.position_m, projection.direction(place));
        if (!at_m) return std::nullopt;
        places_m[k] = *at_m;
    }
    return places_m;
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
// most. The rest is for the shadow's edge within a pixel, that four places in it don't see exactly.
TEST_CASE("mesh film: a coarse smooth ball has no dark facets down to the shadow's edge") {
    const Mesh whole = icosphere(sphere_middle_m, sphere_m, 1, false);
    REQUIRE(whole.triangles.size() == 80);
    Mesh split = whole;
    REQUIRE(split_long_edges(split, 0.25));
    for (const Mesh& ball : {whole, split}) {
        const PlacedShoot shoot = lit_ball(ball, {64, 64});
        const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
        const Vec3 lamp_m = *shoot.lamps[0].position_m;
        const double lamp_cds = 1000.0 * shoot.camera.shutter_s;
        const double most_lxs =
            lamp_cds / std::pow(glm::distance(lamp_m, sphere_middle_m) - sphere_m, 2);
        int compared = 0;
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x) {
                const auto places_m = seen_m(whole, shoot.camera, x, y);
                if (!places_m) continue;
                double expected_lxs = 0.0;
                for (const Vec3& at_m : *places_m) {
                    const Vec3 to_lamp_m = lamp_m - at_m;
                    const double cosine =
                        glm::dot(glm::normalize(at_m - sphere_middle_m), glm::normalize(to_lamp_m));
                    expected_lxs +=
                        0.25 * lamp_cds * std::max(cosine, 0.0) / glm::dot(to_lamp_m, to_lamp_m);
                }
                ++compared;
                const double arrived = arrived_lxs(shoot.camera, film, x, y, mesh_reflectance);
                CHECK_WITHIN(arrived, expected_lxs, 0.015 * most_lxs);
                if (expected_lxs > 0.02 * most_lxs) CHECK(arrived > 0.0);
            }
        CHECK(compared > 1500);
    }
}

// A sheet lies on the facet that looks at the lamp, nearer than the smooth surface that the facet
// and those around it stand for: without it they are lit, with it nothing is.
TEST_CASE("mesh film: light beyond a sheet that touches a smooth ball does not leak in") {
    const Mesh ball = icosphere(sphere_middle_m, sphere_m, 1, false);
    PlacedShoot shoot = lit_ball(ball, {64, 64});
    const Vec3 lamp_m = *shoot.lamps[0].position_m;
    Vec3 facing(0.0), on_facet_m(0.0);
    for (const auto& t : ball.triangles) {
        const Vec3 a(ball.positions[t[0]]), b(ball.positions[t[1]]), c(ball.positions[t[2]]);
        const Vec3 normal = glm::normalize(glm::cross(b - a, c - a));
        const Vec3 to_lamp = glm::normalize(lamp_m - sphere_middle_m);
        // The camera stays on this side of it.
        if (glm::dot(normal, shoot.camera.position_m - a) > -0.5) continue;
        if (glm::dot(normal, to_lamp) <= glm::dot(facing, to_lamp)) continue;
        facing = normal;
        on_facet_m = a;
    }
    const Vec3 right = glm::normalize(glm::cross(facing, Vec3(0.0, 0.0, 1.0)));
    const Vec3 up = glm::cross(right, facing);
    Mesh sheet;
    for (const double x : {-40.0, 40.0})
        for (const double y : {-40.0, 40.0})
            sheet.positions.emplace_back(on_facet_m + 0.002 * facing + x * right + y * up);
    sheet.normals.assign(4, glm::vec3(facing));
    sheet.triangles = {{0, 1, 2}, {1, 3, 2}};
    sheet.material_of = {0, 0};
    sheet.materials = {{}};
    add_subject(shoot, "sheet", sheet);
    const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    int compared = 0;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            if (!seen_m(ball, shoot.camera, x, y)) continue;
            ++compared;
            CHECK(luminance_of(film.at(x, y)) == 0.0);
        }
    CHECK(compared > 1500);
}
