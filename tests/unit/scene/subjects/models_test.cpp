// Sizes are those promised in scene/subjects/models/models.h; the proportions of a person are
// common artists' practice (a figure of seven and a half heads), no source.
#include <doctest/doctest.h>

#include <array>

#include "scene/subjects/box.h"
#include "scene/subjects/models/models.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

namespace {

constexpr std::array all_models{Model::person, Model::arch, Model::boulder, Model::standing_stone};

/// Width from west to east of what lies between two heights.
double width_m(const Mesh& mesh, double low_z, double high_z) {
    double west = 1e9, east = -1e9;
    for (const glm::vec3& p : mesh.positions) {
        const Vec3 q(p);
        if (q.z < low_z || q.z > high_z) continue;
        west = std::min(west, q.x);
        east = std::max(east, q.x);
    }
    return east - west;
}

/// Whether a level line from the south at x and z meets the mesh.
bool is_solid(const Mesh& mesh, double x, double z) {
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Vec3 a = corner_m(mesh, i, 0), b = corner_m(mesh, i, 1), c = corner_m(mesh, i, 2);
        const auto side = [&](const Vec3& p, const Vec3& q) {
            return (q.x - p.x) * (z - p.z) - (q.z - p.z) * (x - p.x);
        };
        const double d0 = side(a, b), d1 = side(b, c), d2 = side(c, a);
        if ((d0 >= 0 && d1 >= 0 && d2 >= 0) || (d0 <= 0 && d1 <= 0 && d2 <= 0)) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("every model is sound: closed, unit normals outwards, vertices close together") {
    for (const Model model : all_models) {
        CAPTURE(static_cast<int>(model));
        const Mesh mesh = model_mesh(model);
        CHECK(open_edges(mesh) == 0);
        CHECK(volume_m3(mesh) > 0.0);
        CHECK(worst_normal(mesh) < 1e-4);
        CHECK(outward_share(mesh) > 0.99);
        CHECK(longest_edge_m(mesh) <= 0.101);
        CHECK(mesh.triangles.size() > 40000);
        CHECK(mesh.triangles.size() < 100000);
        REQUIRE(mesh.material_of.size() == mesh.triangles.size());
        for (const std::uint16_t material : mesh.material_of)
            REQUIRE(material < mesh.materials.size());
    }
}

TEST_CASE("models come out the same every time") {
    for (const Model model : all_models) {
        const Mesh one = model_mesh(model), other = model_mesh(model);
        CHECK(one.positions == other.positions);
        CHECK(one.normals == other.normals);
        CHECK(one.triangles == other.triangles);
    }
}

TEST_CASE("the person is 1.75 m tall, stands on the ground and is built like one") {
    const Mesh mesh = person_mesh();
    const Box extent = box_of(mesh);
    CHECK(extent.high_m.z == doctest::Approx(1.75).epsilon(0.006));
    CHECK(std::abs(extent.low_m.z) < 0.005);
    CHECK(width_m(mesh, 1.60, 1.66) < 0.26);  // the hood
    CHECK(width_m(mesh, 1.34, 1.42) > 0.40);  // the shoulders
    CHECK(width_m(mesh, 1.34, 1.42) < 0.54);
    CHECK(extent.high_m.x - extent.low_m.x < 0.75);  // the arms hang
    CHECK(extent.high_m.y - extent.low_m.y < 0.45);
    CHECK(longest_edge_m(mesh) < 0.03);
    // The legs are apart, and there is daylight between arm and side.
    CHECK_FALSE(is_solid(mesh, 0.02, 0.40));
    CHECK(is_solid(mesh, -0.12, 0.40));
    CHECK(is_solid(mesh, 0.14, 0.40));
}

TEST_CASE("the person's face looks south, to the model's front") {
    const Mesh mesh = person_mesh();
    // The skin's outermost point above the chin is the nose.
    Vec3 nose(0.0);
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        if (mesh.material_of[i] != 2) continue;
        const Vec3 p = corner_m(mesh, i, 0);
        if (p.z > 1.5 && p.y < nose.y) nose = p;
    }
    CHECK(nose.y < -0.11);
    CHECK(std::abs(nose.x) < 0.05);
    CHECK(nose.z == doctest::Approx(1.59).epsilon(0.02));
}

TEST_CASE("the arch is 4.6 m tall and open 2.4 m wide, with its ring broken on one side") {
    const Mesh mesh = arch_mesh();
    const Box extent = box_of(mesh);
    CHECK(extent.high_m.z == doctest::Approx(4.6).epsilon(0.02));
    CHECK(extent.low_m.z == doctest::Approx(-0.3).epsilon(0.2));
    for (const double z : {1.2, 1.7, 2.1}) {
        CAPTURE(z);
        CHECK_FALSE(is_solid(mesh, -1.13, z));
        CHECK_FALSE(is_solid(mesh, 0.0, z));
        CHECK_FALSE(is_solid(mesh, 1.13, z));
        CHECK(is_solid(mesh, -1.26, z));
        CHECK(is_solid(mesh, 1.26, z));
    }
    CHECK(is_solid(mesh, 0.0, 3.8));          // the crown stands
    CHECK(is_solid(mesh, -0.75, 3.55));       // so does the left haunch
    CHECK_FALSE(is_solid(mesh, 0.72, 3.55));  // on the right the ring is interrupted
    CHECK_FALSE(is_solid(mesh, 0.0, 3.4));
}

TEST_CASE("the boulder has its size and is bedded into the ground") {
    const Box extent = box_of(boulder_mesh());
    CHECK(extent.high_m.x - extent.low_m.x == doctest::Approx(2.6).epsilon(0.08));
    CHECK(extent.high_m.z == doctest::Approx(1.9).epsilon(0.04));
    CHECK(extent.low_m.z < -0.2);
}

TEST_CASE("the standing stone is 3.5 m tall, leans a little and is sunk into the ground") {
    const Mesh mesh = standing_stone_mesh();
    const Box extent = box_of(mesh);
    CHECK(extent.high_m.z == doctest::Approx(3.5).epsilon(0.02));
    CHECK(extent.low_m.z < -0.3);
    CHECK(width_m(mesh, 1.0, 2.0) < 1.6);
    CHECK(width_m(mesh, 3.0, 3.4) > 0.5);
    CHECK(is_solid(mesh, 0.25, 3.2));  // its top has moved to the east
    CHECK_FALSE(is_solid(mesh, -0.35, 3.2));
    CHECK(is_solid(mesh, -0.55, 0.5));
}
