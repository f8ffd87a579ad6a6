#include "renderer/lamp_light/lamp_tile.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

// Less light than this, of one lumen, no sensor shows: of a lamp of 1000 lm, 2^-11 of mid-grey at
// ISO 4 million and f/0.5.
constexpr float least_light_lxs = 1e-12f;

std::size_t clock_number(std::size_t block) {
    constexpr std::size_t across = blocks_across_tile;
    return block / (2 * across) * (across / 2) + block % across / 2;
}

std::array<std::size_t, 4> blocks_of_clock(std::size_t clock) {
    constexpr std::size_t across = blocks_across_tile;
    const std::size_t first = clock / (across / 2) * (2 * across) + clock % (across / 2) * 2;
    return {first, first + 1, first + across, first + across + 1};
}

}  // namespace

LegsOfLamp look_at(const LampTrack& track, const CameraRays& camera_rays,
                   const glm::ivec2& pixels) {
    LegsOfLamp lamp{&track, legs_of(track)};
    constexpr int across = 12;
    constexpr int down = 8;
    float sum = 0.0f;
    int lit = 0;
    for (int place = 0; place < across * down; ++place) {
        const glm::ivec2 corner_px(pixels.x * (place % across) / across + pixels.x / (2 * across),
                                   pixels.y * (place / across) / down + pixels.y / (2 * down));
        const SurfacePacket points = camera_rays.glance(corner_px);
        if (points.found == 0) continue;
        std::array<LightClock::Place, packet_size> places;
        std::size_t count = 0;
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(points.found, i)) places[count++] = {&points, i};
        float light = 0.0f;
        for (const LampLeg& leg : lamp.legs) {
            const LightClock clock(track, leg, std::span(places.data(), count), 0.5f);
            const Lanes lxs = clock.unshadowed_lxs(track, points.position_m, points.normal);
            for (std::size_t p = 0; p < count; ++p)
                light += luminance(points.reflectance.at(places[p].lane)) * lxs[places[p].lane] /
                         static_cast<float>(count);
        }
        if (light < least_light_lxs) continue;
        sum += light;
        ++lit;
    }
    if (lit > 0) lamp.usual_light = sum / static_cast<float>(lit);
    return lamp;
}

int LampTile::first_offset(std::size_t block, int lane) const {
    const int rank = static_cast<int>(dither_rank[static_cast<std::size_t>(lane)]);
    const int offset = (rank + static_cast<int>(key_[block] & 15u)) % 16;
    return offset + 16 * (offset % 2);  // even over a step of 16 instants and over one of 32
}

void LampTile::begin(const TileView& view, const Effort& effort, std::uint32_t seed) {
    view_ = &view;
    effort_ = &effort;
    rays_asked_ = 0;
    seed_ = seed;
    field_.begin_tile(view);
    for (std::size_t b = 0; b < tile_blocks; ++b)
        key_[b] = hash_of(seed, static_cast<std::uint32_t>(b));
}

void LampTile::light(const LegsOfLamp& lamp, const RayQuery& rays) {
    reflected_lxs_.fill(glm::vec3(0.0f));
    for (const LampLeg& leg : lamp.legs) light_leg({*lamp.track, leg, rays, lamp.usual_light});
}

void LampTile::light_leg(const Job& job) {
    field_.begin_lamp(effort_->first_instants);
    set_clocks(job);
    for (std::size_t c = 0; c < clock_.size(); ++c) measure(job, c);
    for (std::size_t b = 0; b < tile_blocks; ++b) {
        mark_dark(b);
        if (!dark_[b] && view_->plain[b]) ask_first(job, b);
    }
    // All are fitted before any is read: a pixel blends the fits around it.
    std::array<bool, tile_blocks> smooth{};
    for (std::size_t b = 0; b < tile_blocks; ++b)
        smooth[b] =
            !dark_[b] && view_->plain[b] && field_.fit(b, effort_->smooth_error * leniency(job, b));
    for (std::size_t b = 0; b < tile_blocks; ++b) {
        if (dark_[b]) continue;
        if (!smooth[b]) {
            solve(job, b);
            continue;
        }
        for (int i = 0; i < packet_size; ++i) {
            glm::vec3 all(0.0f);
            for (std::size_t j = 0; j < view_->blocks[b].size(); ++j)
                all += unshadowed(job, b, j, i);
            reflected_lxs_[tile_pixel(b, i)] += field_.visibility(b, i) * all;
        }
    }
}

