#include "renderer/geometry/geometry.h"

#include <utility>

#include "renderer/geometry/hit_triangles.h"
#include "renderer/geometry/surface_relief.h"

namespace lampflight {
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

/// Where something stands between a point and the smooth surface, light is looked for from the
/// point itself: beyond it would leak in.
void Geometry::drop_hidden_bulges(SurfacePacket& found) const {
    RayPacket outwards;
    outwards.active = 0;
    outwards.reach.lane.fill(1.0f);
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 bulge_m = found.bulge_m.at(i);
        if (!has_lane(found.found, i) || bulge_m == glm::vec3(0.0f)) continue;
        outwards.origin_m.set(i, found.leaving_m(i) - bulge_m);
        outwards.direction.set(i, bulge_m);
        outwards.active |= 1u << i;
    }
    if (outwards.active == 0) return;
    const LaneMask hidden = rays_->occluded(outwards);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(hidden, i)) found.bulge_m.set(i, glm::vec3(0.0f));
}

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
    set_bulges(triangles, hits, found);
    drop_hidden_bulges(found);

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
