#include "scene/subjects/mesh.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "scene/subjects/normals.h"

namespace lampflight {

namespace {

float length_squared(const glm::vec3& v) {
    return glm::dot(v, v);
}

float longest_edge_m(const Mesh& mesh) {
    float longest = 0.0f;
    for (const auto& t : mesh.triangles)
        for (std::size_t side = 0; side < 3; ++side)
            longest = std::max(longest, length_squared(mesh.positions[t[side]] -
                                                       mesh.positions[t[(side + 1) % 3]]));
    return std::sqrt(longest);
}

// Smooth surfaces that lie off a mesh by less lie on it.
constexpr float least_bulge_m = 1e-5f;

/// From the middle of an edge outwards to the smooth surface: the mean of what lifts it onto the
/// tangent planes of those ends that it lies below, as the renderer does within a triangle.
glm::vec3 bulge_of_edge_m(const Mesh& mesh, std::uint32_t a, std::uint32_t b) {
    const glm::vec3 half_m = (mesh.positions[b] - mesh.positions[a]) * 0.5f;
    const glm::vec3& at_a = mesh.normals[a];
    const glm::vec3& at_b = mesh.normals[b];
    return -0.5f * (std::min(glm::dot(half_m, at_a), 0.0f) * at_a +
                    std::min(-glm::dot(half_m, at_b), 0.0f) * at_b);
}

/// Vertices in the middle of edges, made once for each pair of vertices. Where a seam keeps two
/// vertices in one place, both sides come to the same middle because the sum commutes.
class Middles {
public:
    explicit Middles(Mesh& mesh) : mesh_(mesh), shaded_(!mesh.normals.empty()) {}

    std::uint32_t between(std::uint32_t a, std::uint32_t b) {
        const std::uint64_t key =
            (static_cast<std::uint64_t>(std::min(a, b)) << 32) | std::max(a, b);
        const auto [entry, is_new] =
            made_.try_emplace(key, static_cast<std::uint32_t>(mesh_.positions.size()));
        if (is_new) {
            mesh_.positions.push_back((mesh_.positions[a] + mesh_.positions[b]) * 0.5f);
            if (shaded_) {
                mesh_.bulges_m.push_back((mesh_.bulges_m[a] + mesh_.bulges_m[b]) * 0.5f +
                                         bulge_of_edge_m(mesh_, a, b));
                mesh_.normals.push_back(unit_or_up(mesh_.normals[a] + mesh_.normals[b]));
            }
        }
        return entry->second;
    }

private:
    Mesh& mesh_;
    bool shaded_;
    std::unordered_map<std::uint64_t, std::uint32_t> made_;
};

using Corners = std::array<std::uint32_t, 3>;

/// Cuts one triangle at the middles of those sides that are too long (side k runs from corner k).
void cut(Mesh& mesh, Middles& middles, const Corners& t, std::uint16_t material, float limit_sq,
         std::vector<Corners>& triangles, std::vector<std::uint16_t>& material_of) {
    const auto add = [&](std::uint32_t a, std::uint32_t b, std::uint32_t c) {
        triangles.push_back({a, b, c});
        material_of.push_back(material);
    };
    std::array<bool, 3> is_long{};
    std::size_t long_sides = 0;
    for (std::size_t k = 0; k < 3; ++k) {
        is_long[k] =
            length_squared(mesh.positions[t[k]] - mesh.positions[t[(k + 1) % 3]]) > limit_sq;
        if (is_long[k]) ++long_sides;
    }
    if (long_sides == 0) return add(t[0], t[1], t[2]);
    // Turned so that the first side is long and, of two, the last is the short one.
    std::size_t first = 0;
    while (!is_long[first] || (long_sides == 2 && is_long[(first + 2) % 3])) ++first;
    const std::uint32_t a = t[first], b = t[(first + 1) % 3], c = t[(first + 2) % 3];
    const std::uint32_t ab = middles.between(a, b);
    if (long_sides == 1) {
        add(a, ab, c);
        add(ab, b, c);
        return;
    }
    const std::uint32_t bc = middles.between(b, c);
    add(ab, b, bc);
    if (long_sides == 3) {
        const std::uint32_t ca = middles.between(c, a);
        add(a, ab, ca);
        add(bc, c, ca);
        add(ab, bc, ca);
        return;
    }
    const auto& p = mesh.positions;
    if (length_squared(p[a] - p[bc]) < length_squared(p[ab] - p[c])) {
        add(a, ab, bc);
        add(a, bc, c);
    } else {
        add(a, ab, c);
        add(ab, bc, c);
    }
}

/// See split_long_edges.
bool split_until_short(Mesh& mesh, float wanted_m, std::size_t most_triangles) {
    for (;;) {
        const float longest = longest_edge_m(mesh);
        if (!std::isfinite(longest) || longest <= wanted_m) return longest <= wanted_m;
        // The longest edges first, so that a budget is spent where it is needed most.
        const float limit = std::max(wanted_m, longest * 0.5f);
        std::vector<Corners> triangles;
        std::vector<std::uint16_t> material_of;
        triangles.reserve(mesh.triangles.size() * 2);
        material_of.reserve(mesh.triangles.size() * 2);
        const std::size_t vertices_before = mesh.positions.size();
        {
            Middles middles(mesh);
            for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
                cut(mesh, middles, mesh.triangles[i], mesh.material_of[i], limit * limit, triangles,
                    material_of);
        }
        if (triangles.size() > most_triangles) {
            mesh.positions.resize(vertices_before);
            if (!mesh.normals.empty()) {
                mesh.normals.resize(vertices_before);
                mesh.bulges_m.resize(vertices_before);
            }
            return false;
        }
        mesh.triangles = std::move(triangles);
        mesh.material_of = std::move(material_of);
    }
}

double area_of(const Mesh& mesh, const std::array<std::uint32_t, 3>& triangle) {
    const Vec3 a = mesh.positions[triangle[0]];
    const Vec3 b = mesh.positions[triangle[1]];
    const Vec3 c = mesh.positions[triangle[2]];
    return 0.5 * glm::length(glm::cross(b - a, c - a));
}

double mean_reflectance(const Mesh& mesh) {
    double area = 0.0, weighted = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const double part = area_of(mesh, mesh.triangles[i]);
        area += part;
        weighted += part * luminance(mesh.materials[mesh.material_of[i]].reflectance);
    }
    return area > 0.0 ? weighted / area : 0.0;
}

}  // namespace

