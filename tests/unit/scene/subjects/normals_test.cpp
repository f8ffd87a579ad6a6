// Which edges of a mesh file are smooth, and what its vertices become.
#include "scene/subjects/normals.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

namespace {

/// The furthest that a corner's normal leans off its triangle's, in degrees.
double most_lean_deg(const Mesh& mesh) {
    double most_rad = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Vec3 face = glm::normalize(area_vector_m2(mesh, i));
        for (const std::uint32_t vertex : mesh.triangles[i]) {
            const Vec3 normal(mesh.normals[vertex]);
            most_rad = std::max(most_rad, std::atan2(glm::length(glm::cross(face, normal)),
                                                     glm::dot(face, normal)));
        }
    }
    return degrees(most_rad);
}

// Rounding of single precision on triangles of a hand's breadth.
constexpr double flat_deg = 0.01;

/// Normals at the vertices in one place, each once.
std::vector<glm::vec3> normals_at(const Mesh& mesh, const glm::vec3& place_m) {
    std::vector<glm::vec3> found;
    for (std::size_t i = 0; i < mesh.positions.size(); ++i)
        if (glm::distance(mesh.positions[i], place_m) < 1e-6f &&
            std::ranges::none_of(found, [&](const glm::vec3& known) {
                return glm::distance(known, mesh.normals[i]) < 1e-5f;
            }))
            found.push_back(mesh.normals[i]);
    return found;
}

/// Two flat squares that meet along the y axis, the second turned down by an angle; its text is
/// put between their faces.
std::string hinge(double turn_deg, const std::string& first = "", const std::string& second = "") {
    const double x = 0.1 * std::cos(radians(turn_deg)), z = -0.1 * std::sin(radians(turn_deg));
    return "v -0.1 0 0\nv 0 0 0\nv 0 0.1 0\nv -0.1 0.1 0\n" + vertex_line({x, 0, z}) +
           vertex_line({x, 0.1, z}) + first + "f 1 2 3 4\n" + second + "f 2 5 6 3\n";
}

}  // namespace

TEST_CASE("bodies that share their corners are as sharp as with corners of their own") {
    for (const ObjShape& shape :
         {box_shape(Vec3(-1.0), Vec3(1.0)), box_shape({-3.0, -0.1, 0.0}, {3.0, 0.1, 2.0}),
          pole_shape(4, 0.1, 2.0), pole_shape(6, 0.2, 0.9), pole_shape(8, 0.3, 3.0)}) {
        const Mesh shared = obj_of(with_shared_corners(shape)).mesh;
        const Mesh own = obj_of(with_own_corners(shape)).mesh;
        CHECK(shared.positions.size() == own.positions.size());
        CHECK(shared.triangles.size() == own.triangles.size());
        CHECK(most_lean_deg(shared) < flat_deg);
        CHECK(most_lean_deg(own) < flat_deg);
        CHECK(shared.bulges_m.empty());
        CHECK(volume_m3(shared) == doctest::Approx(volume_m3(own)).epsilon(1e-6));
    }
}

TEST_CASE("an edge is smooth up to the crease angle and sharp beyond it") {
    // At the default ten sides a turn look round and eight do not.
    for (const std::size_t sides : {10u, 12u, 24u}) {
        const Mesh pole = obj_of(with_shared_corners(pole_shape(sides, 0.1, 0.2))).mesh;
        // By symmetry the corner's normal lies between its two faces, in the plane of the end.
        CHECK(most_lean_deg(pole) ==
              doctest::Approx(180.0 / static_cast<double>(sides)).epsilon(1e-3));
        for (const glm::vec3& normal : normals_at(pole, {0.1f, 0.0f, 0.2f}))
            CHECK(std::min(glm::distance(normal, glm::vec3(1, 0, 0)),
                           glm::distance(normal, glm::vec3(0, 0, 1))) < 1e-4f);
    }
    const std::string nine = with_shared_corners(pole_shape(9, 0.1, 0.2));  // 40 deg a side
    CHECK(most_lean_deg(obj_of(nine, 39.0).mesh) < flat_deg);
    CHECK(most_lean_deg(obj_of(nine, 40.0).mesh) == doctest::Approx(20.0).epsilon(1e-3));
    CHECK(most_lean_deg(obj_of(nine, 0.0).mesh) < flat_deg);
    // At 180 every edge is smooth: a cube's corner looks along its diagonal.
    const Mesh cube = obj_of(with_shared_corners(box_shape(Vec3(0.0), Vec3(0.2))), 180.0).mesh;
    const auto at_corner = normals_at(cube, glm::vec3(0.2f));
    REQUIRE(at_corner.size() == 1);
    CHECK(glm::distance(at_corner[0], glm::normalize(glm::vec3(1.0f))) < 1e-5f);
}

