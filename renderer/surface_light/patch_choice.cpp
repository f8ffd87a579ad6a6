#include "renderer/surface_light/patch_choice.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

// Packets of rays that learn: an eighth of the blocks send one each, few blocks more.
constexpr std::size_t most_packets = 12;
constexpr std::size_t least_packets = 4;

// What is not known of a cluster is taken from ever smaller groups of its neighbours.
constexpr std::array<std::size_t, 3> neighbours{24, 6, 2};
constexpr float rays_that_convince = 2.0f;

// How far the choice follows what was learnt, and the least that is left to a cluster never seen.
constexpr float trust = 0.7f;
constexpr float least_trusted = 0.05f;
// Patches this many times as bright as the mean over the hemisphere are worth all the rays, where
// there is no direct light.
constexpr float worth_all = 12.0f;
// And so many times, none: any ray finds them.
constexpr float worth_none = 3.0f;

// Cutting at 1e-3 brings the noise back.
constexpr float least_listed = 1e-4f;

/// What each cluster could send a block at most: its power, the cosines at both ends taken as large
/// as bounds let them be, over the square of the distance.
void weigh(const PatchClusters& clusters, const BlockBounds& block, std::vector<float>& weight) {
    const std::size_t count = clusters.count();
    weight.resize(count);
    const glm::vec3 p = block.middle_m, n = block.normal;
    for (std::size_t k = 0; k < count; ++k) {
        const float x = clusters.middle_m[0][k] - p.x, y = clusters.middle_m[1][k] - p.y,
                    z = clusters.middle_m[2][k] - p.z;
        const float mx = clusters.normal[0][k], my = clusters.normal[1][k],
                    mz = clusters.normal[2][k];
        const float square_m2 = x * x + y * y + z * z;
        const float distance_m = std::sqrt(square_m2) + 1e-6f;
        const float alike = n.x * mx + n.y * my + n.z * mz;
        const float turned = std::sqrt(std::max(1.0f - alike * alike, 0.0f));
        const float thick_m = clusters.thickness_m[k] + block.thickness_m;
        const float here = n.x * x + n.y * y + n.z * z + clusters.radius_m[k] * turned + thick_m;
        const float there = std::abs(mx * x + my * y + mz * z) + block.radius_m * turned + thick_m;
        const float cos_here = std::clamp(here / distance_m + block.spread, 0.0f, 1.0f);
        const float cos_there = std::clamp(there / distance_m + clusters.spread[k], 0.0f, 1.0f);
        const float near_m = clusters.radius_m[k] + block.radius_m;
        weight[k] = clusters.power[k] * cos_here * cos_there / std::max(square_m2, near_m * near_m);
    }
}

std::vector<float> sums_until(const std::vector<float>& values) {
    std::vector<float> sums(values.size());
    float sum = 0.0f;
    for (std::size_t k = 0; k < values.size(); ++k) sums[k] = sum += values[k];
    return sums;
}

std::size_t place_in(const std::vector<float>& sums, float place) {
    const auto found = std::upper_bound(sums.begin(), sums.end() - 1, place * sums.back());
    return static_cast<std::size_t>(found - sums.begin());
}

bool any_lane(const SurfacePacket& points) {
    return points.found != 0;
}

/// Which way the first surface of a block faces.
std::uint8_t facing_of(const BlockSurfaces& samples) {
    const SurfacePacket& points = *std::ranges::find_if(samples, any_lane);
    return nearest_axis(points.face_normal.at(std::countr_zero(points.found)));
}

}  // namespace

BlockBounds::BlockBounds(const BlockSurfaces& samples) {
    const auto for_each = [&](auto visit) {
        for (const SurfacePacket& points : samples)
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(points.found, i)) visit(points.position_m.at(i), points.normal.at(i));
    };
    glm::vec3 sum_m(0.0f), normals(0.0f);
    float count = 0.0f;
    for_each([&](const glm::vec3& position_m, const glm::vec3& facing) {
        sum_m += position_m;
        normals += facing;
        count += 1.0f;
    });
    if (count == 0.0f) return;
    middle_m = sum_m / count;
    if (glm::length(normals) > 1e-3f * count) normal = glm::normalize(normals);
    float least_cosine = 1.0f;
    for_each([&](const glm::vec3& position_m, const glm::vec3& facing) {
        const glm::vec3 off_m = position_m - middle_m;
        radius_m = std::max(radius_m, glm::length(off_m));
        thickness_m = std::max(thickness_m, std::abs(glm::dot(off_m, normal)));
        least_cosine = std::min(least_cosine, glm::dot(facing, normal));
    });
    spread =
        least_cosine > 0.0f ? std::sqrt(std::max(0.0f, 1.0f - least_cosine * least_cosine)) : 1.0f;
}

