// Stratified random times: every pixel draws its own instant in each of n even strata.
#include <bit>

#include "tests/benchmark/methods.h"
#include "tests/benchmark/point_light.h"

namespace lampflight::bench {
namespace {

/// Three random numbers of a pixel's stratum: the time within it and the place on the face.
glm::vec3 drawn(std::uint32_t pixel_seed, std::uint32_t stratum) {
    constexpr float share = 1.0f / 65536.0f;
    const std::uint32_t first = hash_of(pixel_seed, stratum);
    const std::uint32_t second = hash_of(first, 0x51ed270bu);
    return share * glm::vec3(static_cast<float>(first >> 16) + 0.5f,
                             static_cast<float>(second >> 16) + 0.5f,
                             static_cast<float>(second & 0xffffu) + 0.5f);
}

class Drawing {
public:
    Drawing(const LampTrack& track, const RayQuery& rays, int times)
        : track_(track), rays_(rays), times_(times) {
        shadow_.reach.lane.fill(shadow_reach);
    }

    /// Draws the strata first, first + step, ... and sums up what arrives; returns the rays asked.
    std::uint64_t sum(const SurfacePacket& points, std::uint32_t seed, std::size_t first,
                      std::size_t step, Lanes& sum_lx) {
        std::uint64_t asked = 0;
        for (std::size_t k = first; k < static_cast<std::size_t>(times_); k += step) {
            aim(points, seed, static_cast<std::uint32_t>(k));
            if (shadow_.active == 0) continue;
            asked += static_cast<std::uint64_t>(std::popcount(shadow_.active));
            const LaneMask lit = shadow_.active & ~rays_.occluded(shadow_);
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(lit, i)) sum_lx[i] += light_[i];
        }
        return asked;
    }

private:
    void aim(const SurfacePacket& points, std::uint32_t seed, std::uint32_t stratum) {
        Lanes time_s;
        LaneVectors place;
        for (int i = 0; i < packet_size; ++i) {
            place.set(i, drawn(seed + static_cast<std::uint32_t>(i), stratum));
            time_s[i] = track_.lit_s() * (static_cast<float>(stratum) + place.x[i]) /
                        static_cast<float>(times_);
        }
        track_.at(time_s, lamp_);
        light_lx(track_, lamp_, points, light_);
        shadow_.active = 0;
        for (int i = 0; i < packet_size; ++i)
            if (light_[i] > 0.0f) shadow_.active |= 1u << i;
        shadow_.active &= points.found;
        if (shadow_.active == 0) return;
        for (int i = 0; i < packet_size; ++i) {
            const glm::vec2 on_face_m = track_.face_radius_m() * on_disc({place.y[i], place.z[i]});
            const ShadowRay ray = shadow_ray(points.position_m.at(i), points.face_normal.at(i),
                                             lamp_.position_m.at(i), on_face_m);
            shadow_.origin_m.set(i, ray.origin_m);
            shadow_.direction.set(i, ray.direction);
        }
    }

    const LampTrack& track_;
    const RayQuery& rays_;
    int times_;
    RayPacket shadow_;
    LampInstants lamp_;
    Lanes light_;
};

}  // namespace

TileMethod random_times(const LampTrack& track, const RayQuery& rays, int times) {
    return [&track, &rays, times](const SeenTile& tile, TileLight& tile_light) {
        tile_light.fill(glm::vec3(0.0f));
        std::uint64_t asked = 0;
        Drawing drawing(track, rays, times);
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            const std::size_t samples = tile.blocks[b].size();
            const std::uint32_t seed = hash_of(tile.seed, static_cast<std::uint32_t>(b));
            for (std::size_t j = 0; j < samples; ++j) {
                const SurfacePacket& points = tile.blocks[b][j];
                if (points.found == 0) continue;
                Lanes light_lxs{};
                asked += drawing.sum(points, seed, j, samples, light_lxs);
                const float weight_s =
                    track.lit_s() * static_cast<float>(samples) / static_cast<float>(times);
                for (float& lane : light_lxs.lane) lane *= weight_s;
                add_reflected(track, b, points, light_lxs, tile_light);
            }
        }
        return asked;
    };
}

}  // namespace lampflight::bench