// Wavefront's description of the format: s names the smoothing group of the elements that follow,
// 0 or off turns smoothing off.
TEST_CASE("smoothing groups are obeyed in place of the crease angle") {
    const auto normals = [](const std::string& text) {
        return normals_at(obj_of(text).mesh, glm::vec3(0.0f)).size();
    };
    CHECK(normals(hinge(20)) == 1);
    CHECK(normals(hinge(60)) == 2);
    CHECK(normals(hinge(60, "s 3\n")) == 1);
    CHECK(normals(hinge(120, "s 3\r\n")) == 1);
    CHECK(normals(hinge(20, "s off\n")) == 2);
    CHECK(normals(hinge(20, "s 0\n")) == 2);
    CHECK(normals(hinge(20, "s 1\n", "s 2\n")) == 2);
    CHECK(normals(hinge(20, "s 1\n", "s off\n")) == 2);
    CHECK(normals(hinge(20, "s off\n", "s 1\n")) == 2);
    // Before the first s no group is in force.
    CHECK(normals(hinge(20, "", "s 1\n")) == 2);
    // A group goes on in another object and material.
    CHECK(normals(hinge(60, "o a\ns 4\n", "o b\ng c\nusemtl d\n")) == 1);
    const std::string round = with_shared_corners(pole_shape(24, 0.1, 0.2));
    CHECK(most_lean_deg(obj_of("s off\n" + round).mesh) < flat_deg);
    CHECK(most_lean_deg(obj_of("s 1\n" + round).mesh) > 40.0);  // over the rims too
}

TEST_CASE("stated normals stay, and faces without get computed ones beside them") {
    const glm::vec3 stated = glm::normalize(glm::vec3(0.0f, 3.0f, 4.0f));
    const std::string text =
        "v -0.1 0 0\nv 0 0 0\nv 0 0.1 0\nv -0.1 0.1 0\nv 0.1 0 0\nv 0.1 0.1 0\nvn 0 3 4\n"
        "vn 0 0 0\n";
    const Mesh mixed = obj_of(text + "f 1//1 2//1 3//1 4//1\nf 2 5 6 3\n").mesh;
    const auto at_seam = normals_at(mixed, glm::vec3(0.0f));
    REQUIRE(at_seam.size() == 2);
    CHECK(glm::distance(at_seam[0], stated) < 1e-6f);
    CHECK(glm::distance(at_seam[1], glm::vec3(0, 0, 1)) < 1e-6f);
    // Within a face too, and where the stated one has no length.
    const Mesh torn = obj_of(text + "f 1//1 2//2 3 4//1\n").mesh;
    CHECK(glm::distance(normals_at(torn, {-0.1f, 0.0f, 0.0f}).at(0), stated) < 1e-6f);
    CHECK(glm::distance(normals_at(torn, glm::vec3(0.0f)).at(0), glm::vec3(0, 0, 1)) < 1e-6f);
    CHECK(torn.positions.size() == 4);
}

TEST_CASE("where normals are split the surface stays joined, however it is cut") {
    for (const ObjShape& shape : {box_shape(Vec3(-1.0), Vec3(1.0)), pole_shape(8, 0.31, 2.9),
                                  pole_shape(12, 0.47, 1.3), pole_shape(5, 2.0, 0.05)}) {
        const ObjMesh read = obj_of(with_shared_corners(shape));
        CHECK(longest_edge_m(read.mesh) <= 0.25 * (1 + 1e-6));
        const MeshSurvey survey = survey_of(read.mesh);
        CHECK(survey.open_edges == 0);
        CHECK(survey.twisted_edges == 0);
        CHECK(survey.volume_m3 == doctest::Approx(read.survey.volume_m3).epsilon(1e-4));
    }
}

TEST_CASE("a crowd of faces about a vertex or an edge costs no more than its number") {
    // Its square would take minutes.
    std::string fan = "v 0 0 0.05\n";
    for (int i = 0; i < 100'000; ++i) {
        const double turn_rad = 2.0 * pi * i / 100'000;
        fan += fmt::format("v {} {} 0\n", 0.1 * std::cos(turn_rad), 0.1 * std::sin(turn_rad));
    }
    for (int i = 0; i < 100'000; ++i)
        fan += fmt::format("f 1 {} {}\n", i + 2, (i + 1) % 100'000 + 2);
    CHECK(obj_of(fan).mesh.triangles.size() == 100'000);
    std::string sheets = "v 0 0 0\nv 0 0.1 0\n";
    for (int i = 0; i < 50'000; ++i)
        sheets += fmt::format("v {} 0 {}\nf 1 2 {}\n", 0.1 * std::cos(i), 0.1 * std::sin(i), i + 3);
    CHECK(obj_of(sheets).mesh.triangles.size() == 50'000);
}

TEST_CASE("faces that run the other way round than their neighbours are not joined to them") {
    const Mesh mesh = obj_of(
                          "v -0.1 0 0\nv 0 0 0\nv 0 0.1 0\nv -0.1 0.1 0\nv 0.1 0 0\nv 0.1 0.1 0\n"
                          "s 1\nf 1 2 3 4\nf 2 3 6 5\n")
                          .mesh;
    CHECK(most_lean_deg(mesh) < flat_deg);
}
