#include "renderer/surface_light/lit_patches.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <tbb/parallel_for.h>

namespace lampflight {
namespace {

constexpr std::size_t most_clusters = 512;

// Triangles that send back a smaller share of all light are left to rays over the hemisphere.
constexpr float least_share = 1e-7f;

}  // namespace

void PatchClusters::resize(std::size_t count) {
    for (std::vector<float>* values : {&power, &radius_m, &thickness_m, &spread})
        values->resize(count);
    for (auto* vectors : {&middle_m, &normal})
        for (std::vector<float>& values : *vectors) values.resize(count);
}

void PatchClusters::take(std::size_t to, const PatchClusters& other, std::size_t from) {
    power[to] = other.power[from];
    radius_m[to] = other.radius_m[from];
    thickness_m[to] = other.thickness_m[from];
    spread[to] = other.spread[from];
    for (std::size_t axis = 0; axis < 3; ++axis) {
        middle_m[axis][to] = other.middle_m[axis][from];
        normal[axis][to] = other.normal[axis][from];
    }
}

LitPatches::LitPatches(const Geometry& geometry, const IrradianceCache& cells,
                       const LightMixture& mixture, std::span<const LumenIrradiance> lamps)
    : geometry_(&geometry), cells_(&cells) {
    if (mixture.total() == 0.0f) return;
    for (std::size_t k = 0; k < lamps.size(); ++k)
        light_of_lamp_.push_back(mixture.of(k, lamps[k]));
    const std::vector<float> light = mixture.of(lamps);
    ByTriangle power(geometry.meshes().size());
    std::vector<float> power_of_cell(cells.coarse_cells(), 0.0f);
    for (std::uint32_t m = 0; m < power.size(); ++m) {
        const auto& triangles = geometry.meshes()[m]->triangles;
        power[m].resize(triangles.size());
        for (std::uint32_t t = 0; t < triangles.size(); ++t) {
            const float sent = mixture.reflecting_m2(m, t) * cells.mean(m, t, triangles[t], light);
            if (sent < least_share * mixture.total()) continue;
            power[m][t] = sent;
            power_of_cell[cells.cell_of[m][triangles[t][0]]] += sent;
        }
    }
    const CellClusters clusters = cluster_cells(cells, power_of_cell, most_clusters);
    for (const std::uint32_t mesh : clusters.mesh) listed_.push_back({mesh, 0, 0});
    list(clusters.of_cell, cells, power);
    clusters_.resize(listed_.size());
    tbb::parallel_for(std::size_t{0}, listed_.size(), [&](std::size_t k) { shape(k); });
    keep_places(power);
}

/// A triangle goes with the cell of its first corner.
void LitPatches::list(const std::vector<std::uint16_t>& cluster_of_cell,
                      const IrradianceCache& cells, const ByTriangle& power) {
    const auto for_each_lit = [&](auto visit) {
        for (std::uint32_t m = 0; m < power.size(); ++m)
            for (std::uint32_t t = 0; t < power[m].size(); ++t)
                if (power[m][t] > 0.0f) {
                    const std::uint32_t corner = geometry_->meshes()[m]->triangles[t][0];
                    visit(listed_[cluster_of_cell[cells.cell_of[m][corner]]], t, power[m][t]);
                }
    };
    for_each_lit([](Listed& cluster, std::uint32_t, float) { ++cluster.end; });
    std::uint32_t first = 0;
    for (Listed& cluster : listed_) {
        cluster.first = first;
        first += std::exchange(cluster.end, first);
    }
    triangle_.resize(first);
    power_until_.resize(first);
    for_each_lit([&](Listed& cluster, std::uint32_t triangle, float sent) {
        triangle_[cluster.end] = triangle;
        power_until_[cluster.end] =
            sent + (cluster.end > cluster.first ? power_until_[cluster.end - 1] : 0.0f);
        ++cluster.end;
    });
}

void LitPatches::keep_places(const ByTriangle& power) {
    for (const Mesh* mesh : geometry_->meshes())
        place_of_.emplace_back(mesh->triangles.size(), Place{0, 0.0f});
    for (std::uint32_t cluster = 0; cluster < listed_.size(); ++cluster) {
        const Listed& listed = listed_[cluster];
        const Mesh& mesh = *geometry_->meshes()[listed.mesh];
        for (std::uint32_t k = listed.first; k < listed.end; ++k) {
            const std::uint32_t t = triangle_[k];
            const float area_m2 = 0.5f * glm::length(across_triangle(mesh, mesh.triangles[t]));
            place_of_[listed.mesh][t] = {
                cluster, power[listed.mesh][t] / (clusters_.power[cluster] * area_m2)};
        }
    }
}

void LitPatches::shape(std::size_t cluster) {
    const Listed& listed = listed_[cluster];
    const Mesh& mesh = *geometry_->meshes()[listed.mesh];
    const auto for_each = [&](auto visit) {
        float before = 0.0f;
        for (std::uint32_t k = listed.first; k < listed.end; ++k) {
            const auto& corners = mesh.triangles[triangle_[k]];
            visit(corners, glm::normalize(across_triangle(mesh, corners)),
                  power_until_[k] - before);
            before = power_until_[k];
        }
    };
    glm::vec3 middle_m(0.0f), normal(0.0f);
    for_each([&](const auto& corners, const glm::vec3& face, float power) {
        for (const std::uint32_t corner : corners)
            middle_m += power / 3.0f * mesh.positions[corner];
        normal += power * (glm::dot(face, normal) < 0.0f ? -face : face);
    });
    const float power = power_until_[listed.end - 1];
    middle_m /= power;
    normal = glm::normalize(normal);
    float radius_m = 0.0f, thickness_m = 0.0f, least_cosine = 1.0f;
    for_each([&](const auto& corners, const glm::vec3& face, float) {
        for (const std::uint32_t corner : corners) {
            const glm::vec3 off_m = mesh.positions[corner] - middle_m;
            radius_m = std::max(radius_m, glm::length(off_m));
            thickness_m = std::max(thickness_m, std::abs(glm::dot(off_m, normal)));
        }
        least_cosine = std::min(least_cosine, std::abs(glm::dot(face, normal)));
    });
    clusters_.power[cluster] = power;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto component = static_cast<glm::vec3::length_type>(axis);
        clusters_.middle_m[axis][cluster] = middle_m[component];
        clusters_.normal[axis][cluster] = normal[component];
    }
    clusters_.radius_m[cluster] = radius_m;
    clusters_.thickness_m[cluster] = thickness_m;
    clusters_.spread[cluster] = std::sqrt(std::max(0.0f, 1.0f - least_cosine * least_cosine));
}

