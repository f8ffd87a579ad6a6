#include "renderer/surface_light/irradiance_cache.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <numeric>

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_sort.h>

#include "renderer/sampling/directions.h"

namespace lampflight {
namespace {

constexpr float smallest_m = 0.25f;
constexpr float share_of_distance = 0.05f;

/// What vertices of one cell have in common, in one number; in its order, cells that face alike
/// and lie near each other come together. From high bits to low: mesh, facing (the signed axis
/// that the normal is nearest to), level (cells are smallest_m * 2^level wide), place.
using CellKey = std::uint64_t;
constexpr int place_bits = 10, level_bits = 5, facing_bits = 3;

/// The low bits of a number with two gaps after each.
std::uint64_t spread_bits(std::uint64_t n) {
    n &= (1u << place_bits) - 1u;
    n = (n | n << 16) & 0x030000ffu;
    n = (n | n << 8) & 0x0300f00fu;
    n = (n | n << 4) & 0x030c30c3u;
    return (n | n << 2) & 0x09249249u;
}

/// Cells of one level lie within 40 cell widths of the lens, so ten bits a coordinate tell them
/// apart. The bits of the coordinates take turns: near in number is near in space.
CellKey key_of(std::size_t mesh, const glm::vec3& position_m, const glm::vec3& normal,
               const glm::vec3& lens_m) {
    const float wanted_m = share_of_distance * glm::distance(position_m, lens_m);
    // The exponent of a number in its bits, and a power of two made of one: much quicker than the
    // library's calls.
    const std::uint32_t exponent =
        std::bit_cast<std::uint32_t>(std::max(wanted_m, smallest_m) / smallest_m) >> 23;
    const std::uint32_t level = std::min(exponent - 127u, (1u << level_bits) - 1u);
    const float cells_a_metre = std::bit_cast<float>((127u - level) << 23) / smallest_m;
    const glm::ivec3 place(glm::floor(position_m * cells_a_metre));
    const auto bits = [](int coordinate) {
        return spread_bits(static_cast<std::uint64_t>(coordinate));
    };
    CellKey key = mesh << facing_bits | nearest_axis(normal);
    key = key << level_bits | level;
    return key << (3 * place_bits) | bits(place.x) << 2 | bits(place.y) << 1 | bits(place.z);
}

constexpr std::uint32_t none = IrradianceCache::none;

/// Numbers for keys in the order of their coming: a table with open places, a power of two long.
class KeyNumbers {
public:
    KeyNumbers() : slots_(std::size_t{1} << 16, none) {}

    std::uint32_t number(CellKey key) {
        std::size_t slot = slot_of(key);
        while (slots_[slot] != none && keys_[slots_[slot]] != key)
            slot = (slot + 1) & (slots_.size() - 1);
        if (slots_[slot] != none) return slots_[slot];
        slots_[slot] = static_cast<std::uint32_t>(keys_.size());
        keys_.push_back(key);
        if (2 * keys_.size() > slots_.size()) grow();
        return static_cast<std::uint32_t>(keys_.size()) - 1;
    }

    const std::vector<CellKey>& keys() const { return keys_; }

private:
    std::size_t slot_of(CellKey key) const {
        return static_cast<std::size_t>((key * 0x9e3779b97f4a7c15u) >> 20) & (slots_.size() - 1);
    }

    void grow() {
        slots_.assign(2 * slots_.size(), none);
        for (std::size_t n = 0; n < keys_.size(); ++n) {
            std::size_t slot = slot_of(keys_[n]);
            while (slots_[slot] != none) slot = (slot + 1) & (slots_.size() - 1);
            slots_[slot] = static_cast<std::uint32_t>(n);
        }
    }

    std::vector<std::uint32_t> slots_;
    std::vector<CellKey> keys_;
};

/// Calls `visit(mesh, first vertex, end)` for parts of all meshes, in parallel.
template <class Visit>
void for_each_part(const Geometry& geometry, Visit visit) {
    for (std::size_t m = 0; m < geometry.meshes().size(); ++m) {
        const std::size_t count = geometry.meshes()[m]->positions.size();
        tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 4096),
                          [&](const auto& range) { visit(m, range.begin(), range.end()); });
    }
}

