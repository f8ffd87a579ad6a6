#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "scene/ground/scree.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

namespace {

Mesh stones_of(const Terrain& terrain) {
    Mesh mesh;
    mesh.materials = {{terrain.ground.reflectance, SurfaceRelief::soil}};
    add_scree(mesh, terrain);
    return mesh;
}

double from_m(const Vec3& corner, const Vec2& middle_m) {
    return glm::distance(Vec2(corner), middle_m);
}

}  // namespace

TEST_CASE("flat ground and ground without roughness stay bare") {
    Ground flat, level;
    flat.kind = GroundKind::flat;
    level.roughness_m = 0.0;
    CHECK(stones_of({flat}).triangles.empty());
    CHECK(stones_of({level}).triangles.empty());
    const Mesh ground = ground_mesh({level});
    for (std::size_t i = 0; i < ground.triangles.size(); ++i)
        if (from_m(corner_m(ground, i, 0), {0.0, 0.0}) < 20.0)
            REQUIRE(corner_m(ground, i, 0).z == 0.0);
}

TEST_CASE("stones are bounded in number, reach and height, whatever the ground") {
    for (const double roughness_m : {0.01, 0.05, 0.2, 1.0})
        for (const int seed : {1, 7, 12}) {
            CAPTURE(roughness_m);
            CAPTURE(seed);
            Ground ground;
            ground.roughness_m = roughness_m;
            ground.seed = seed;
            const Vec2 middle(3.0, -2.0);
            const Terrain terrain{ground, middle};
            const Mesh mesh = stones_of(terrain);
            CHECK(mesh.triangles.size() > 1000);
            CHECK(mesh.triangles.size() < most_scree_triangles);  // so none was left out
            double highest_m = 0.0, furthest_m = 0.0;
            for (const glm::vec3& p : mesh.positions) {
                const Vec2 place(p.x, p.y);
                furthest_m = std::max(furthest_m, glm::distance(place, middle));
                // The soil is steeper where it is rougher; stones stand on its height at their
                // middle.
                if (roughness_m <= 0.05)
                    highest_m = std::max(
                        highest_m, static_cast<double>(p.z) - ground_height_m(terrain, place));
            }
            CHECK(furthest_m < scree_reach_m + 0.3);
            if (roughness_m <= 0.05) CHECK(highest_m < 0.21);
        }
}

TEST_CASE("stones of the default ground are many and low, few reach above a hand's breadth") {
    const Mesh mesh = stones_of({});
    std::size_t low = 0, high = 0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Vec3 top = corner_m(mesh, i, 0);  // each face starts at its highest corner
        CHECK(top.z >= std::max(corner_m(mesh, i, 1).z, corner_m(mesh, i, 2).z) - 1e-6);
        (top.z - ground_height_m({}, Vec2(top)) < 0.08 ? low : high) += 1;
    }
    CHECK(high > 100);
    CHECK(low > 10 * high);
}

TEST_CASE("faces look outwards, with unit normals that lean on their own face") {
    const Mesh mesh = stones_of({});
    REQUIRE(mesh.normals.size() == mesh.positions.size());
    REQUIRE(mesh.material_of.size() == mesh.triangles.size());
    double up = 0.0, down = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Vec3 area = area_vector_m2(mesh, i);
        (area.z > 0.0 ? up : down) += std::abs(area.z);
        if (glm::length(area) < 1e-7) continue;  // a sliver's own direction is mere rounding
        for (const std::uint32_t corner : mesh.triangles[i]) {
            const Vec3 normal(mesh.normals[corner]);
            REQUIRE(glm::length(normal) == doctest::Approx(1.0).epsilon(1e-5));
            REQUIRE(glm::dot(normal, glm::normalize(area)) > 0.85);
        }
    }
    CHECK(up > 5.0);         // square metres
    CHECK(up > 1.1 * down);  // buried undersides are left out
}

TEST_CASE("stones are stone, near the ground's own reflectance") {
    Ground ground;
    ground.reflectance = {0.8, 0.5, 0.1};
    const Mesh mesh = stones_of({ground});
    std::vector<std::size_t> count(mesh.materials.size(), 0);
    for (const std::uint16_t material : mesh.material_of) ++count[material];
    CHECK(count[0] == 0);
    for (std::size_t i = 1; i < count.size(); ++i) {
        CHECK(count[i] > mesh.triangles.size() / 12);
        CHECK(mesh.materials[i].relief == SurfaceRelief::stone);
        for (int channel = 0; channel < 3; ++channel) {
            CHECK(mesh.materials[i].reflectance[channel] <= 1.0);
            CHECK(mesh.materials[i].reflectance[channel] > 0.7 * ground.reflectance[channel]);
            CHECK(mesh.materials[i].reflectance[channel] < 1.5 * ground.reflectance[channel]);
        }
    }
}

TEST_CASE("more roughness, more stones up to the default") {
    Ground slight, usual;
    slight.roughness_m = 0.01;
    CHECK(5 * stones_of({slight}).triangles.size() < 2 * stones_of({usual}).triangles.size());
}

TEST_CASE("a seed repeats its stones, another strews others, and a moved middle keeps them") {
    Ground one, other;
    other.seed = 2;
    const Mesh a = stones_of({one}), again = stones_of({one}), b = stones_of({other});
    CHECK(a.positions == again.positions);
    CHECK(a.triangles == again.triangles);
    CHECK(a.positions != b.positions);
    const auto near_count = [](const Mesh& mesh) {
        return std::count_if(mesh.positions.begin(), mesh.positions.end(),
                             [](const glm::vec3& p) { return std::hypot(p.x, p.y) < 5.0f; });
    };
    // Soil that is sampled a little otherwise buries a few faces more or less.
    CHECK(static_cast<double>(near_count(stones_of({one, {3.0, 4.0}}))) ==
          doctest::Approx(static_cast<double>(near_count(a))).epsilon(0.03));
}

TEST_CASE("nobody stands on a stone") {
    Terrain terrain;
    terrain.trodden_m = {{1.0, 2.0}, {-4.0, 0.5}};
    for (const glm::vec3& p : stones_of(terrain).positions)
        for (const Vec2& stance : terrain.trodden_m)
            REQUIRE(glm::distance(Vec2(p.x, p.y), stance) > 0.49);
}