void PatchChoice::learn(const LitPatches& patches, const RayQuery& rays,
                        std::span<const BlockSurfaces* const> blocks, std::uint32_t seed) {
    const PatchClusters& all = patches.clusters();
    share_.assign(all.count(), 0.0f);
    asked_.assign(all.count(), 0.0f);
    seen_.assign(all.count(), 0.0f);
    seen_share_.resize(all.count());
    of_lamp_.assign(patches.lamps(), {});
    rays_asked_ = 0.0f;

    const std::size_t packets = std::min(most_packets, least_packets + blocks.size() / 8);
    std::vector<float> weight, sum(all.count(), 0.0f);
    for (std::uint32_t k = 0; k < packets; ++k) {
        const BlockSurfaces& block = *blocks[k * blocks.size() / packets];
        weigh(all, BlockBounds(block), weight);
        for (std::size_t c = 0; c < sum.size(); ++c) sum[c] += weight[c];
        ask(patches, rays, *std::ranges::find_if(block, any_lane), weight, hash_of(seed, k));
    }
    guess_seen();
    worth_ = 0.0f;
    for (const LampSums& lamp : of_lamp_) worth_ = std::max(worth_, worth_of(lamp));
    list(all, sum);
}

void PatchChoice::list(const PatchClusters& all, const std::vector<float>& weight) {
    number_.clear();
    float total = 0.0f;
    for (std::size_t c = 0; c < weight.size(); ++c) {
        seen_share_[c] = std::max(std::pow(seen_share_[c], trust), least_trusted);
        total += weight[c] * seen_share_[c];
    }
    for (std::uint32_t c = 0; c < weight.size(); ++c)
        if (weight[c] * seen_share_[c] > least_listed * total) number_.push_back(c);
    listed_.resize(number_.size());
    for (std::size_t k = 0; k < number_.size(); ++k) {
        listed_.take(k, all, number_[k]);
        listed_.power[k] *= seen_share_[number_[k]];
    }
}

/// One ray a lane, to a point on the cluster that it draws.
void PatchChoice::ask(const LitPatches& patches, const RayQuery& rays, const SurfacePacket& points,
                      const std::vector<float>& weight, std::uint32_t seed) {
    const std::vector<float> until = sums_until(weight);
    if (!(until.back() > 0.0f)) return;
    std::array<std::uint32_t, packet_size> cluster{};
    LaneVectors places;
    for (int i = 0; i < packet_size; ++i) {
        const auto lane = static_cast<std::uint32_t>(i);
        const float place = (static_cast<float>(i) + hashed_place(seed, 3 * lane)) / packet_size;
        cluster[lane] = static_cast<std::uint32_t>(place_in(until, place));
        places.set(i, {hashed_place(seed, 3 * lane + 1), hashed_place(seed, 3 * lane + 2),
                       hashed_place(seed, 3 * lane + 64)});
    }
    PatchPoints drawn;
    patches.draw(cluster, points.found, places, drawn);
    const PatchRays lines = rays_between(points, drawn);
    const LaneMask seen = lines.rays.active & ~rays.occluded(lines.rays);
    add_direct(patches, points);
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(points.found, i)) continue;
        const std::uint32_t c = cluster[static_cast<std::size_t>(i)];
        asked_[c] += 1.0f;
        rays_asked_ += 1.0f;
        if (!has_lane(seen, i)) continue;
        seen_[c] += 1.0f;
        const float per_sr = weight[c] / until.back() * drawn.per_m2[i] * lines.m2_per_sr[i];
        const auto lane = static_cast<std::size_t>(i);
        for (std::size_t k = 0; k < of_lamp_.size(); ++k) {
            const float radiance =
                patches.sends(k, drawn.hits.mesh[lane], drawn.hits.triangle[lane]);
            const float bounced = radiance * lines.cosine[i] / (static_cast<float>(pi) * per_sr);
            of_lamp_[k].bounced += bounced;
            of_lamp_[k].bounced_radiance += bounced * radiance;
        }
    }
}

