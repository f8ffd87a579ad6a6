#include "scene/subjects/read_obj.h"

#include <doctest/doctest.h>

#include "scene/basics/noise.h"
#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/unit/scene/subjects/mesh_shape.h"

using namespace lampflight;

namespace {

std::string fault_of(const ObjResult& result) {
    const auto* fault = std::get_if<std::string>(&result);
    return fault ? *fault : "no fault";
}

const std::string square = "v 0 0 0\nv 0.1 0 0\nv 0.1 0.1 0\nv 0 0.1 0\n";

}  // namespace

TEST_CASE("polygons become triangles, materials keep their diffuse colour within bounds") {
    const ObjFolder folder;
    folder.write("paint.mtl", "newmtl red\nKd 0.5 0.25 2\nnewmtl dark\nKd -1 0 0.1\n");
    const Mesh mesh =
        sound_obj(read_plain(folder.write("square.obj",
                                          "mtllib paint.mtl\n" + square +
                                              "usemtl red\nf 1 2 3 4\nusemtl dark\nf 4 3 2\n")))
            .mesh;
    REQUIRE(mesh.triangles.size() == 3);
    const Rgb red = mesh.materials[mesh.material_of[0]].reflectance;
    const Rgb dark = mesh.materials[mesh.material_of[2]].reflectance;
    CHECK(glm::distance(red, Rgb(0.5, 0.25, 0.95)) < 1e-6);
    CHECK(glm::distance(dark, Rgb(0.0, 0.0, 0.1)) < 1e-6);
    CHECK(area_m2(mesh) == doctest::Approx(0.015).epsilon(1e-5));
}

TEST_CASE("without materials a mesh is grey, without normals a flat one is flat") {
    const ObjFolder folder;
    const Mesh mesh =
        sound_obj(read_plain(folder.write("a.obj", "mtllib gone.mtl\n" + square + "f 1 2 3 4\n")))
            .mesh;
    CHECK(mesh.materials[mesh.material_of[0]].reflectance == Rgb(0.35));
    for (const glm::vec3& normal : mesh.normals) CHECK(normal == glm::vec3(0, 0, 1));
    CHECK(mesh.positions.size() == 4);
}

TEST_CASE("normals of the file are kept, made unit") {
    const ObjFolder folder;
    const Mesh mesh =
        sound_obj(read_plain(folder.write(
                      "a.obj", square + "vn 0 3 4\nf 1//1 2//1 3//1\nf -4//-1 -2//-1 -1//-1\n")))
            .mesh;
    for (const glm::vec3& normal : mesh.normals)
        CHECK(glm::distance(normal, glm::vec3(0, 0.6f, 0.8f)) < 1e-6f);
}

TEST_CASE("long edges are split") {
    const ObjFolder folder;
    const Mesh mesh =
        sound_obj(read_plain(folder.write("a.obj", "v 0 0 0\nv 3 0 0\nv 0 4 0\nf 1 2 3\n"))).mesh;
    CHECK(longest_edge_m(mesh) <= 0.25 * (1 + 1e-6));
    CHECK(area_m2(mesh) == doctest::Approx(6.0).epsilon(1e-5));
    const Mesh plain =
        sound_obj(read_plain(folder.write("b.obj", "v 0 0 0\nv 9000 0 0\nv 0 9000 0\nf 1 2 3\n")))
            .mesh;
    CHECK(plain.triangles.size() <= most_obj_triangles);
}

TEST_CASE("what can't be used is refused in a sentence") {
    const ObjFolder folder;
    const auto fault = [&](const std::string& text) {
        return fault_of(read_plain(folder.write("bad.obj", text)));
    };
    CHECK(fault_of(read_plain(folder.path() / "none.obj")) == "it is not there");
    CHECK(fault_of(read_plain(folder.path())) == "it is a folder");
    CHECK(fault("") == "it holds no triangle");
    CHECK(fault(square) == "it holds no triangle");
    CHECK(fault(square + "f 1 2\n") == "it holds no triangle");
    CHECK(fault(square + "f 1 1 1\n") == "it holds no triangle");
    CHECK(fault("v 0 nan 0\n") == "its line 1 needs three numbers within 1000 km");
    CHECK(fault("\nv 0 inf 0\n") == "its line 2 needs three numbers within 1000 km");
    CHECK(fault("v 0 1e30 0\n") == "its line 1 needs three numbers within 1000 km");
    CHECK(fault("v 0 1\n") == "its line 1 needs three numbers within 1000 km");
    CHECK(fault(square + "f 1 2 5\n") == "its line 5 uses vertex 5 of 4");
    CHECK(fault(square + "f 1 2 0\n") == "its line 5 uses a vertex that does not exist");
    CHECK(fault(square + "f 1 2 -5\n") == "its line 5 uses a vertex that does not exist");
    CHECK(fault(square + "f 1 2 99999999999999999999\n") ==
          "its line 5 uses a vertex that does not exist");
}

TEST_CASE("a mesh beyond the limit is refused before it is built") {
    const ObjFolder folder;
    std::string text = square;
    text.reserve(22'000'000);
    for (std::size_t i = 0; i <= most_obj_triangles / 2; ++i) text += "f 1 2 3 4\n";
    CHECK(fault_of(read_plain(folder.write("large.obj", text))) ==
          "it holds more than 2000000 triangles; allowed is up to that");
}

TEST_CASE("damaged files are refused or read, never worse") {
    const ObjFolder folder;
    const std::string whole = "mtllib m.mtl\no x\n" + square +
                              "vn 0 0 1\nvt 0 0\nusemtl a\ns 1\nf 1/1/1 2//1 3//1 4\nl 1 2\n";
    folder.write("m.mtl", "newmtl a\nKd nan 1\nnewmtl\nmap_Kd -o\n\x01\xff");
    for (int i = 0; i < 400; ++i) {
        std::string text = whole;
        for (int k = 0; k < 4; ++k) {
            const std::size_t at = hash_cell(i, k, 0, 1) % text.size();
            const std::uint32_t change = hash_cell(i, k, 1, 1);
            if (change % 3 == 0) text[at] = static_cast<char>(change >> 8);
            if (change % 3 == 1) text.erase(at, 1 + (change >> 8) % 3);
            if (change % 3 == 2) text.insert(at, 1, "019-/. \nvfs"[(change >> 8) % 11]);
        }
        if (i % 5 == 0) text.resize(text.size() / 2);
        const ObjResult result = read_plain(folder.write("damaged.obj", text));
        if (const ObjMesh* read = std::get_if<ObjMesh>(&result)) {
            REQUIRE(!read->mesh.triangles.empty());
            REQUIRE(worst_normal(read->mesh) < 1e-4);
        } else {
            REQUIRE(!std::get<std::string>(result).empty());
        }
    }
}
