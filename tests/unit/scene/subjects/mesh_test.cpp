#include <doctest/doctest.h>

#include "scene/basics/angle.h"
#include "scene/subjects/normals.h"
#include "tests/unit/scene/subjects/mesh_shape.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Two triangles that share an edge through two vertices each, as a seam between normals does.
Mesh seamed_square(float side_m) {
    Mesh mesh;
    mesh.positions = {{0, 0, 0}, {side_m, 0, 0},      {side_m, side_m, 0},
                      {0, 0, 0}, {side_m, side_m, 0}, {0, side_m, 0}};
    mesh.normals.assign(6, {0, 0, 1});
    mesh.triangles = {{0, 1, 2}, {3, 4, 5}};
    mesh.material_of = {0, 1};
    mesh.materials.resize(2);
    return mesh;
}

Mesh tetrahedron(float side_m) {
    Mesh mesh;
    mesh.positions = {{0, 0, 0}, {side_m, 0, 0}, {0, side_m, 0}, {0, 0, side_m}};
    mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
    mesh.material_of.assign(4, 0);
    mesh.materials.resize(1);
    smooth_normals(mesh);
    return mesh;
}

}  // namespace

TEST_CASE("splitting keeps a closed surface closed, and its area and volume") {
    Mesh mesh = tetrahedron(1.7f);
    const double area = area_m2(mesh), volume = volume_m3(mesh);
    REQUIRE(split_long_edges(mesh, 0.2));
    CHECK(longest_edge_m(mesh) <= 0.2 * (1 + 1e-6));
    CHECK(open_edges(mesh) == 0);  // a T-junction would leave edges open
    CHECK(area_m2(mesh) == doctest::Approx(area).epsilon(1e-5));
    CHECK(volume_m3(mesh) == doctest::Approx(volume).epsilon(1e-5));
    CHECK(volume == doctest::Approx(1.7 * 1.7 * 1.7 / 6.0).epsilon(1e-6));
    CHECK(worst_normal(mesh) < 1e-5);
    CHECK(mesh.material_of.size() == mesh.triangles.size());
}

TEST_CASE("both sides of a seam are split in the same places") {
    Mesh mesh = seamed_square(0.83f);
    REQUIRE(split_long_edges(mesh, 0.1));
    std::array<std::vector<std::pair<float, float>>, 2> on_seam;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        for (const std::uint32_t v : mesh.triangles[i])
            if (mesh.positions[v].x == mesh.positions[v].y)
                on_seam[mesh.material_of[i]].emplace_back(mesh.positions[v].x, mesh.positions[v].y);
    for (auto& side : on_seam) {
        std::sort(side.begin(), side.end());
        side.erase(std::unique(side.begin(), side.end()), side.end());
    }
    CHECK(on_seam[0].size() == 17);  // 0.83 sqrt 2 = 1.17 m halved four times is below 0.1 m
    CHECK(on_seam[0] == on_seam[1]);
}

TEST_CASE("splitting leaves short edges alone and stops at the budget") {
    Mesh mesh = tetrahedron(0.1f);
    REQUIRE(split_long_edges(mesh, 0.2));
    CHECK(mesh.triangles.size() == 4);

    Mesh large = tetrahedron(1000.0f);
    CHECK_FALSE(split_long_edges(large, 0.2, 5000));
    CHECK(large.triangles.size() <= 5000);
    CHECK(large.triangles.size() > 1000);
    CHECK(open_edges(large) == 0);
    CHECK(large.positions.size() == large.normals.size());
}

TEST_CASE("splitting ends on coordinates that are no numbers") {
    Mesh mesh = tetrahedron(1.0f);
    mesh.positions[3].z = std::numeric_limits<float>::infinity();
    CHECK_FALSE(split_long_edges(mesh, 0.1));
    CHECK_FALSE(split_long_edges(mesh, 0.0));
}

TEST_CASE("a model's front looks along the bearing") {
    const auto front_at = [](double facing_deg) {
        Mesh mesh;
        mesh.positions = {{0, -2, 0.5f}};
        mesh.normals = {{0, -1, 0}};
        place(mesh, facing_deg, 1.0, {0, 0, 0});
        CHECK(glm::dot(mesh.normals[0], glm::vec3(direction_of(radians(facing_deg)))) ==
              doctest::Approx(1.0).epsilon(1e-6));
        return mesh.positions[0];
    };
    CHECK(glm::distance(front_at(180), glm::vec3(0, -2, 0.5f)) == 0.0f);
    CHECK(glm::distance(front_at(90), glm::vec3(2, 0, 0.5f)) < 1e-6f);
    CHECK(glm::distance(front_at(0), glm::vec3(0, 2, 0.5f)) < 1e-6f);
    CHECK(glm::distance(front_at(270), glm::vec3(-2, 0, 0.5f)) < 1e-6f);
}

TEST_CASE("placing scales about the model's foot, then moves") {
    Mesh mesh = tetrahedron(1.0f);
    place(mesh, 35.0, 2.0, {10, -4, 0.25});
    CHECK(volume_m3(mesh) == doctest::Approx(8.0 / 6.0).epsilon(1e-4));
    CHECK(glm::distance(mesh.positions[0], glm::vec3(10, -4, 0.25f)) < 1e-6f);
    CHECK(glm::distance(mesh.positions[3], glm::vec3(10, -4, 2.25f)) < 1e-6f);
    CHECK(worst_normal(mesh) < 1e-5);
}

TEST_CASE("normals are weighted by angle, not by how a face is cut") {
    // A cube's corner: one face whole, two cut in two through the corner. By angle the normal
    // still points along the diagonal.
    Mesh mesh;
    mesh.positions = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}, {0, 1, 1}, {0, 0, 1}, {1, 0, 1}};
    mesh.triangles = {{0, 3, 1}, {0, 5, 4}, {0, 4, 3}, {0, 1, 6}, {0, 6, 5}};
    mesh.material_of.assign(5, 0);
    smooth_normals(mesh);
    const glm::vec3 diagonal = -glm::normalize(glm::vec3(1, 1, 1));
    CHECK(glm::distance(mesh.normals[0], diagonal) < 1e-6f);
}

TEST_CASE("The mean reflectance is taken over the area and kept to what a surface can do") {
    Mesh mesh;
    mesh.positions = {{0, 0, 0}, {3, 0, 0}, {0, 2, 0}, {0, 0, 0}, {1, 0, 0}, {0, 2, 0}};
    mesh.triangles = {{0, 1, 2}, {3, 4, 5}};  // 3 m2 and 1 m2
    mesh.material_of = {0, 1};
    mesh.materials = {{Rgb(0.1)}, {Rgb(0.5)}};
    set_mean_reflectance(mesh, 0.4);  // the mean was 0.2
    CHECK_WITHIN(mesh.materials[0].reflectance, Rgb(0.2), 1e-12);
    CHECK_WITHIN(mesh.materials[1].reflectance, Rgb(1.0), 1e-12);
    set_mean_reflectance(mesh, 0.0);
    CHECK(mesh.materials[1].reflectance == Rgb(0.0));
    set_mean_reflectance(mesh, 0.3);
    CHECK(mesh.materials[0].reflectance == Rgb(0.3));
}