/// The lamps' direct light on a block. Where a part of the tile is in the shade, that part counts.
void PatchChoice::add_direct(const LitPatches& patches, const SurfacePacket& points) {
    for (std::size_t k = 0; k < of_lamp_.size(); ++k) {
        float sum = 0.0f;
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            sum += patches.sends(k, points.mesh[lane], points.triangle[lane]) /
                   std::max(luminance(points.reflectance.at(i)), 1e-3f);
        }
        of_lamp_[k].direct =
            std::min(of_lamp_[k].direct, sum / static_cast<float>(std::popcount(points.found)));
    }
}

/// By the noise that rays over the hemisphere would leave. Its square goes with how many times as
/// bright as the mean over the hemisphere the patches are, and the share of what bounces in all of
/// the light.
float PatchChoice::worth_of(const LampSums& lamp) const {
    if (lamp.bounced <= 0.0f) return lamp.direct > 0.0f ? 0.0f : 1.0f;
    const float times_mean = rays_asked_ * lamp.bounced_radiance / (lamp.bounced * lamp.bounced);
    const float bounced = lamp.bounced / rays_asked_;
    const float share = bounced / (bounced + lamp.direct);
    return std::clamp((times_mean * share * share - worth_none) / (worth_all - worth_none), 0.0f,
                      1.0f);
}

/// The share of the rays that saw their cluster. Where few asked, what its neighbours tell.
void PatchChoice::guess_seen() {
    const std::size_t count = asked_.size();
    const auto mean_of = [&](std::size_t first, std::size_t end, float prior) {
        float asked = rays_that_convince, seen = rays_that_convince * prior;
        for (std::size_t c = first; c < end; ++c) asked += asked_[c], seen += seen_[c];
        return seen / asked;
    };
    std::fill(seen_share_.begin(), seen_share_.end(), mean_of(0, count, 0.5f));
    const auto refine = [&](std::size_t width) {
        for (std::size_t first = 0; first < count; first += width) {
            const std::size_t end = std::min(first + width, count);
            const float mean = mean_of(first, end, seen_share_[first]);
            for (std::size_t c = first; c < end; ++c) seen_share_[c] = mean;
        }
    };
    for (const std::size_t width : neighbours) refine(width);
    refine(1);
}

bool PatchChoice::look_from(const BlockSurfaces& samples) {
    std::vector<float> weight;
    weigh(listed_, BlockBounds(samples), weight);
    until_ = sums_until(weight);
    const float sum = until_.empty() ? 0.0f : until_.back();
    for (std::size_t k = 0; k < number_.size(); ++k)
        share_[number_[k]] = sum > 0.0f ? weight[k] / sum : 0.0f;
    return sum > 0.0f;
}

std::uint32_t PatchChoice::cluster_at(float place) const {
    return number_[place_in(until_, place)];
}

void TilePatches::learn(const LitPatches& patches, const RayQuery& rays, const TileView& view,
                        std::uint32_t seed) {
    std::array<std::vector<const BlockSurfaces*>, facings> alike;
    none_ = patches.none();
    if (none_) return;
    for (std::size_t block = 0; block < tile_blocks; ++block) {
        const BlockSurfaces& samples = view.blocks[block];
        if (std::ranges::none_of(samples, any_lane)) continue;
        facing_[block] = facing_of(samples);
        alike[facing_[block]].push_back(&samples);
    }
    for (std::uint32_t k = 0; k < facings; ++k)
        if (!alike[k].empty()) choices_[k].learn(patches, rays, alike[k], hash_of(seed, 8 + k));
}

const PatchChoice* TilePatches::look_from(const TileView& view, std::size_t block) {
    if (none_ || std::ranges::none_of(view.blocks[block], any_lane)) return nullptr;
    PatchChoice& choice = choices_[facing_[block]];
    return choice.look_from(view.blocks[block]) ? &choice : nullptr;
}

}  // namespace lampflight
