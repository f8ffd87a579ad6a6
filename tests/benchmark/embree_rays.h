// Embree asked directly, past the product's ray query: one ray a call for the plainest method, and
// ready-made packets for the bare rate that everything is held against.
#pragma once

#include <embree3/rtcore.h>

#include <vector>

#include "scene/subjects/mesh.h"

namespace lampflight::bench {

struct ShadowRay {
    glm::vec3 origin_m;
    glm::vec3 direction;  ///< as long as the way to the lamp
};

// A shadow ray stops short of the lamp's own place.
constexpr float shadow_reach = 0.9999f;

/// A fixed set of meshes, as in the product: robust, so that no ray slips between two triangles.
class EmbreeRays {
public:
    /// Copies the meshes. Throws std::runtime_error when Embree can't start or build.
    explicit EmbreeRays(const std::vector<const Mesh*>& meshes);
    ~EmbreeRays();
    EmbreeRays(const EmbreeRays&) = delete;
    EmbreeRays& operator=(const EmbreeRays&) = delete;

    /// True if anything stands in the ray's way. One call, one ray.
    bool occluded(const ShadowRay& ray) const;

    /// These trace every packet once with all cores and return how many rays hit something. Packets
    /// are copied as they are traced: Embree writes into them.
    std::size_t hits_of(const std::vector<RTCRayHit8>& packets) const;
    std::size_t occluded_of(const std::vector<RTCRay8>& packets) const;
    std::size_t occluded_of(const std::vector<RTCRay>& rays) const;

private:
    RTCDevice device_ = nullptr;
    RTCScene scene_ = nullptr;
};

}  // namespace lampflight::bench
