// A sphere of triangles that are nearly alike.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <map>
#include <utility>

#include "scene/subjects/mesh.h"

namespace lampflight {

/// An icosahedron whose edges are halved so many times, with the sphere's own normals; `inwards`
/// for a room, else for a ball. One material.
inline Mesh icosphere(const Vec3& centre_m, double radius_m, int halvings, bool inwards) {
    const double g = 0.5 * (1.0 + std::sqrt(5.0));
    std::vector<Vec3> unit{{-1, g, 0}, {1, g, 0}, {-1, -g, 0}, {1, -g, 0},
                           {0, -1, g}, {0, 1, g}, {0, -1, -g}, {0, 1, -g},
                           {g, 0, -1}, {g, 0, 1}, {-g, 0, -1}, {-g, 0, 1}};
    for (Vec3& p : unit) p = glm::normalize(p);
    std::vector<std::array<std::uint32_t, 3>> faces{
        {0, 11, 5},  {0, 5, 1},  {0, 1, 7},  {0, 7, 10}, {0, 10, 11}, {1, 5, 9}, {5, 11, 4},
        {11, 10, 2}, {10, 7, 6}, {7, 1, 8},  {3, 9, 4},  {3, 4, 2},   {3, 2, 6}, {3, 6, 8},
        {3, 8, 9},   {4, 9, 5},  {2, 4, 11}, {6, 2, 10}, {8, 6, 7},   {9, 8, 1}};
    for (int i = 0; i < halvings; ++i) {
        std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> known;
        const auto middle = [&](std::uint32_t a, std::uint32_t b) {
            const auto [place, fresh] =
                known.try_emplace(std::minmax(a, b), static_cast<std::uint32_t>(unit.size()));
            if (fresh) unit.push_back(glm::normalize(unit[a] + unit[b]));
            return place->second;
        };
        std::vector<std::array<std::uint32_t, 3>> finer;
        for (const auto& [a, b, c] : faces) {
            const std::uint32_t ab = middle(a, b), bc = middle(b, c), ca = middle(c, a);
            finer.insert(finer.end(), {{a, ab, ca}, {b, bc, ab}, {c, ca, bc}, {ab, bc, ca}});
        }
        faces = std::move(finer);
    }
    Mesh mesh;
    for (const Vec3& p : unit) {
        mesh.positions.emplace_back(centre_m + radius_m * p);
        mesh.normals.emplace_back(inwards ? -p : p);
    }
    mesh.triangles = std::move(faces);
    if (inwards)
        for (auto& corners : mesh.triangles) std::swap(corners[1], corners[2]);
    mesh.material_of.assign(mesh.triangles.size(), 0);
    mesh.materials = {{}};
    return mesh;
}

}  // namespace lampflight
