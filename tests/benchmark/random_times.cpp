// Stratified random times: every pixel draws its own instant in each of n even strata.
#include <array>
#include <bit>

#include "tests/benchmark/methods.h"
#include "tests/benchmark/point_light.h"

namespace lampflight::bench {
namespace {

/// What a pixel draws in a stratum: the place within it in [0, 1), and one of the face's places.
struct Draw {
    float within;
    std::size_t face;
};

constexpr std::size_t face_places = 1024;

Draw drawn(std::uint32_t pixel_seed, std::uint32_t stratum) {
    const std::uint32_t bits = hash_of(pixel_seed, stratum);
    return {static_cast<float>(bits >> 10) * 0x1p-22f, bits % face_places};
}

/// Points of the unit disc, even over any run of them.
const std::array<glm::vec2, face_places>& disc_points() {
    static const auto points = [] {
        std::array<glm::vec2, face_places> table;
        for (std::size_t i = 0; i < face_places; ++i)
            table[i] = on_disc(plane_place(static_cast<std::uint32_t>(i)));
        return table;
    }();
    return points;
}

class Drawing {
public:
    Drawing(const LampTrack& track, const RayQuery& rays) : track_(track), rays_(rays) {
        shadow_.reach.lane.fill(shadow_reach);
    }

    struct Strata {
        std::size_t first;
        std::size_t step;
        std::size_t count;
    };

    /// Draws the strata first, first + step, ... below count, and sums up what arrives; returns the
    /// rays asked.
    std::uint64_t sum(const SurfacePacket& points, std::uint32_t seed, const Strata& strata,
                      Lanes& sum_lx) {
        std::uint64_t asked = 0;
        const float step_s = track_.lit_s() / static_cast<float>(strata.count);
        for (std::size_t k = strata.first; k < strata.count; k += strata.step) {
            aim(points, seed, static_cast<std::uint32_t>(k), step_s);
            if (shadow_.active == 0) continue;
            asked += static_cast<std::uint64_t>(std::popcount(shadow_.active));
            const LaneMask lit = shadow_.active & ~rays_.occluded(shadow_);
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(lit, i)) sum_lx[i] += light_[i];
        }
        return asked;
    }

private:
    void aim(const SurfacePacket& points, std::uint32_t seed, std::uint32_t stratum, float step_s) {
        Lanes time_s;
        std::array<std::size_t, packet_size> face;
        for (int i = 0; i < packet_size; ++i) {
            const Draw draw = drawn(seed + static_cast<std::uint32_t>(i), stratum);
            time_s[i] = step_s * (static_cast<float>(stratum) + draw.within);
            face[static_cast<std::size_t>(i)] = draw.face;
        }
        track_.at(time_s, lamp_);
        light_lx(track_, lamp_, points, light_);
        shadow_.active = 0;
        for (int i = 0; i < packet_size; ++i)
            if (light_[i] > 0.0f) shadow_.active |= 1u << i;
        shadow_.active &= points.found;
        if (shadow_.active == 0) return;
        for (int i = 0; i < packet_size; ++i) {
            const glm::vec2 on_face_m =
                track_.face_radius_m() * disc_points()[face[static_cast<std::size_t>(i)]];
            const ShadowRay ray =
                shadow_ray(points.leaving_m(i), lamp_.position_m.at(i), on_face_m);
            shadow_.origin_m.set(i, ray.origin_m);
            shadow_.direction.set(i, ray.direction);
        }
    }

    const LampTrack& track_;
    const RayQuery& rays_;
    RayPacket shadow_;
    LampInstants lamp_;
    Lanes light_;
};

}  // namespace

TileMethod random_times(const LampTrack& track, const RayQuery& rays, int times) {
    return [&track, &rays, times](const SeenTile& tile, TileLight& tile_light) {
        tile_light.fill(glm::vec3(0.0f));
        std::uint64_t asked = 0;
        Drawing drawing(track, rays);
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            const std::uint32_t seed = hash_of(tile.seed, static_cast<std::uint32_t>(b));
            for_each_sample(
                tile.view, b,
                [&](const SurfacePacket& points, std::size_t sample, std::size_t samples) {
                    const std::size_t strata = samples * times_each(times, samples);
                    Lanes light_lxs{};
                    asked += drawing.sum(points, seed, {sample, samples, strata}, light_lxs);
                    const float weight_s =
                        track.lit_s() * static_cast<float>(samples) / static_cast<float>(strata);
                    for (float& lane : light_lxs.lane) lane *= weight_s;
                    add_reflected(track, b, points, light_lxs, tile.view, tile_light);
                });
        }
        return asked;
    };
}

}  // namespace lampflight::bench