const LightClock& LampTile::clock_of(std::size_t block, std::size_t sample, int lane) const {
    if (!first_own_clock_[block]) return clock_[clock_number(block)];
    return own_clock_[*first_own_clock_[block] + sample * packet_size +
                      static_cast<std::size_t>(lane)];
}

/// A clock for each 2 x 2 blocks, and one for each film sample where a beam is narrow beside them.
void LampTile::set_clocks(const Job& job) {
    own_clock_.clear();
    first_own_clock_.fill({});
    std::array<std::vector<LightClock::Place>, tile_blocks / 4> found;
    for (std::size_t b = 0; b < tile_blocks; ++b)
        for (const SurfacePacket& points : view_->blocks[b])
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(points.found, i)) found[clock_number(b)].push_back({&points, i});
    for (std::size_t c = 0; c < clock_.size(); ++c) {
        if (found[c].empty()) continue;
        const float shift = hashed_place(seed_, static_cast<std::uint32_t>(c));
        clock_[c] = LightClock(job.track, job.leg, found[c], shift);
        irradiance_field_[c] = IrradianceField(job.track, clock_[c], found[c]);
        if (clock_[c].alike() || !job.track.moves()) continue;
        for (const std::size_t block : blocks_of_clock(c)) set_own_clocks(job, block, shift);
    }
}

void LampTile::set_own_clocks(const Job& job, std::size_t block, float shift) {
    first_own_clock_[block] = own_clock_.size();
    for (const SurfacePacket& points : view_->blocks[block])
        for (int i = 0; i < packet_size; ++i) {
            LightClock& clock = own_clock_.emplace_back();
            if (!has_lane(points.found, i)) continue;
            const LightClock::Place place{&points, i};
            clock = LightClock(job.track, job.leg, std::span(&place, 1), shift);
        }
}

/// How much more of its own light than usual a block may err by: the root of how much less it has.
float LampTile::leniency(const Job& job, std::size_t block) const {
    if (job.usual_light <= 0.0f) return 1.0f;
    float light = 0.0f;
    for (std::size_t j = 0; j < unshadowed_lxs_[block].size(); ++j)
        for (int i = 0; i < packet_size; ++i)
            light += view_->sample_share(block, i) *
                     luminance(view_->blocks[block][j].reflectance.at(i)) *
                     unshadowed_lxs_[block][j][i];
    light /= packet_size;
    return std::clamp(std::sqrt(job.usual_light / std::max(light, 1e-20f)), most_strict,
                      most_lenient);
}

/// Points that a part of a lamp's way has to be summed for one by one, sixteen at a time.
class LampTile::Remainder {
public:
    Remainder(const LampTrack& track, const LightClock& clock, const IrradianceField::Nodes& nodes)
        : track_(track), clock_(clock), nodes_(nodes) {}

    /// Its light is added by the next `sum` at the latest.
    void add(const SurfacePacket& points, int lane, float& light_lxs) {
        position_m_.set(count_, points.position_m.at(lane));
        normal_.set(count_, points.normal.at(lane));
        to_[static_cast<std::size_t>(count_)] = &light_lxs;
        if (++count_ == packet_size) sum();
    }

    void sum() {
        if (count_ == 0) return;
        const Lanes light_lxs =
            clock_.unshadowed_lxs(track_, position_m_, normal_, nodes_.first, nodes_.end);
        for (int i = 0; i < count_; ++i) *to_[static_cast<std::size_t>(i)] += light_lxs[i];
        count_ = 0;
    }

private:
    const LampTrack& track_;
    const LightClock& clock_;
    IrradianceField::Nodes nodes_;
    LaneVectors position_m_{};
    LaneVectors normal_{};
    std::array<float*, packet_size> to_{};
    int count_ = 0;
};

