#include "renderer/light_cells.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <unordered_map>

#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

constexpr float smallest_m = 0.25f;
constexpr float share_of_distance = 0.05f;

/// What vertices of one cell have in common.
struct CellKey {
    std::uint32_t mesh;
    int level;    ///< size is smallest_m * 2^level
    int facing;   ///< the axis that the normal is nearest to, signed: 0 to 5
    glm::ivec3 place;

    bool operator==(const CellKey&) const = default;
};

struct CellHash {
    std::size_t operator()(const CellKey& key) const {
        const auto word = [](int value) { return static_cast<std::uint32_t>(value); };
        std::uint32_t h = hash_of(key.mesh * 64u + word(key.level) * 8u + word(key.facing),
                                  word(key.place.x));
        h = hash_of(h, word(key.place.y));
        return hash_of(h, word(key.place.z));
    }
};

int nearest_axis(const glm::vec3& normal) {
    const glm::vec3 size = glm::abs(normal);
    const int axis = size.x > size.y ? (size.x > size.z ? 0 : 2) : (size.y > size.z ? 1 : 2);
    return 2 * axis + (normal[axis] < 0.0f ? 1 : 0);
}

CellKey key_of(std::uint32_t mesh, const glm::vec3& position_m, const glm::vec3& normal,
               const glm::vec3& lens_m) {
    const float wanted_m = share_of_distance * glm::distance(position_m, lens_m);
    const int level = std::max(0, static_cast<int>(std::floor(std::log2(
                                      std::max(wanted_m, smallest_m) / smallest_m))));
    const float size_m = std::ldexp(smallest_m, level);
    return {mesh, level, nearest_axis(normal), glm::ivec3(glm::floor(position_m / size_m))};
}

/// Puts the member nearest to the members' mean in the place of each cell: a corner of the cell
/// would stand for it with a bias.
void choose_middles(const Stage& stage, LightCells& cells) {
    std::vector<glm::vec4> sums(cells.position_m.size(), glm::vec4(0.0f));
    const auto for_each_vertex = [&](auto visit) {
        for (std::size_t m = 0; m < cells.cell_of.size(); ++m)
            for (std::size_t v = 0; v < cells.cell_of[m].size(); ++v)
                visit(cells.cell_of[m][v], *stage.meshes()[m], v);
    };
    for_each_vertex([&](std::uint32_t cell, const Mesh& mesh, std::size_t v) {
        sums[cell] += glm::vec4(mesh.positions[v], 1.0f);
    });
    std::vector<float> nearest(sums.size(), std::numeric_limits<float>::infinity());
    for_each_vertex([&](std::uint32_t cell, const Mesh& mesh, std::size_t v) {
        const glm::vec3 off = mesh.positions[v] - glm::vec3(sums[cell]) / sums[cell].w;
        const float square = glm::dot(off, off);
        if (square >= nearest[cell]) return;
        nearest[cell] = square;
        cells.position_m[cell] = mesh.positions[v];
        cells.normal[cell] = mesh.normals[v];
    });
}

}  // namespace

LightCells light_cells(const Stage& stage, const glm::vec3& lens_m) {
    LightCells cells;
    std::unordered_map<CellKey, std::uint32_t, CellHash> known;
    for (std::uint32_t m = 0; m < stage.meshes().size(); ++m) {
        const Mesh& mesh = *stage.meshes()[m];
        std::vector<std::uint32_t>& cell_of = cells.cell_of.emplace_back();
        cell_of.reserve(mesh.positions.size());
        for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
            const CellKey key = key_of(m, mesh.positions[v], mesh.normals[v], lens_m);
            const auto next = static_cast<std::uint32_t>(cells.position_m.size());
            const auto [cell, fresh] = known.try_emplace(key, next);
            if (fresh) {
                cells.position_m.push_back(mesh.positions[v]);
                cells.normal.push_back(mesh.normals[v]);
            }
            cell_of.push_back(cell->second);
        }
    }
    choose_middles(stage, cells);
    return cells;
}

}  // namespace lampflight
