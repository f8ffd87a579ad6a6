// A camera that stands in something.
#include <cmath>

#include "scene/cautions/clearance.h"
#include "scene/shoot/shoot.h"
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A closed block, its faces turned outwards.
Mesh block(const Vec3& low_m, const Vec3& high_m) {
    Mesh mesh;
    for (const double z : {low_m.z, high_m.z})
        for (const double y : {low_m.y, high_m.y})
            for (const double x : {low_m.x, high_m.x}) mesh.positions.emplace_back(x, y, z);
    mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                      {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
    return mesh;
}

/// A flat calm shoot whose boulder is a block of two metres about a place.
PlacedShoot with_block_at(const Vec2& place_m, double from_m = 0.0, double to_m = 2.0) {
    PlacedShoot shoot{calm_shoot(), {}};
    shoot.ground.kind = GroundKind::flat;
    shoot.meshes = {block(Vec3(place_m - 1.0, from_m), Vec3(place_m + 1.0, to_m))};
    return shoot;
}

std::string said_of_camera(const PlacedShoot& shoot) {
    const auto list = texts(shoot, "camera");
    return list.empty() ? "" : list.front();
}

}  // namespace

TEST_CASE("inside a closed mesh and outside of it") {
    const Mesh mesh = block(Vec3(-1.0), Vec3(1.0));
    CHECK(is_inside(Vec3(0.0), mesh));
    CHECK(is_inside({0.9, -0.9, 0.9}, mesh));
    CHECK_FALSE(is_inside({0.0, 0.0, 1.1}, mesh));
    CHECK_FALSE(is_inside({0.0, 0.0, -1.1}, mesh));
    CHECK_FALSE(is_inside({1.1, 0.0, 0.0}, mesh));
    CHECK_WITHIN(distance_m({0.0, 1.25, 0.0}, mesh, 1.0), 0.25, 1e-6);
    CHECK(distance_m({0.0, 9.0, 0.0}, mesh, 1.0) == 1.0);
}

TEST_CASE("a camera in a subject, at its skin, and clear of it") {
    // It stands at (0, -20, 1.4).
    CHECK(said_of_camera(with_block_at({0.0, 0.0})).empty());
    CHECK(said_of_camera(with_block_at({0.0, -20.0})).find("inside \"boulder\"") !=
          std::string::npos);
    CHECK(said_of_camera(with_block_at({1.05, -20.0})).find("hand's breadth from \"boulder\"") !=
          std::string::npos);
    CHECK(said_of_camera(with_block_at({1.2, -20.0})).empty());
}

TEST_CASE("a subject in the tripod, and one that the tripod stands on") {
    CHECK(said_of_camera(with_block_at({0.0, -20.0}, 0.0, 1.0)).find("the tripod below") !=
          std::string::npos);
    CHECK(said_of_camera(with_block_at({0.0, -20.0}, -1.0, 0.05)).empty());
    CHECK(said_of_camera(with_block_at({0.0, -20.0}, 2.0, 3.0)).empty());
    // Nor in a take that leaves it out.
    PlacedShoot shoot = with_block_at({0.0, -20.0}, 0.0, 1.0);
    shoot.takes.front().subjects = std::vector<std::string>{};
    CHECK(said_of_camera(shoot).empty());
    // From a roof or a drone nobody plumbs down.
    shoot = with_block_at({0.0, -20.0}, 0.0, 1.0);
    shoot.camera.position_m.z = 12.0;
    CHECK(said_of_camera(shoot).empty());
}

TEST_CASE("a camera close above the ground") {
    PlacedShoot shoot = in_boxes(calm_shoot());
    CHECK(said_of_camera(shoot).empty());
    shoot.ground.roughness_m = 0.3;
    // The highest soil near the camera: the relief is some decimetres there.
    const Terrain terrain = terrain_of(shoot);
    Vec2 hump_m(0.0);
    double height_m = 0.0;
    for (int i = -20; i <= 20; ++i)
        if (const double z = ground_height_m(terrain, {0.5 * i, -20.0}); z > height_m) {
            height_m = z;
            hump_m = {0.5 * i, -20.0};
        }
    REQUIRE(height_m > 0.2);
    // The ground is laid out about a middle that follows the camera.
    const auto at = [&](double over_m) {
        shoot.camera.position_m = Vec3(hump_m, 0.0);
        shoot.camera.position_m.z = ground_height_m(terrain_of(shoot), hump_m) + over_m;
        return said_of_camera(shoot);
    };
    CHECK(at(0.05).find("only 0.05 m above the ground") != std::string::npos);
    CHECK(at(1.0).empty());
}
