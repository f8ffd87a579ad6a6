#include "renderer/viewfinder.h"

#include <limits>
#include <optional>

#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

// Normals of one plain surface lie within this cosine of each other.
constexpr float plain_cosine = 0.85f;

/// Whether all that a block shows is one surface, or all is sky.
bool is_plain(const BlockSurfaces& samples, LaneMask in_film) {
    std::optional<glm::vec3> normal;
    std::uint32_t mesh = 0;
    for (const SurfacePacket& points : samples) {
        if (points.found != samples.front().found) return false;
        if (points.found != 0 && points.found != in_film) return false;
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            if (!normal) {
                normal = points.face_normal.at(i);
                mesh = points.mesh[lane];
            } else if (points.mesh[lane] != mesh ||
                       glm::dot(points.face_normal.at(i), *normal) < plain_cosine) {
                return false;
            }
        }
    }
    return true;
}

}  // namespace

Viewfinder::Viewfinder(const Camera& camera, const Stage& stage, const Effort& effort)
    : projection_(camera),
      stage_(stage),
      pixels_(camera.pixels),
      few_(effort.plain_samples),
      all_(effort.film_samples),
      spread_(static_cast<float>(pixel_pitch_mm(camera).x / camera.focal_mm)) {}

glm::vec2 Viewfinder::sample_place(int sample, int lane) const {
    const int pairs = all_ / 2;
    const auto rank = static_cast<int>(dither_rank[static_cast<std::size_t>(lane)]);
    const int pair = (rank + sample / 2) % pairs;
    return film_sample_place(sample % 2 == 0 ? pair : all_ - 1 - pair, all_);
}

/// Rays of one film sample; lanes beyond the frame stay inactive.
RayPacket Viewfinder::film_rays(const glm::ivec2& corner_px, std::size_t block, int sample) const {
    RayPacket rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        const glm::ivec2 film_px = corner_px + place_in_tile(tile_pixel(block, i));
        if (!in_film(film_px)) continue;
        const Vec2 place = Vec2(film_px) + Vec2(sample_place(sample, i));
        rays.origin_m.set(i, lens_m());
        rays.direction.set(i, glm::vec3(projection_.direction(place)));
        rays.active |= 1u << i;
    }
    return rays;
}

void Viewfinder::add_samples(std::size_t block, int until, TileView& view) const {
    BlockSurfaces& samples = view.blocks[block];
    for (int sample = static_cast<int>(samples.size()); sample < until; ++sample) {
        const RayPacket rays = film_rays(view.corner_px, block, sample);
        if (rays.active == 0) return;
        const HitPacket hits = stage_.rays().closest(rays);
        samples.push_back(stage_.surfaces(rays, hits, spread_));
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(rays.active & ~hits.hit, i)) view.sky_share[tile_pixel(block, i)] += 1.0f;
    }
}

SurfacePacket Viewfinder::glance(const glm::ivec2& corner_px) const {
    const RayPacket rays = film_rays(corner_px, 0, 0);
    return stage_.surfaces(rays, stage_.rays().closest(rays), spread_);
}

void Viewfinder::see(const glm::ivec2& corner_px, TileView& view) const {
    view.corner_px = corner_px;
    view.sky_share.fill(0.0f);
    for (std::size_t block = 0; block < tile_blocks; ++block) {
        view.blocks[block].clear();
        add_samples(block, few_, view);
        LaneMask in_frame = 0;
        for (int i = 0; i < packet_size; ++i)
            if (in_film(corner_px + place_in_tile(tile_pixel(block, i)))) in_frame |= 1u << i;
        view.plain[block] = is_plain(view.blocks[block], in_frame);
        if (!view.plain[block]) add_samples(block, all_, view);
        for (int i = 0; i < packet_size; ++i)
            view.sky_share[tile_pixel(block, i)] *= view.sample_share(block);
    }
}

}  // namespace lampflight
