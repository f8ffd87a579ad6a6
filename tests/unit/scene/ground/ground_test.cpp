#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "scene/basics/angle.h"
#include "scene/ground/ground.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

namespace {

/// The ground without its stones, which come after it.
Mesh soil_of(const Ground& ground, const Vec2& middle_m) {
    Mesh mesh = ground_mesh({ground, middle_m});
    const auto stone = std::find_if(mesh.material_of.begin(), mesh.material_of.end(),
                                    [](std::uint16_t material) { return material > 0; });
    CHECK(std::none_of(stone, mesh.material_of.end(),
                       [](std::uint16_t material) { return material == 0; }));
    mesh.triangles.resize(static_cast<std::size_t>(stone - mesh.material_of.begin()));
    std::uint32_t last = 0;
    for (const auto& corners : mesh.triangles)
        last = std::max({last, corners[0], corners[1], corners[2]});
    mesh.positions.resize(last + 1);
    return mesh;
}

}  // namespace

TEST_CASE("flat ground is exactly flat, one sheet out to 20 km") {
    Ground ground;
    ground.kind = GroundKind::flat;
    ground.far_hills_m = 300.0;  // for rough ground only
    const Mesh mesh = ground_mesh({ground, {3.0, -2.0}});
    for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
        REQUIRE(mesh.positions[i].z == 0.0f);
        REQUIRE(mesh.normals[i] == glm::vec3(0.0f, 0.0f, 1.0f));
    }
    CHECK(ground_height_m({ground}, {17.0, 4.0}) == 0.0);
    CHECK(mesh.materials.at(0).relief == SurfaceRelief::none);
    // All faces up, covering the disc once.
    double least = 1.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        least = std::min(least, area_vector_m2(mesh, i).z);
    CHECK(least > 0.0);
    CHECK(area_m2(mesh) == doctest::Approx(pi * 20000.0 * 20000.0).epsilon(1e-3));
    CHECK(mesh.positions.size() > 150000);
    CHECK(mesh.positions.size() < 190000);
}

TEST_CASE("the ground's only open edge is its rim") {
    const Mesh mesh = soil_of({}, {0.0, 0.0});
    std::map<std::pair<std::uint32_t, std::uint32_t>, int> walked;
    for (const auto& t : mesh.triangles)
        for (std::size_t k = 0; k < 3; ++k) ++walked[{t[k], t[(k + 1) % 3]}];
    for (const auto& [edge, times] : walked) {
        REQUIRE(times == 1);
        if (walked.contains({edge.second, edge.first})) continue;
        const glm::vec3 rim = mesh.positions[edge.first];
        REQUIRE(std::hypot(rim.x, rim.y) > 19990.0f);
    }
}

TEST_CASE("vertices are 6 to 9 cm apart in the middle and never far for their distance") {
    const Vec2 middle(4.0, -7.0);
    const Mesh mesh = soil_of({}, middle);
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Vec3 a = corner_m(mesh, i, 0), b = corner_m(mesh, i, 1);
        const double from_middle_m = glm::distance(Vec2(a), middle);
        const double edge_m = glm::distance(Vec2(a), Vec2(b));
        if (from_middle_m < 5.0) REQUIRE(edge_m < 0.09);
        REQUIRE(edge_m < 0.07 + 0.1 * from_middle_m);
    }
}

TEST_CASE("the height function is the surface of the mesh") {
    Ground ground;
    ground.far_hills_m = 200.0;
    const Vec2 middle(1.0, -6.0);
    const Mesh mesh = soil_of(ground, middle);
    for (const glm::vec3& p : mesh.positions)
        REQUIRE(p.z == static_cast<float>(ground_height_m({ground, middle}, {p.x, p.y})));
}

