#include "renderer/geometry/camera_rays.h"

#include <limits>
#include <optional>

#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

// Normals of one plain surface lie within this cosine of each other.
constexpr float plain_cosine = 0.85f;
// What joins two of its points lies within this sine of the surface.
constexpr float plain_sine = 0.53f;

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

/// Whether two film samples show one surface without a step between them, or both the sky.
bool alike(const SurfacePacket& a, int i, const SurfacePacket& b, int j) {
    if (has_lane(a.found, i) != has_lane(b.found, j)) return false;
    if (!has_lane(a.found, i)) return true;
    const glm::vec3 normal = a.face_normal.at(i);
    const glm::vec3 off_m = b.position_m.at(j) - a.position_m.at(i);
    return a.mesh[static_cast<std::size_t>(i)] == b.mesh[static_cast<std::size_t>(j)] &&
           glm::dot(normal, b.face_normal.at(j)) >= plain_cosine &&
           std::abs(glm::dot(off_m, normal)) <= plain_sine * glm::length(off_m);
}

/// Whether a pixel or one next to it in the tile shows other surfaces than the pixel's first
/// sample.
bool meets_others(const TileView& view, const glm::ivec2& pixel) {
    const auto [block, lane] = lane_in_tile(pixel);
    const SurfacePacket& own = view.blocks[block].front();
    const glm::ivec2 first = glm::max(pixel - 1, 0);
    const glm::ivec2 last = glm::min(pixel + 1, tile_side_px - 1);
    for (int y = first.y; y <= last.y; ++y)
        for (int x = first.x; x <= last.x; ++x) {
            const auto [other_block, other] = lane_in_tile({x, y});
            for (int j = 0; j < view.samples[other_block][static_cast<std::size_t>(other)]; ++j)
                if (!alike(own, lane, view.blocks[other_block][static_cast<std::size_t>(j)], other))
                    return true;
        }
    return false;
}

/// Pixels of a block that meet others; none where it is plain.
LaneMask edge_pixels(const TileView& view, std::size_t block) {
    if (view.plain[block]) return 0;
    LaneMask edges = 0;
    for (LaneMask left = view.on_film(block); left != 0; left &= left - 1) {
        const int i = std::countr_zero(left);
        if (meets_others(view, place_in_tile(tile_pixel(block, i)))) edges |= 1u << i;
    }
    return edges;
}

}  // namespace

CameraRays::CameraRays(const Camera& camera, const Geometry& geometry, const Effort& effort)
    : projection_(camera),
      geometry_(geometry),
      pixels_(camera.pixels),
      few_(effort.plain_samples),
      all_(effort.film_samples),
      spread_(static_cast<float>(pixel_pitch_mm(camera).x / camera.focal_mm)) {}

glm::vec2 CameraRays::sample_place(int sample, int lane) const {
    const int pairs = all_ / 2;
    const auto rank = static_cast<int>(dither_rank[static_cast<std::size_t>(lane)]);
    const int pair = (rank + sample / 2) % pairs;
    return film_sample_place(sample % 2 == 0 ? pair : all_ - 1 - pair, all_);
}

/// Rays of one film sample for some of the block's pixels; lanes beyond the frame stay inactive.
RayPacket CameraRays::film_rays(const glm::ivec2& corner_px, std::size_t block, int sample,
                                LaneMask lanes) const {
    RayPacket rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        const glm::ivec2 film_px = corner_px + place_in_tile(tile_pixel(block, i));
        if (!has_lane(lanes, i) || !in_film(film_px)) continue;
        const Vec2 place = Vec2(film_px) + Vec2(sample_place(sample, i));
        rays.origin_m.set(i, lens_m());
        rays.direction.set(i, glm::vec3(projection_.direction(place)));
        rays.active |= 1u << i;
    }
    return rays;
}

void CameraRays::add_samples(std::size_t block, int until, LaneMask lanes, TileView& view) const {
    BlockSurfaces& samples = view.blocks[block];
    for (int sample = static_cast<int>(samples.size()); sample < until; ++sample) {
        const RayPacket rays = film_rays(view.corner_px, block, sample, lanes);
        if (rays.active == 0) return;
        const HitPacket hits = geometry_.rays().closest(rays);
        samples.push_back(geometry_.surfaces(rays, hits, spread_));
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(rays.active, i)) continue;
            ++view.samples[block][static_cast<std::size_t>(i)];
            if (!has_lane(hits.hit, i)) view.sky_share[tile_pixel(block, i)] += 1.0f;
        }
    }
}

SurfacePacket CameraRays::glance(const glm::ivec2& corner_px) const {
    const RayPacket rays = film_rays(corner_px, 0, 0, all_lanes);
    return geometry_.surfaces(rays, geometry_.rays().closest(rays), spread_);
}

void CameraRays::see(const glm::ivec2& corner_px, TileView& view) const {
    view.corner_px = corner_px;
    view.sky_share.fill(0.0f);
    for (std::size_t block = 0; block < tile_blocks; ++block) {
        view.blocks[block].clear();
        view.samples[block].fill(0);
        add_samples(block, few_, all_lanes, view);
        view.plain[block] = is_plain(view.blocks[block], view.on_film(block));
    }
    // All are looked for before any gets more samples: what a pixel shows does not depend on order.
    std::array<LaneMask, tile_blocks> edges;
    for (std::size_t block = 0; block < tile_blocks; ++block)
        edges[block] = edge_pixels(view, block);
    for (std::size_t block = 0; block < tile_blocks; ++block) {
        add_samples(block, all_, edges[block], view);
        for (int i = 0; i < packet_size; ++i)
            view.sky_share[tile_pixel(block, i)] *= view.sample_share(block, i);
    }
}

}  // namespace lampflight
