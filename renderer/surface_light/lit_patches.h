// Area lights: the triangles that lamps light, as the lights that they are to the surfaces around.
// By how much light they send back they are gathered into clusters, and points on them are drawn.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "renderer/surface_light/cell_clusters.h"
#include "renderer/surface_light/light_mixture.h"

namespace lampflight {

/// What is known of each cluster of triangles, side by side.
struct PatchClusters {
    std::vector<float> power;                    ///< a lamp's whole light sent back counts as one
    std::array<std::vector<float>, 3> middle_m;  ///< of their light
    std::array<std::vector<float>, 3> normal;
    std::vector<float> radius_m;     ///< about the middle
    std::vector<float> thickness_m;  ///< off the plane through the middle
    std::vector<float> spread;       ///< sine of the largest angle to the normal

    std::size_t count() const { return power.size(); }
    void resize(std::size_t count);
    void take(std::size_t to, const PatchClusters& other, std::size_t from);
};

/// Points on lit triangles, one a lane.
struct PatchPoints {
    LaneVectors position_m;
    HitPacket hits;  ///< what a ray to it would find, but for the distance
    Lanes per_m2;    ///< density of such points in the cluster
};

/// Rays from points to points on patches, and what a gathering ray must know of them.
struct PatchRays {
    RayPacket rays;   ///< only those between points that face each other
    Lanes cosine;     ///< at their start
    Lanes m2_per_sr;  ///< of the patch, seen from there
};
PatchRays rays_between(const SurfacePacket& from, const PatchPoints& to);

/// A patch so close to a ray's start sends nothing to those who draw patches: beside a corner the
/// clearance of rays would hide it from them.
inline float nearest_patch_m(const glm::vec3& position_m) {
    return 4.0f * ray_offset_m(position_m);
}

class LitPatches {
public:
    LitPatches() = default;

    /// Refers to the geometry and its cells. Every lamp has the same say, however strong it burns.
    LitPatches(const Geometry& geometry, const IrradianceCache& cells, const LightMixture& mixture,
               std::span<const LumenIrradiance> lamps);

    /// Nothing is lit.
    bool none() const { return clusters_.count() == 0; }

    const PatchClusters& clusters() const { return clusters_; }

    /// A triangle's cluster, and the density of points drawn there in that cluster.
    struct Place {
        std::uint32_t cluster;
        float per_m2;  ///< 0 for a triangle that sends back next to nothing: none is drawn there
    };
    Place place_of(std::uint32_t mesh, std::uint32_t triangle) const {
        return place_of_[mesh][triangle];
    }

    std::size_t lamps() const { return light_of_lamp_.size(); }

    /// What a square metre of a triangle sends back of a lamp's light, all of which counts as one.
    float sends(std::size_t lamp, std::uint32_t mesh, std::uint32_t triangle) const;

    /// A point in each lane's cluster, by the lane's own place in the unit cube.
    void draw(const std::array<std::uint32_t, packet_size>& cluster, LaneMask lanes,
              const LaneVectors& places, PatchPoints& points) const;

private:
    /// A cluster's triangles, all of one mesh, as a part of the list of all.
    struct Listed {
        std::uint32_t mesh;
        std::uint32_t first;
        std::uint32_t end;
    };

    using ByTriangle = std::vector<std::vector<float>>;  ///< by mesh
    void list(const std::vector<std::uint16_t>& cluster_of_cell, const IrradianceCache& cells,
              const ByTriangle& power);
    void shape(std::size_t cluster);
    void keep_places(const ByTriangle& power);

    const Geometry* geometry_ = nullptr;
    const IrradianceCache* cells_ = nullptr;
    std::vector<LumenIrradiance> light_of_lamp_;  ///< by cell
    std::vector<std::vector<Place>> place_of_;    ///< by mesh and triangle
    std::vector<Listed> listed_;                  ///< by cluster
    std::vector<std::uint32_t> triangle_;         ///< cluster by cluster
    std::vector<float> power_until_;              ///< of its cluster's up to and with this triangle
    PatchClusters clusters_;
};

}  // namespace lampflight