/// Runs of keys that share all but level and place.
std::vector<IrradianceCache::Run> runs_of(const std::vector<CellKey>& keys,
                                          const std::vector<std::uint32_t>& in_order) {
    std::vector<IrradianceCache::Run> runs;
    CellKey before = 0;
    for (std::uint32_t cell = 0; cell < in_order.size(); ++cell) {
        const CellKey faces = keys[in_order[cell]] >> (level_bits + 3 * place_bits);
        if (cell == 0 || faces != before)
            runs.push_back({static_cast<std::uint32_t>(faces >> facing_bits), cell, cell});
        runs.back().end = cell + 1;
        before = faces;
    }
    return runs;
}

/// For every vertex the number of its cell, in the order of the keys, and the cells' runs. Returns
/// how many cells there are.
std::size_t number_cells(const Geometry& geometry, const glm::vec3& lens_m,
                         IrradianceCache& cells) {
    auto& cell_of = cells.cell_of;
    std::vector<std::vector<CellKey>> keys;
    for (const Mesh* mesh : geometry.meshes()) {
        keys.emplace_back(mesh->positions.size());
        cell_of.emplace_back(mesh->positions.size());
    }
    for_each_part(geometry, [&](std::size_t m, std::size_t begin, std::size_t end) {
        const Mesh& mesh = *geometry.meshes()[m];
        for (std::size_t v = begin; v < end; ++v)
            keys[m][v] = key_of(m, mesh.positions[v], mesh.normals[v], lens_m);
    });
    KeyNumbers known;
    for (std::size_t m = 0; m < keys.size(); ++m)
        for (std::size_t v = 0; v < keys[m].size(); ++v)
            cell_of[m][v] = v > 0 && keys[m][v] == keys[m][v - 1] ? cell_of[m][v - 1]
                                                                  : known.number(keys[m][v]);
    const std::vector<CellKey>& distinct = known.keys();
    std::vector<std::uint32_t> in_order(distinct.size());
    std::iota(in_order.begin(), in_order.end(), 0u);
    tbb::parallel_sort(in_order.begin(), in_order.end(),
                       [&](std::uint32_t a, std::uint32_t b) { return distinct[a] < distinct[b]; });
    cells.runs = runs_of(distinct, in_order);
    std::vector<std::uint32_t> rank(distinct.size());
    for (std::size_t i = 0; i < in_order.size(); ++i)
        rank[in_order[i]] = static_cast<std::uint32_t>(i);
    for_each_part(geometry, [&](std::size_t m, std::size_t begin, std::size_t end) {
        for (std::size_t v = begin; v < end; ++v) cell_of[m][v] = rank[cell_of[m][v]];
    });
    return distinct.size();
}

/// Vertices of each cell of one mesh, one cell after the other.
struct Members {
    std::vector<std::uint32_t> first;  ///< by cell, and the end
    std::vector<std::uint32_t> vertex;
};

Members members_of(const std::vector<std::uint32_t>& cell_of, std::size_t cells) {
    Members members{std::vector<std::uint32_t>(cells + 1, 0), {}};
    for (const std::uint32_t cell : cell_of) ++members.first[cell + 1];
    std::partial_sum(members.first.begin(), members.first.end(), members.first.begin());
    members.vertex.resize(cell_of.size());
    std::vector<std::uint32_t> next(members.first.begin(), members.first.end() - 1);
    for (std::uint32_t v = 0; v < cell_of.size(); ++v) members.vertex[next[cell_of[v]]++] = v;
    return members;
}