bool split_long_edges(Mesh& mesh, double longest_m, std::size_t most_triangles) {
    if (!(longest_m > 0.0)) return false;
    mesh.bulges_m.resize(mesh.normals.size(), glm::vec3(0.0f));
    // In single precision, as edges are: rounding can't split for ever.
    const bool all = split_until_short(mesh, static_cast<float>(longest_m), most_triangles);
    if (std::ranges::none_of(mesh.bulges_m, [](const glm::vec3& bulge) {
            return length_squared(bulge) > least_bulge_m * least_bulge_m;
        }))
        mesh.bulges_m = {};
    return all;
}

void place(Mesh& mesh, double facing_deg, double scale, const Vec3& position_m) {
    // From south (180 degrees), clockwise seen from above.
    const double turn_rad = radians(facing_deg - 180.0);
    const double cosine = std::cos(turn_rad), sine = std::sin(turn_rad);
    const auto turned = [&](const glm::vec3& v) {
        const Vec3 d(v);
        return Vec3(d.x * cosine + d.y * sine, d.y * cosine - d.x * sine, d.z);
    };
    for (glm::vec3& position : mesh.positions)
        position = glm::vec3(turned(position) * scale + position_m);
    for (glm::vec3& normal : mesh.normals) normal = glm::vec3(turned(normal));
    for (glm::vec3& bulge_m : mesh.bulges_m) bulge_m = glm::vec3(turned(bulge_m) * scale);
}

void set_mean_reflectance(Mesh& mesh, double reflectance) {
    const double mean = mean_reflectance(mesh);
    for (Material& material : mesh.materials)
        material.reflectance = mean > 0.0
                                   ? glm::min(material.reflectance * (reflectance / mean), Rgb(1.0))
                                   : Rgb(reflectance);
}

}  // namespace lampflight