TEST_CASE("the relief about the middle has the roughness asked for, and mean zero") {
    for (const double roughness_m : {0.02, 0.05, 0.15})
        for (const int seed : {1, 2, 3}) {
            CAPTURE(roughness_m);
            CAPTURE(seed);
            Ground ground;
            ground.roughness_m = roughness_m;
            ground.seed = seed;
            double sum = 0.0, squares = 0.0;
            int count = 0;
            // Many places, each seen as the middle: one patch alone holds too few swells.
            for (int i = 0; i < 200; ++i)
                for (int j = 0; j < 200; ++j, ++count) {
                    const Vec2 place(i * 0.73 - 73.0, j * 0.71 - 71.0);
                    const double height_m = ground_height_m({ground, place}, place);
                    sum += height_m;
                    squares += height_m * height_m;
                }
            CHECK(std::sqrt(squares / count) == doctest::Approx(roughness_m).epsilon(0.05));
            CHECK(std::abs(sum / count) < 0.05 * roughness_m);
        }
    double squares = 0.0;
    std::size_t count = 0;
    for (const glm::vec3& p : ground_mesh({}).positions)
        if (std::hypot(p.x, p.y) < 6.0f) {
            squares += static_cast<double>(p.z * p.z);
            ++count;
        }
    CHECK(std::sqrt(squares / static_cast<double>(count)) == doctest::Approx(0.05).epsilon(0.15));
}

TEST_CASE("relief is mirrored by nothing: seeds differ, a seed repeats") {
    Ground one, other;
    other.seed = 2;
    CHECK(ground_height_m({one}, {1.3, 2.1}) == ground_height_m({one}, {1.3, 2.1}));
    CHECK(ground_height_m({one}, {1.3, 2.1}) != ground_height_m({other}, {1.3, 2.1}));
}

TEST_CASE("ground is trodden level where someone stands, at its own height, and not beyond") {
    Terrain untouched;
    untouched.ground.roughness_m = 0.08;
    Terrain trodden = untouched;
    const Vec2 stand(2.3, -1.7);
    trodden.trodden_m = {stand};
    const double height_m = ground_height_m(untouched, stand);
    double moved_m = 0.0;
    for (double off_m = 0.0; off_m < 1.2; off_m += 0.01) {
        const Vec2 place = stand + off_m * Vec2(0.6, 0.8);
        if (off_m < 0.37) CHECK(ground_height_m(trodden, place) == doctest::Approx(height_m));
        if (off_m > 0.9)
            CHECK(ground_height_m(trodden, place) == ground_height_m(untouched, place));
        moved_m = std::max(
            moved_m, std::abs(ground_height_m(trodden, place) - ground_height_m(untouched, place)));
    }
    CHECK(moved_m > 0.01);  // it was not level before
}

TEST_CASE("nothing near the camera rises to eye height") {
    for (const int seed : {1, 2, 3, 4}) {
        Ground ground;
        ground.seed = seed;
        ground.far_hills_m = 300.0;
        double highest_m = 0.0;
        for (double x = -60.0; x < 60.0; x += 0.5)
            for (double y = -60.0; y < 60.0; y += 0.5)
                highest_m = std::max(highest_m, ground_height_m({ground}, {x, y}));
        CHECK(highest_m < 0.5);
    }
}

TEST_CASE("far hills make a skyline of changing height all round, and none when there are none") {
    Ground ground;
    ground.far_hills_m = 250.0;
    const auto skyline_deg = [&](double bearing_rad) {
        double highest_deg = -90.0;
        for (double r = 50.0; r < 15000.0; r *= 1.03) {
            const Vec3 at = direction_of(bearing_rad) * r;
            const double rise_m = ground_height_m({ground}, Vec2(at)) - 1.4;
            highest_deg = std::max(highest_deg, degrees(std::atan2(rise_m, r)));
        }
        return highest_deg;
    };
    double lowest_deg = 90.0, highest_deg = -90.0, steepest = 0.0, before_deg = skyline_deg(0.0);
    for (int bearing = 1; bearing <= 720; ++bearing) {
        const double now_deg = skyline_deg(radians(0.5 * bearing));
        lowest_deg = std::min(lowest_deg, now_deg);
        highest_deg = std::max(highest_deg, now_deg);
        steepest = std::max(steepest, std::abs(now_deg - before_deg) / 0.5);
        before_deg = now_deg;
    }
    CHECK(lowest_deg > 0.2);
    CHECK(highest_deg < 6.0);
    CHECK(highest_deg > 2.0 * lowest_deg);
    CHECK(steepest < 1.0);  // no walls: never steeper than 45 degrees in the frame

    ground.far_hills_m = 0.0;
    for (int bearing = 0; bearing < 360; bearing += 5)
        CHECK(std::abs(skyline_deg(radians(bearing))) < 0.2);
}
