// Importance sampling of lit patches: which of them light the surfaces of a tile of film. A few
// rays learn which are seen from there; then every block draws its own by what each may send it.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "renderer/geometry/camera_rays.h"
#include "renderer/surface_light/lit_patches.h"

namespace lampflight {

/// Bounds of the points of a block.
struct BlockBounds {
    glm::vec3 middle_m{0.0f};
    glm::vec3 normal{0.0f, 0.0f, 1.0f};
    float radius_m = 0.0f;
    float thickness_m = 0.0f;  ///< off the plane through the middle
    float spread = 0.0f;       ///< sine of the largest angle to the normal

    explicit BlockBounds(const BlockSurfaces& samples);
};

/// What the blocks of a tile that face alike may draw.
class PatchChoice {
public:
    /// Asks which patches these blocks see.
    void learn(const LitPatches& patches, const RayQuery& rays,
               std::span<const BlockSurfaces* const> blocks, std::uint32_t seed);

    /// Weighs the patches for one block, of which the next two tell. Returns whether it has any to
    /// draw.
    bool look_from(const BlockSurfaces& samples);

    /// How many rays to patches are worth it, as a share of the most: few where what a lamp lights
    /// fills much of the hemisphere, so that any ray finds it, or where its direct light drowns it.
    float worth() const { return worth_; }

    /// Share of the draws that goes to a cluster.
    float share(std::uint32_t cluster) const { return share_[cluster]; }

    /// The cluster at a place in [0, 1).
    std::uint32_t cluster_at(float place) const;

private:
    void ask(const LitPatches& patches, const RayQuery& rays, const SurfacePacket& points,
             const std::vector<float>& weight, std::uint32_t seed);
    void add_direct(const LitPatches& patches, const SurfacePacket& points);
    void guess_seen();
    void list(const PatchClusters& all, const std::vector<float>& weight);

    PatchClusters listed_;               ///< those that may be drawn, power by how well seen
    std::vector<std::uint32_t> number_;  ///< of these, among all
    std::vector<float> share_;           ///< of all, for the block
    std::vector<float> until_;           ///< of the listed, up to and with each

    float worth_ = 1.0f;

    // While learning, by cluster.
    std::vector<float> asked_, seen_, seen_share_;
    // And by lamp, sums over all rays of what bounces there, as each tells it, and of the same
    // times the radiance that it met; of direct light the mean in the darkest block.
    struct LampSums {
        float bounced = 0.0f;
        float bounced_radiance = 0.0f;
        float direct = std::numeric_limits<float>::infinity();
    };
    std::vector<LampSums> of_lamp_;
    float rays_asked_ = 0.0f;

    float worth_of(const LampSums& lamp) const;
};

/// The choices of a tile. Surfaces that face differently see different patches, and learn apart.
class TilePatches {
public:
    void learn(const LitPatches& patches, const RayQuery& rays, const TileView& view,
               std::uint32_t seed);

    /// The choice of a block, which looks from there now; null where it has nothing to draw.
    const PatchChoice* look_from(const TileView& view, std::size_t block);

private:
    static constexpr std::size_t facings = 6;
    std::array<PatchChoice, facings> choices_;
    std::array<std::uint8_t, tile_blocks> facing_{};
    bool none_ = true;
};

}  // namespace lampflight
