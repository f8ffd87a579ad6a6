// Measures of a mesh that several tests ask for.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "scene/subjects/mesh.h"

namespace lampflight {

/// Edges that are not walked exactly once each way: none on a closed surface.
inline std::size_t open_edges(const Mesh& mesh) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, int> walked;
    for (const auto& t : mesh.triangles)
        for (std::size_t k = 0; k < 3; ++k) ++walked[{t[k], t[(k + 1) % 3]}];
    std::size_t open = 0;
    for (const auto& [edge, times] : walked) {
        const auto back = walked.find({edge.second, edge.first});
        if (times != 1 || back == walked.end() || back->second != 1) ++open;
    }
    return open;
}

inline Vec3 corner_m(const Mesh& mesh, std::size_t triangle, std::size_t corner) {
    return Vec3(mesh.positions[mesh.triangles[triangle][corner]]);
}

inline Vec3 area_vector_m2(const Mesh& mesh, std::size_t i) {
    const Vec3 a = corner_m(mesh, i, 0);
    return 0.5 * glm::cross(corner_m(mesh, i, 1) - a, corner_m(mesh, i, 2) - a);
}

inline double area_m2(const Mesh& mesh) {
    double sum = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        sum += glm::length(area_vector_m2(mesh, i));
    return sum;
}

/// Enclosed volume, by the divergence theorem; positive when faces look outwards.
inline double volume_m3(const Mesh& mesh) {
    double sum = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        sum += glm::dot(corner_m(mesh, i, 0), area_vector_m2(mesh, i)) / 3.0;
    return sum;
}

inline double longest_edge_m(const Mesh& mesh) {
    double longest = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        for (std::size_t k = 0; k < 3; ++k)
            longest = std::max(longest,
                               glm::distance(corner_m(mesh, i, k), corner_m(mesh, i, (k + 1) % 3)));
    return longest;
}

/// Largest departure of a normal from length 1.
inline double worst_normal(const Mesh& mesh) {
    double worst = mesh.normals.size() == mesh.positions.size() ? 0.0 : 1.0;
    for (const glm::vec3& n : mesh.normals)
        worst = std::max(worst, std::abs(static_cast<double>(glm::length(n)) - 1.0));
    return worst;
}

/// Share of triangle corners whose normal looks to the outer side of the triangle.
inline double outward_share(const Mesh& mesh) {
    std::size_t outward = 0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
        for (const std::uint32_t v : mesh.triangles[i])
            if (glm::dot(Vec3(mesh.normals[v]), area_vector_m2(mesh, i)) >= 0.0) ++outward;
    return static_cast<double>(outward) / static_cast<double>(3 * mesh.triangles.size());
}

}  // namespace lampflight