float LitPatches::sends(std::size_t lamp, std::uint32_t mesh, std::uint32_t triangle) const {
    const Mesh& surface = *geometry_->meshes()[mesh];
    const Rgb& reflectance = surface.materials[surface.material_of[triangle]].reflectance;
    return static_cast<float>(luminance(reflectance)) *
           cells_->mean(mesh, triangle, surface.triangles[triangle], light_of_lamp_[lamp]);
}

void LitPatches::draw(const std::array<std::uint32_t, packet_size>& cluster, LaneMask lanes,
                      const LaneVectors& places, PatchPoints& points) const {
    // Lane by lane in steps, so that sixteen loads from far memory are under way at a time.
    std::array<std::uint32_t, packet_size> drawn{};
    for (std::size_t i = 0; i < packet_size; ++i) {
        if (!has_lane(lanes, static_cast<int>(i))) continue;
        const Listed& listed = listed_[cluster[i]];
        const float* const begin = &power_until_[listed.first];
        const float* const last = &power_until_[listed.end - 1];
        const float* const found =
            std::upper_bound(begin, last, places.x[static_cast<int>(i)] * *last);
        drawn[i] = listed.first + static_cast<std::uint32_t>(found - begin);
        points.hits.mesh[i] = listed.mesh;
    }
    for (std::size_t i = 0; i < packet_size; ++i)
        if (has_lane(lanes, static_cast<int>(i))) points.hits.triangle[i] = triangle_[drawn[i]];
    points.hits.hit = lanes;
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(lanes, i)) continue;
        const auto lane = static_cast<std::size_t>(i);
        const Mesh& mesh = *geometry_->meshes()[points.hits.mesh[lane]];
        const auto& corners = mesh.triangles[points.hits.triangle[lane]];
        // Even over a triangle (Osada et al. 2002, ACM Trans. Graphics 21).
        const float root = std::sqrt(places.y[i]);
        const float u = root * (1.0f - places.z[i]), v = root * places.z[i];
        points.hits.u[i] = u;
        points.hits.v[i] = v;
        points.position_m.set(i, (1.0f - u - v) * mesh.positions[corners[0]] +
                                     u * mesh.positions[corners[1]] +
                                     v * mesh.positions[corners[2]]);
        points.hits.face.set(i, across_triangle(mesh, corners));
        points.per_m2[i] = place_of_[points.hits.mesh[lane]][points.hits.triangle[lane]].per_m2;
    }
}

PatchRays rays_between(const SurfacePacket& from, const PatchPoints& to) {
    PatchRays between;
    RayPacket& rays = between.rays;
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(to.hits.hit & from.found, i)) continue;
        const glm::vec3 start_m = from.leaving_m(i);
        const glm::vec3 to_patch_m = to.position_m.at(i) - start_m;
        const float distance_m = glm::length(to_patch_m);
        if (distance_m < nearest_patch_m(start_m) || from.faces_away(i, to_patch_m)) continue;
        const float cosine = glm::dot(to_patch_m, from.normal.at(i)) / distance_m;
        if (cosine <= 0.0f) continue;
        const glm::vec3 patch_face = to.hits.face.at(i);
        const float patch_cosine =
            std::abs(glm::dot(to_patch_m, patch_face)) / (distance_m * glm::length(patch_face));
        rays.origin_m.set(i, start_m);
        rays.direction.set(i, to_patch_m);
        rays.reach[i] = 1.0f - 2.0f * ray_offset_m(to.position_m.at(i)) / distance_m;
        rays.active |= 1u << i;
        between.cosine[i] = cosine;
        between.m2_per_sr[i] = distance_m * distance_m / std::max(patch_cosine, 1e-6f);
    }
    return between;
}

}  // namespace lampflight
