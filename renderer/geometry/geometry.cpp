#include "renderer/geometry/geometry.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "renderer/geometry/surface_relief.h"

namespace lampflight {
namespace {

/// The corners of the triangles that were hit, and what they are made of.
struct HitTriangles {
    std::array<LaneVectors, 3> position_m{};
    std::array<LaneVectors, 3> normal{};
    std::array<SurfaceRelief, packet_size> relief{};

    void take(int lane, const Mesh& mesh, const std::array<std::uint32_t, 3>& corners) {
        for (std::size_t k = 0; k < 3; ++k) {
            position_m[k].set(lane, mesh.positions[corners[k]]);
            normal[k].set(lane, mesh.normals[corners[k]]);
        }
    }
};

/// Unit normals of the triangles, on the side that the rays come from.
void set_face_normals(const HitTriangles& triangles, const RayPacket& rays, LaneVectors& face) {
    const auto& [a, b, c] = triangles.position_m;
    for (int i = 0; i < packet_size; ++i) {
        const float bx = b.x[i] - a.x[i], by = b.y[i] - a.y[i], bz = b.z[i] - a.z[i];
        const float cx = c.x[i] - a.x[i], cy = c.y[i] - a.y[i], cz = c.z[i] - a.z[i];
        const float x = by * cz - bz * cy, y = bz * cx - bx * cz, z = bx * cy - by * cx;
        const float towards =
            x * rays.direction.x[i] + y * rays.direction.y[i] + z * rays.direction.z[i];
        const float size = std::sqrt(x * x + y * y + z * z);
        const float scale = size > 0.0f ? (towards > 0.0f ? -1.0f : 1.0f) / size : 0.0f;
        face.x[i] = x * scale;
        face.y[i] = y * scale;
        face.z[i] = z * scale;
    }
}

/// Blends of the corners' normals, as unit vectors on the side of the face's.
void set_normals(const HitTriangles& triangles, const HitPacket& hits, const LaneVectors& face,
                 LaneVectors& normal) {
    const auto& [a, b, c] = triangles.normal;
    for (int i = 0; i < packet_size; ++i) {
        const float u = hits.u[i], v = hits.v[i], w = 1.0f - u - v;
        const float x = w * a.x[i] + u * b.x[i] + v * c.x[i];
        const float y = w * a.y[i] + u * b.y[i] + v * c.y[i];
        const float z = w * a.z[i] + u * b.z[i] + v * c.z[i];
        const float along = x * face.x[i] + y * face.y[i] + z * face.z[i];
        const float size = std::sqrt(x * x + y * y + z * z);
        const float scale = size > 0.0f ? (along < 0.0f ? -1.0f : 1.0f) / size : 0.0f;
        normal.x[i] = x * scale;
        normal.y[i] = y * scale;
        normal.z[i] = z * scale;
    }
}

void set_positions(const HitTriangles& triangles, const HitPacket& hits, LaneVectors& position_m) {
    const auto& [a, b, c] = triangles.position_m;
    for (int i = 0; i < packet_size; ++i) {
        const float u = hits.u[i], v = hits.v[i], w = 1.0f - u - v;
        position_m.x[i] = w * a.x[i] + u * b.x[i] + v * c.x[i];
        position_m.y[i] = w * a.y[i] + u * b.y[i] + v * c.y[i];
        position_m.z[i] = w * a.z[i] + u * b.z[i] + v * c.z[i];
    }
}

}  // namespace

Geometry::Geometry(const PlacedShoot& shoot, const std::vector<std::size_t>& present)
    : ground_(ground_mesh(terrain_of(shoot), view_frustum(shoot.camera))), subjects_(shoot.meshes) {
    set_subjects(present);
}

void Geometry::set_subjects(const std::vector<std::size_t>& present) {
    static const Mesh nobody;
    meshes_.assign(1 + subjects_.size(), &nobody);
    meshes_.front() = &ground_;
    for (const std::size_t subject : present) meshes_[1 + subject] = &subjects_[subject];
    if (rays_)
        rays_->show(meshes_);
    else
        rays_ = std::make_unique<RayQuery>(meshes_);
}

Geometry::Geometry(std::vector<const Mesh*> meshes)
    : meshes_(std::move(meshes)), rays_(std::make_unique<RayQuery>(meshes_)) {}

SurfacePacket Geometry::surfaces(const RayPacket& rays, const HitPacket& found_hits,
                                 float spread) const {
    SurfacePacket found{};
    found.found = found_hits.hit;
    if (found.found == 0) return found;
    found.mesh = found_hits.mesh;
    found.triangle = found_hits.triangle;
    HitPacket hits = found_hits;
    HitTriangles triangles;
    for (int i = 0; i < packet_size; ++i) {
        const auto lane = static_cast<std::size_t>(i);
        if (!has_lane(hits.hit, i)) {
            hits.u[i] = hits.v[i] = 0.0f;
            continue;
        }
        const Mesh& mesh = *meshes_[hits.mesh[lane]];
        const std::uint32_t triangle = hits.triangle[lane];
        triangles.take(i, mesh, mesh.triangles[triangle]);
        const Material& material = mesh.materials[mesh.material_of[triangle]];
        triangles.relief[lane] = material.relief;
        found.reflectance.set(i, glm::vec3(material.reflectance));
    }
    set_positions(triangles, hits, found.position_m);
    set_face_normals(triangles, rays, found.face_normal);
    set_normals(triangles, hits, found.face_normal, found.normal);

    ReliefPlaces places{triangles.relief, found.position_m, {}};
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 towards = rays.direction.at(i);
        places.patch_m[i] =
            has_lane(hits.hit, i) ? spread * hits.distance[i] * glm::length(towards) : 1.0f;
    }
    Lanes tint;
    add_relief(places, found.normal, tint);
    for (int i = 0; i < packet_size; ++i) {
        found.reflectance.x[i] *= tint[i];
        found.reflectance.y[i] *= tint[i];
        found.reflectance.z[i] *= tint[i];
    }
    return found;
}

}  // namespace lampflight
