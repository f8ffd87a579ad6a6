#include "renderer/stage.h"

#include <cmath>
#include <utility>

#include "renderer/grain.h"

namespace lampflight {
namespace {

struct Corners {
    std::array<std::uint32_t, 3> index;
    glm::vec3 weight;

    glm::vec3 blend(const std::vector<glm::vec3>& values) const {
        return weight.x * values[index[0]] + weight.y * values[index[1]] +
               weight.z * values[index[2]];
    }
};

}  // namespace

Stage::Stage(const Shoot& shoot, const std::vector<const Subject*>& present)
    : ground_(ground_mesh(shoot.ground, ground_middle_m(shoot))) {
    meshes_.push_back(&ground_);
    for (const Subject* subject : present) meshes_.push_back(&subject->placed);
    rays_ = std::make_unique<RayQuery>(meshes_);
}

Stage::Stage(std::vector<const Mesh*> meshes)
    : meshes_(std::move(meshes)), rays_(std::make_unique<RayQuery>(meshes_)) {}

SurfacePacket Stage::surfaces(const RayPacket& rays, const HitPacket& hits, float spread) const {
    SurfacePacket found{};
    found.found = hits.hit;
    found.mesh = hits.mesh;
    found.triangle = hits.triangle;
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(hits.hit, i)) continue;
        const auto lane = static_cast<std::size_t>(i);
        const Mesh& mesh = *meshes_[hits.mesh[lane]];
        const std::uint32_t triangle = hits.triangle[lane];
        const float u = hits.u[i];
        const float v = hits.v[i];
        const Corners corners{mesh.triangles[triangle], {1.0f - u - v, u, v}};
        const glm::vec3 position_m = corners.blend(mesh.positions);
        const glm::vec3& a = mesh.positions[corners.index[0]];
        const glm::vec3& b = mesh.positions[corners.index[1]];
        const glm::vec3& c = mesh.positions[corners.index[2]];
        glm::vec3 face = glm::normalize(glm::cross(b - a, c - a));
        glm::vec3 normal = glm::normalize(corners.blend(mesh.normals));
        const glm::vec3 towards = rays.direction.at(i);
        if (glm::dot(face, towards) > 0.0f) face = -face;
        if (glm::dot(normal, face) < 0.0f) normal = -normal;

        const Material& material = mesh.materials[mesh.material_of[triangle]];
        const float distance_m = hits.distance[i] * glm::length(towards);
        const Grained grained = with_grain(material.grain, position_m, normal,
                                           spread * distance_m);
        found.position_m.set(i, position_m);
        found.face_normal.set(i, face);
        found.normal.set(i, grained.normal);
        found.reflectance.set(i, glm::vec3(material.reflectance) * grained.tint);
    }
    return found;
}

}  // namespace lampflight
