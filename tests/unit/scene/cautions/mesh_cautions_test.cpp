// Mesh files that will not look as their maker meant.
#include <algorithm>

#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/unit/scene/cautions/calm_shoot.h"

using namespace lampflight;

namespace {

const ObjShape mesh_block = box_shape({-1.0, -1.0, 0.0}, {1.0, 1.0, 1.7});

/// What is said of a calm shoot whose boulder is this OBJ text, so many times as large.
std::vector<std::string> said_of_mesh(const std::string& text, double scale = 1.0) {
    PlacedShoot shoot{calm_shoot(), {}};
    ObjMesh loaded = obj_of(text);
    Mesh& mesh = loaded.mesh;
    shoot.subjects[0].scale = scale;
    place(mesh, 180.0, scale, Vec3(0.0));
    shoot.meshes = {mesh};
    shoot.surveyed = {{0, loaded.survey, {}}};
    return texts(shoot, "subject");
}

std::string without_faces(std::size_t count, bool turned = false) {
    ObjShape shape = mesh_block;
    shape.faces.resize(shape.faces.size() - count);
    if (turned)
        for (auto& face : shape.faces) std::ranges::reverse(face);
    return with_shared_corners(shape);
}

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("a sound mesh file calls for no caution") {
    CHECK(said_of_mesh(with_shared_corners(mesh_block)).empty());
    CHECK(said_of_mesh(with_own_corners(mesh_block)).empty());
    CHECK(said_of_mesh(with_shared_corners(pole_shape(24, 0.1, 30.0))).empty());
}

TEST_CASE("an open mesh is told of with its open edges, a sheet is not") {
    const auto open = said_of_mesh(without_faces(1));
    REQUIRE(open.size() == 1);
    CHECK(has(open[0], "\"boulder\" is open: 4 of its edges have a face on one side only"));
    CHECK(said_of_mesh(without_faces(5)).empty());
    // Ground of its own: wide and level.
    CHECK(said_of_mesh("v -300 -300 0\nv 300 -300 0\nv 300 300 5\nv -300 300 0\nf 1 2 3 4\n")
              .empty());
}

TEST_CASE("a mesh inside out, or partly so, is told of") {
    const auto inside_out = said_of_mesh(without_faces(0, true));
    REQUIRE(inside_out.size() == 1);
    CHECK(has(inside_out[0], "inside out"));
    ObjShape shape = mesh_block;
    std::ranges::reverse(shape.faces[2]);
    const auto twisted = said_of_mesh(with_shared_corners(shape));
    REQUIRE(twisted.size() == 1);
    CHECK(has(twisted[0], "at 4 edges"));
}

TEST_CASE("a mesh in other units than metres is told of with the scale that mends it") {
    const std::string person = with_shared_corners(mesh_block);
    const auto in_mm = said_of_mesh(person, 1000.0);
    REQUIRE(in_mm.size() == 1);
    CHECK(has(in_mm[0], "\"boulder\" is 2000 m long"));
    CHECK(has(in_mm[0], "in centimetres, scale = 10 makes it 20 m"));
    CHECK(has(in_mm[0], "in millimetres, scale = 1 makes it 2 m"));
    CHECK(said_of_mesh(person, 100.0).size() == 1);
    const auto tiny = said_of_mesh(person, 0.001);
    REQUIRE(tiny.size() == 1);
    CHECK(has(tiny[0], "only 2.0 mm"));
    CHECK(has(tiny[0], "scale = 1 makes it 2 m"));
}
