#include <doctest/doctest.h>

#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/subjects/models/distance.h"
#include "scene/subjects/models/isosurface.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

TEST_CASE("a sphere comes out closed, of the right size, with radial normals") {
    const Vec3 middle(0.1, -0.2, 0.3);
    Mesh mesh;
    add_isosurface(
        mesh, [&](const Vec3& p) { return glm::distance(p, middle) - 0.5; },
        {Vec3(-0.8), Vec3(1.0)}, 0.04, 3);
    CHECK(open_edges(mesh) == 0);
    CHECK(volume_m3(mesh) == doctest::Approx(4.0 / 3.0 * pi * 0.125).epsilon(0.01));
    CHECK(area_m2(mesh) == doctest::Approx(4.0 * pi * 0.25).epsilon(0.01));
    double worst_m = 0.0, worst_cosine = 1.0;
    for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
        const Vec3 out = Vec3(mesh.positions[i]) - middle;
        worst_m = std::max(worst_m, std::abs(glm::length(out) - 0.5));
        worst_cosine = std::min(worst_cosine, glm::dot(glm::normalize(out), Vec3(mesh.normals[i])));
    }
    CHECK(worst_m < 0.002);
    CHECK(worst_cosine > 0.9999);
    CHECK(mesh.material_of.front() == 3);
}

TEST_CASE("finer cells come nearer to an ellipsoid's volume") {
    const double truth = 4.0 / 3.0 * pi * 0.6 * 0.3 * 0.4;
    double errors[2];
    for (int i = 0; i < 2; ++i) {
        Mesh mesh;
        add_isosurface(
            mesh,
            [](const Vec3& p) {
                return ellipsoid(p, {0.6, 0.3, 0.4});
            },
            {Vec3(-0.8), Vec3(0.8)}, i == 0 ? 0.06 : 0.03, 0);
        errors[i] = std::abs(volume_m3(mesh) - truth);
    }
    CHECK(errors[1] < 0.4 * errors[0]);
}

TEST_CASE("noise full of pinches and islands still gives closed manifolds") {
    for (const std::uint32_t seed : {1u, 2u, 3u}) {
        Mesh mesh;
        const auto blobs = [seed](const Vec3& p) {
            const double edge = glm::length(p) - 0.8;
            return std::max(edge, 0.08 * (gradient_noise(p * 7.0, seed) - 0.1));
        };
        add_isosurface(mesh, blobs, {Vec3(-1.0), Vec3(1.0)}, 0.05, 0);
        REQUIRE(mesh.triangles.size() > 1000);
        CHECK(open_edges(mesh) == 0);
        CHECK(volume_m3(mesh) > 0.0);
    }
}

TEST_CASE("surface is followed into blocks whose middle claims to be far off") {
    // Overstates threefold, as a squeezed ellipsoid's first-order distance may.
    Mesh mesh;
    add_isosurface(
        mesh, [](const Vec3& p) { return 3.0 * (glm::length(p) - 0.5); }, {Vec3(-0.7), Vec3(0.7)},
        0.04, 0);
    CHECK(open_edges(mesh) == 0);
    CHECK(volume_m3(mesh) == doctest::Approx(4.0 / 3.0 * pi * 0.125).epsilon(0.01));
}

TEST_CASE("an empty box gives nothing") {
    Mesh mesh;
    add_isosurface(
        mesh, [](const Vec3& p) { return glm::length(p) + 1.0; }, {Vec3(-0.5), Vec3(0.5)}, 0.1, 0);
    CHECK(mesh.triangles.empty());
    CHECK(mesh.positions.empty());
}
