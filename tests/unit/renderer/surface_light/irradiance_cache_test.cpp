#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "renderer/surface_light/irradiance_cache.h"
#include "scene/subjects/models/models.h"

using namespace lampflight;

namespace {

const Geometry& two_boulders() {
    static const Mesh one = boulder_mesh();
    static const Mesh other = [] {
        Mesh mesh = boulder_mesh();
        place(mesh, 77.0, 1.0, {0.5, 0.0, 0.0});
        return mesh;
    }();
    static const Geometry geometry({&one, &other});
    return geometry;
}

constexpr glm::vec3 lens_m(3.0f, -20.0f, 1.5f);

}  // namespace

TEST_CASE(
    "every vertex has a cell, of its own mesh, that a near vertex of like normal stands for") {
    const Geometry& geometry = two_boulders();
    const IrradianceCache cells = irradiance_cache(geometry, lens_m);
    REQUIRE(cells.cell_of.size() == 2);
    std::set<std::uint32_t> used;
    for (std::size_t m = 0; m < 2; ++m) {
        const Mesh& mesh = *geometry.meshes()[m];
        REQUIRE(cells.cell_of[m].size() == mesh.positions.size());
        for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
            const std::uint32_t cell = cells.cell_of[m][v];
            REQUIRE(cell < cells.position_m.size());
            used.insert(cell);
            // Cells are 2.5 to 5 % of the distance wide, at least 25 cm, so this is their diagonal.
            const float widest_m =
                std::max(0.25f, 0.05f * glm::distance(mesh.positions[v], lens_m));
            REQUIRE(glm::distance(cells.position_m[cell], mesh.positions[v]) <
                    1.01f * std::sqrt(3.0f) * widest_m);
            // Each has at least 1/sqrt(3) along one axis: the cosine is at least 1/3 - 2/3.
            REQUIRE(glm::dot(cells.normal[cell], mesh.normals[v]) > -0.34f);
        }
    }
    CHECK(used.size() == cells.position_m.size());
    const std::set<std::uint32_t> first(cells.cell_of[0].begin(), cells.cell_of[0].end());
    // The meshes cross, yet share no cell.
    CHECK(std::ranges::none_of(cells.cell_of[1],
                               [&](std::uint32_t cell) { return first.contains(cell); }));
    CHECK(used.size() * 10 < geometry.meshes()[0]->positions.size());
}

TEST_CASE("light cells are the same each time they are made") {
    const IrradianceCache first = irradiance_cache(two_boulders(), lens_m);
    const IrradianceCache again = irradiance_cache(two_boulders(), lens_m);
    CHECK(first.cell_of == again.cell_of);
    CHECK(first.position_m == again.position_m);
    CHECK(first.normal == again.normal);
}
