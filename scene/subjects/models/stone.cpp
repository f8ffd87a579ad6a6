#include "scene/subjects/models/stone.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "scene/basics/noise.h"

namespace lampflight {

namespace {

constexpr double spacing_m = 0.062;

/// Where the lattice cuts an axis of the stone, from 0 to its length, with lines at the worn edges.
std::vector<double> cuts(double length_m, double edge_m) {
    const double edge = std::min(edge_m, 0.3 * length_m);
    const int inner = std::max(1, static_cast<int>(std::ceil((length_m - 2.0 * edge) / spacing_m)));
    std::vector<double> at{0.0};
    for (int i = 0; i <= inner; ++i) at.push_back(edge + (length_m - 2.0 * edge) * i / inner);
    at.push_back(length_m);
    return at;
}

/// Place in a block of eight free corners by shares along its three axes.
Vec3 inside_block(const std::array<Vec3, 8>& c, const Vec3& t) {
    const auto face = [&](std::size_t k) {
        return glm::mix(glm::mix(c[k], c[k + 1], t.x), glm::mix(c[k + 3], c[k + 2], t.x), t.z);
    };
    return glm::mix(face(0), face(4), t.y);
}

/// Mean length of the block along each axis.
Vec3 size_of(const std::array<Vec3, 8>& c) {
    const auto mean = [&](std::array<std::size_t, 8> ends) {
        double sum = 0.0;
        for (std::size_t k = 0; k < 8; k += 2) sum += glm::distance(c[ends[k]], c[ends[k + 1]]);
        return std::max(0.02, sum / 4.0);
    };
    return {mean({0, 1, 3, 2, 4, 5, 7, 6}), mean({0, 4, 1, 5, 2, 6, 3, 7}),
            mean({0, 3, 1, 2, 4, 7, 5, 6})};
}

/// Moves a place on the block's skin (metres along each axis) inwards to the worn surface: edges
/// rounded, corners knocked off here and there, faces pillowed and uneven.
Vec3 worn(const Vec3& skin_m, const Vec3& size_m, const Stone& stone) {
    const Vec3 offset(7.3 * stone.seed, 3.1 * stone.seed, 0.0);
    const double chip = gradient_noise(skin_m * 5.0 + offset, 21u);
    const double limit = 0.42 * std::min({size_m.x, size_m.y, size_m.z});
    const double radius =
        std::min(limit, stone.edge_m * (1.0 + 0.35 * chip + std::max(0.0, chip - 0.9) * 2.2));
    const Vec3 core = glm::clamp(skin_m, Vec3(radius), size_m - radius);
    const Vec3 out = skin_m - core;
    const double length = glm::length(out);
    if (length < 1e-9) return skin_m;
    const Vec3 normal = out / length;
    const double relief = 0.75 * gradient_noise(skin_m * 4.3 + offset, 22u) +
                          0.65 * gradient_noise(skin_m * 10.0 + offset, 23u);
    return core + normal * (radius + stone.unevenness_m * relief);
}

}  // namespace

void add_stone(Mesh& mesh, const Stone& stone) {
    const Vec3 size_m = size_of(stone.corners);
    const std::array<std::vector<double>, 3> at{
        cuts(size_m.x, stone.edge_m), cuts(size_m.y, stone.edge_m), cuts(size_m.z, stone.edge_m)};
    const std::array<std::size_t, 3> count{at[0].size(), at[1].size(), at[2].size()};
    constexpr std::uint32_t unused = ~0u;
    std::vector<std::uint32_t> vertex(count[0] * count[1] * count[2], unused);
    const auto vertex_at = [&](const std::array<std::size_t, 3>& i) {
        std::uint32_t& number = vertex[(i[2] * count[1] + i[1]) * count[0] + i[0]];
        if (number == unused) {
            number = static_cast<std::uint32_t>(mesh.positions.size());
            const Vec3 place_m = worn({at[0][i[0]], at[1][i[1]], at[2][i[2]]}, size_m, stone);
            mesh.positions.emplace_back(inside_block(stone.corners, place_m / size_m));
        }
        return number;
    };
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::size_t u = (axis + 1) % 3, v = (axis + 2) % 3;
        for (const bool far_face : {false, true})
            for (std::size_t j = 0; j + 1 < count[v]; ++j)
                for (std::size_t i = 0; i + 1 < count[u]; ++i) {
                    std::array<std::uint32_t, 4> q{};
                    for (std::size_t k = 0; k < 4; ++k) {
                        std::array<std::size_t, 3> index{};
                        index[axis] = far_face ? count[axis] - 1 : 0;
                        index[u] = i + (k == 1 || k == 2 ? 1 : 0);
                        index[v] = j + (k >= 2 ? 1 : 0);
                        q[k] = vertex_at(index);
                    }
                    if (!far_face) std::swap(q[1], q[3]);
                    mesh.triangles.push_back({q[0], q[1], q[2]});
                    mesh.triangles.push_back({q[0], q[2], q[3]});
                    mesh.material_of.insert(mesh.material_of.end(), 2, stone.material);
                }
    }
}

}  // namespace lampflight