/// Puts the member nearest to the members' mean in the place of each cell of a mesh: a corner of
/// the cell would stand for it with a bias.
void choose_middles(const Mesh& mesh, const Members& members, IrradianceCache& cells) {
    tbb::parallel_for(std::size_t{0}, cells.position_m.size(), [&](std::size_t cell) {
        const std::uint32_t begin = members.first[cell], end = members.first[cell + 1];
        if (begin == end) return;  // another mesh's
        glm::vec3 sum(0.0f);
        for (std::uint32_t k = begin; k < end; ++k) sum += mesh.positions[members.vertex[k]];
        const glm::vec3 mean = sum / static_cast<float>(end - begin);
        std::uint32_t middle = members.vertex[begin];
        float nearest = std::numeric_limits<float>::infinity();
        for (std::uint32_t k = begin; k < end; ++k) {
            const glm::vec3 off = mesh.positions[members.vertex[k]] - mean;
            const float square = glm::dot(off, off);
            if (square >= nearest) continue;
            nearest = square;
            middle = members.vertex[k];
        }
        cells.position_m[cell] = receiving_m(mesh, middle);
        cells.normal[cell] = mesh.normals[middle];
        const std::uint32_t far = *std::max_element(
            &members.vertex[begin], &members.vertex[0] + end,
            [&](std::uint32_t a, std::uint32_t b) {
                const glm::vec3 off_a = mesh.positions[a] - cells.position_m[cell];
                const glm::vec3 off_b = mesh.positions[b] - cells.position_m[cell];
                return glm::dot(off_a, off_a) < glm::dot(off_b, off_b);
            });
        cells.far.position_m[cell] = receiving_m(mesh, far);
        cells.far.normal[cell] = mesh.normals[far];
    });
}

}  // namespace

IrradianceCache::Blend IrradianceCache::at(std::uint32_t mesh, std::uint32_t triangle,
                                           const std::array<std::uint32_t, 3>& corners, float u,
                                           float v) const {
    const std::uint32_t first = first_of_triangle[mesh][triangle];
    if (first == none) {
        const std::vector<std::uint32_t>& of = fine_cell_of[mesh];
        return {{of[corners[0]], of[corners[1]], of[corners[2]]}, {1.0f - u - v, u, v}};
    }
    // The small triangle: the one or the other half of a step along both sides.
    const float along = std::max(u, 0.0f) * steps_of_side, up = std::max(v, 0.0f) * steps_of_side;
    const int row = std::min(static_cast<int>(up), steps_of_side - 1);
    const int place = std::min(static_cast<int>(along), steps_of_side - 1 - row);
    const float du = std::min(along - static_cast<float>(place), 1.0f);
    const float dv = std::min(up - static_cast<float>(row), 1.0f);
    const auto cell = [&](int i, int j) {
        return first + static_cast<std::uint32_t>(j * (steps_of_side + 1) - j * (j - 1) / 2 + i);
    };
    const float beyond = du + dv - 1.0f;
    if (beyond <= 0.0f)
        return {{cell(place, row), cell(place + 1, row), cell(place, row + 1)}, {-beyond, du, dv}};
    if (place + row + 1 >= steps_of_side)  // rounding beyond the side
        return {{cell(place, row), cell(place + 1, row), cell(place, row + 1)},
                {0.0f, du / (du + dv), dv / (du + dv)}};
    return {{cell(place + 1, row + 1), cell(place, row + 1), cell(place + 1, row)},
            {beyond, 1.0f - du, 1.0f - dv}};
}

float IrradianceCache::mean(std::uint32_t mesh, std::uint32_t triangle,
                            const std::array<std::uint32_t, 3>& corners,
                            const std::vector<float>& values) const {
    float sum = 0.0f;
    const std::uint32_t first = first_of_triangle[mesh][triangle];
    if (first == none) {
        for (const std::uint32_t corner : corners) sum += values[fine_cell_of[mesh][corner]];
        return sum / 3.0f;
    }
    for (std::uint32_t k = 0; k < cells_of_triangle; ++k) sum += values[first + k];
    return sum / static_cast<float>(cells_of_triangle);
}

IrradianceCache irradiance_cache(const Geometry& geometry, const glm::vec3& lens_m) {
    IrradianceCache cells;
    const std::size_t count = number_cells(geometry, lens_m, cells);
    cells.position_m.resize(count);
    cells.normal.resize(count);
    cells.far.position_m.resize(count);
    cells.far.normal.resize(count);
    for (const Mesh* mesh : geometry.meshes())
        cells.first_of_triangle.emplace_back(mesh->triangles.size(), none);
    cells.fine_cell_of = cells.cell_of;
    for (std::size_t m = 0; m < cells.cell_of.size(); ++m)
        choose_middles(*geometry.meshes()[m], members_of(cells.cell_of[m], count), cells);
    return cells;
}

}  // namespace lampflight
