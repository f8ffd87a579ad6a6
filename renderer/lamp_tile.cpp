#include "renderer/lamp_tile.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "renderer/low_discrepancy.h"
#include "scene/vector.h"

namespace lampflight {
namespace {

// Error of a share found by n stratified instants: this times sqrt(share (1 - share)) / n^(3/4),
// between the 1/sqrt(n) of chance and the 1/n of a single shadow edge in time. Measured against
// many instants on the demo scenes.
constexpr float error_of_one = 0.45f;

// Pixels darker than this share of their unshadowed light may err as if they were so bright.
constexpr float least_share = 0.1f;

// A block judges by no fewer rays than this.
constexpr int fewest_rays = 64;

// Normals of one plain surface lie within this cosine of each other.
constexpr float plain_cosine = 0.85f;

/// One surface without steps or corners, where a neighbour's shadow tells of one's own.
bool is_plain(const BlockSurfaces& packets) {
    std::optional<glm::vec3> normal;
    std::uint32_t mesh = 0;
    for (const SurfacePacket& points : packets)
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
    return true;
}

float grey(const glm::vec3& reflectance) {
    return glm::dot(reflectance, glm::vec3(luminance_weights));
}

}  // namespace

void LampTile::begin(const LampTrack& track, const BlockSurfaces& packets, const Effort& effort,
                     Block& block) const {
    block.lit = block.dark = 0;
    block.share = 0.0f;
    block.strata = choose_strata(track, packets, effort.strata);
    block.samples.assign(packets.size(), {});
    for (std::size_t j = 0; j < packets.size(); ++j)
        if (packets[j].found != 0)
            block.samples[j].unshadowed_lxs =
                unshadowed_lxs(track, packets[j], block.strata,
                               {.shift = golden_place(static_cast<std::uint32_t>(j), block.shift)});
}

void LampTile::ask(const LampTrack& track, const RayQuery& rays, const BlockSurfaces& packets,
                   const Turn& turn, Block& block) const {
    const int samples = static_cast<int>(packets.size());
    const float shift = golden_place(static_cast<std::uint32_t>(turn.turn), block.shift);
    for (int j = 0; j < samples; ++j) {
        const SurfacePacket& points = packets[static_cast<std::size_t>(j)];
        if (points.found == 0) continue;
        const TimeComb own{(j + turn.turn) % samples + samples * ((j + turn.pass) % turn.passes),
                           samples * turn.passes, shift};
        const ArrivedLight light = arrived_light(track, rays, points, block.strata, own);
        block.lit += light.lit;
        block.dark += light.dark;
        Sample& sample = block.samples[static_cast<std::size_t>(j)];
        for (int i = 0; i < packet_size; ++i) {
            sample.asked_lxs[i] += light.asked_lxs[i] / static_cast<float>(own.step);
            sample.arrived_lxs[i] += light.arrived_lxs[i] / static_cast<float>(own.step);
        }
    }
}

bool LampTile::in_doubt(std::size_t block) const {
    const Block& own = blocks_[block];
    if (own.lit + own.dark < fewest_rays) return true;
    const int x = static_cast<int>(block) % blocks_across_tile;
    const int y = static_cast<int>(block) / blocks_across_tile;
    int lit = 0;
    int dark = 0;
    for (int ny = std::max(0, y - 1); ny <= std::min(blocks_across_tile - 1, y + 1); ++ny)
        for (int nx = std::max(0, x - 1); nx <= std::min(blocks_across_tile - 1, x + 1); ++nx) {
            const Block& near = blocks_[static_cast<std::size_t>(ny * blocks_across_tile + nx)];
            lit += near.lit;
            dark += near.dark;
        }
    return lit > 0 && dark > 0;
}

void LampTile::share_in_all(Block& block) {
    float asked = 0.0f;
    float arrived = 0.0f;
    for (const Sample& sample : block.samples)
        for (int i = 0; i < packet_size; ++i) {
            asked += sample.asked_lxs[i];
            arrived += sample.arrived_lxs[i];
        }
    block.share = asked > 0.0f ? arrived / asked : 0.0f;
}

float LampTile::share_of(const Block& block, const Sample& sample, int lane) {
    return sample.asked_lxs[lane] > 0.0f ? sample.arrived_lxs[lane] / sample.asked_lxs[lane]
                                         : block.share;
}

float LampTile::expected_error(const BlockSurfaces& packets, const Block& block, int instants) {
    const auto n = static_cast<float>(instants);
    const float of_share = error_of_one * error_of_one / std::pow(n, 1.5f);
    float worst = 0.0f;
    for (int i = 0; i < packet_size; ++i) {
        float unshadowed = 0.0f;
        float arrived = 0.0f;
        float squares = 0.0f;
        const auto for_each_sample = [&](auto visit) {
            for (std::size_t j = 0; j < packets.size(); ++j)
                if (has_lane(packets[j].found, i))
                    visit(grey(packets[j].reflectance.at(i)) * block.samples[j].unshadowed_lxs[i],
                          share_of(block, block.samples[j], i));
        };
        for_each_sample([&](float light, float share) {
            unshadowed += light;
            arrived += light * share;
            squares += light * light;
        });
        if (unshadowed <= 0.0f) continue;
        // A few instants that agree prove little: each share leans to the pixel's, and that to a
        // half, by the weight of one instant (the rule of succession).
        const float all = n * unshadowed * unshadowed / squares;  // instants that count
        const float pixel_share = (all * arrived / unshadowed + 0.5f) / (all + 1.0f);
        float variance = 0.0f;
        for_each_sample([&](float light, float share) {
            const float likely = (n * share + pixel_share) / (n + 1.0f);
            variance += light * light * likely * (1.0f - likely) * of_share;
        });
        const float bright = std::max(arrived, least_share * unshadowed);
        worst = std::max(worst, variance / (bright * bright));
    }
    return std::sqrt(worst);
}

void LampTile::refine(const LampTrack& track, const RayQuery& rays, const BlockSurfaces& packets,
                      const Effort& effort, Block& block) const {
    const int samples = effort.film_samples;
    const int passes = effort.strata / effort.first_strata;
    for (int pass = 1; pass < passes; ++pass) ask(track, rays, packets, {0, pass, passes}, block);
    if (block.lit == 0 || block.dark == 0) return;
    // Where surfaces meet in a pixel one sample may outshine the rest, and must be sure by itself.
    const int least_turns = is_plain(packets) ? 1 : effort.mixed_turns;
    for (int turn = 1; turn < samples; ++turn) {
        const int instants = turn * effort.strata / samples;  // of each film sample so far
        if (turn >= least_turns && expected_error(packets, block, instants) <= effort.shadow_error)
            return;
        ask(track, rays, packets, {turn}, block);
    }
}

void LampTile::light(const LampTrack& track, const RayQuery& rays,
                     std::span<const BlockSurfaces, tile_blocks> blocks, const Effort& effort,
                     std::uint32_t seed) {
    reflected_lxs_.fill(glm::vec3(0.0f));
    const int passes = effort.strata / effort.first_strata;
    for (std::size_t b = 0; b < tile_blocks; ++b) {
        blocks_[b].shift = hashed_place(seed, static_cast<std::uint32_t>(b));
        begin(track, blocks[b], effort, blocks_[b]);
        ask(track, rays, blocks[b], {0, 0, passes}, blocks_[b]);
    }
    // All are judged before any asks more: what a block finds must not hang on the order.
    std::array<bool, tile_blocks> doubtful;
    for (std::size_t b = 0; b < tile_blocks; ++b) doubtful[b] = in_doubt(b) || !is_plain(blocks[b]);
    for (std::size_t b = 0; b < tile_blocks; ++b) {
        if (doubtful[b] && !blocks[b].empty()) refine(track, rays, blocks[b], effort, blocks_[b]);
        share_in_all(blocks_[b]);
        for (std::size_t j = 0; j < blocks[b].size(); ++j)
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(blocks[b][j].found, i))
                    reflected_lxs_[tile_pixel(b, i)] +=
                        share_of(blocks_[b], blocks_[b].samples[j], i) *
                        blocks_[b].samples[j].unshadowed_lxs[i] * blocks[b][j].reflectance.at(i) *
                        track.colour();
    }
}

}  // namespace lampflight