/// The light that would reach the film samples of a clock's blocks: by the field where that is good
/// for them.
void LampTile::measure(const Job& job, std::size_t clock) {
    const IrradianceField& field = irradiance_field_[clock];
    std::vector<Remainder> rest;
    for (std::size_t p = 0; p < field.parts(); ++p)
        rest.emplace_back(job.track, clock_[clock], field.nodes_of(p));
    for (const std::size_t block : blocks_of_clock(clock)) {
        const BlockSurfaces& samples = view_->blocks[block];
        unshadowed_lxs_[block].assign(samples.size(), Lanes{});
        for (std::size_t j = 0; j < samples.size(); ++j) {
            const SurfacePacket& points = samples[j];
            if (points.found == 0) continue;
            Lanes& to_lxs = unshadowed_lxs_[block][j];
            if (first_own_clock_[block]) {
                for (LaneMask left = points.found; left != 0; left &= left - 1) {
                    const int i = std::countr_zero(left);
                    to_lxs[i] = clock_of(block, j, i)
                                    .unshadowed_lxs(job.track, points.position_m.at(i),
                                                    points.normal.at(i));
                }
                continue;
            }
            std::array<LaneMask, IrradianceField::most_parts> left_out;
            to_lxs = field.light_lxs(points.position_m, points.normal, left_out);
            for (std::size_t p = 0; p < field.parts(); ++p)
                for (LaneMask left = left_out[p] & points.found; left != 0; left &= left - 1)
                    rest[p].add(points, std::countr_zero(left), to_lxs[std::countr_zero(left)]);
        }
    }
    for (Remainder& part : rest) part.sum();
}

void LampTile::mark_dark(std::size_t block) {
    dark_[block] = true;
    for (std::size_t j = 0; j < unshadowed_lxs_[block].size(); ++j)
        for (int i = 0; i < packet_size; ++i) {
            float& lxs = unshadowed_lxs_[block][j][i];
            if (!has_lane(view_->blocks[block][j].found, i) || lxs < least_light_lxs)
                lxs = 0.0f;
            else
                dark_[block] = false;
        }
}

/// What a film sample of a pixel sends unshadowed, as its share of the pixel.
glm::vec3 LampTile::unshadowed(const Job& job, std::size_t block, std::size_t sample,
                               int lane) const {
    return view_->sample_share(block, lane) * unshadowed_lxs_[block][sample][lane] *
           view_->blocks[block][sample].reflectance.at(lane) * job.track.flux_lm();
}

void LampTile::ask_first(const Job& job, std::size_t block) {
    const BlockSurfaces& samples = view_->blocks[block];
    First& first = first_[block];
    first.light.clear();
    first.lit.clear();
    const int step = VisibilityRecord::instants / effort_->first_instants;
    for (int m = 0; m < effort_->first_instants; ++m) {
        ShadowRays lines{};
        std::array<std::uint8_t, packet_size> instant{};
        for (int i = 0; i < packet_size; ++i) {
            const int number = first_offset(block, i) % step + step * m;
            instant[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(number);
            const std::size_t sample = sample_at(number, samples.size());
            const SurfacePacket& points = samples[sample];
            if (!has_lane(points.found, i)) continue;
            lines.set(i, points, i, number);
            clock_of(block, sample, i).aim(lines, i, number);
        }
        const ShadowTest seen = shadow_test(job.track, job.rays, lines);
        rays_asked_ += static_cast<std::uint64_t>(std::popcount(seen.asked));
        Lanes light = seen.light_lxs;
        for (int i = 0; i < packet_size; ++i)
            if (!has_lane(lines.active, i)) light[i] = 0.0f;
        first.light.push_back(light);
        first.lit.push_back(seen.lit);
        field_.add(block, instant, light, seen.lit);
    }
}

}  // namespace lampflight
