// Light of a lamp at one instant on a point, nothing in between, and the ray that asks what is. The
// same formulas for all methods but the product's: in lux, E = I(w) cos(theta) / r^2, the face a
// disc that looks at the point, the inverse square cut off within its radius.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/lamp_light/lamp_tile.h"
#include "renderer/lamp_light/lamp_track.h"
#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"
#include "tests/benchmark/embree_rays.h"

namespace lampflight::bench {

inline float light_lx(const LampTrack& track, const LampInstant& lamp, const glm::vec3& position_m,
                      const glm::vec3& normal) {
    const glm::vec3 to_lamp = lamp.position_m - position_m;
    const float square_m2 = std::max(glm::dot(to_lamp, to_lamp), 1e-12f);
    const float per_m = 1.0f / std::sqrt(square_m2);
    const float cosine = glm::dot(to_lamp, normal) * per_m;
    if (cosine <= 0.0f) return 0.0f;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    const float haversine = haversine_to_aim(to_lamp.x, to_lamp.y, to_lamp.z, per_m, lamp.aim);
    return track.intensity_cd(haversine) * cosine / std::max(square_m2, least_m2);
}

/// The same for sixteen points, each with its own instant.
inline void light_lx(const LampTrack& track, const LampInstants& lamp, const SurfacePacket& points,
                     Lanes& light) {
    Lanes haversine, geometry;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    for (int i = 0; i < packet_size; ++i) {
        const float x = lamp.position_m.x[i] - points.position_m.x[i];
        const float y = lamp.position_m.y[i] - points.position_m.y[i];
        const float z = lamp.position_m.z[i] - points.position_m.z[i];
        const float square_m2 = std::max(x * x + y * y + z * z, 1e-12f);
        const float per_m = 1.0f / std::sqrt(square_m2);
        const float along =
            (x * points.normal.x[i] + y * points.normal.y[i] + z * points.normal.z[i]) * per_m;
        haversine[i] = haversine_to_aim(x, y, z, per_m, lamp.aim.at(i));
        geometry[i] = std::max(along, 0.0f) / std::max(square_m2, least_m2);
    }
    track.intensity_cd(haversine, light);
    for (int i = 0; i < packet_size; ++i) light[i] *= geometry[i];
}

/// From where light is looked for to a place on the lamp's face, given on the unit disc.
inline ShadowRay shadow_ray(const glm::vec3& origin_m, const glm::vec3& lamp_m,
                            const glm::vec2& on_face_m) {
    const glm::vec3 to_lamp = lamp_m - origin_m;
    const Across frame = across(-to_lamp / std::max(glm::length(to_lamp), 1e-6f));
    return {origin_m, to_lamp + on_face_m.x * frame.tangent + on_face_m.y * frame.bitangent};
}

/// A lamp at rest, with the place on its face that rays go to.
struct FixedTime {
    LampInstant lamp;
    glm::vec2 on_face_m;
};

/// Even times, one in each of `count` equal steps of the lit time, at `phase` of the step.
inline std::vector<FixedTime> fixed_times(const LampTrack& track, int count, float phase) {
    std::vector<FixedTime> times;
    times.reserve(static_cast<std::size_t>(count));
    for (int k = 0; k < count; ++k) {
        const float share = (static_cast<float>(k) + phase) / static_cast<float>(count);
        times.push_back(
            {track.at(track.lit_s() * share),
             track.face_radius_m() * on_disc(plane_place(static_cast<std::uint32_t>(k)))});
    }
    return times;
}

/// Adds a film sample's light to its pixels: reflectance times light times the lamp's colour, in
/// the sample's share of the pixel.
inline void add_reflected(const LampTrack& track, std::size_t block, const SurfacePacket& points,
                          const Lanes& light_lxs, const TileView& view, TileOf<glm::vec3>& tile) {
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(points.found, i))
            tile[tile_pixel(block, i)] += view.sample_share(block, i) * light_lxs[i] *
                                          points.reflectance.at(i) * track.flux_lm();
}

/// Calls `visit(points, sample, count)` for the film samples of a block's pixels: first of those
/// that have few samples, then of those that have all.
template <class Visit>
void for_each_sample(const TileView& view, std::size_t block, Visit visit) {
    for (std::size_t count = 1; count <= view.blocks[block].size(); ++count) {
        LaneMask lanes = 0;
        for (int i = 0; i < packet_size; ++i)
            if (view.samples[block][static_cast<std::size_t>(i)] == count) lanes |= 1u << i;
        for (std::size_t j = 0; lanes != 0 && j < count; ++j) {
            SurfacePacket points = view.blocks[block][j];
            points.found &= lanes;
            if (points.found != 0) visit(points, j, count);
        }
    }
}

/// Times of each film sample of a pixel that has `times` in all: shared out evenly, rounded down,
/// and at least one. So a pixel of more film samples than times takes one a sample.
inline std::size_t times_each(int times, std::size_t film_samples) {
    return std::max<std::size_t>(static_cast<std::size_t>(times) / film_samples, 1);
}

}  // namespace lampflight::bench
