#include "renderer/lamp_light/shutter_integral.h"

#include <algorithm>
#include <cmath>

#include "renderer/lamp_light/unshadowed_light.h"
#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

// A shadow ray stops short of the lamp's own place.
constexpr float shadow_reach = 0.9999f;

/// Places on the lamp's face for the instants of sixteen receivers: those of a lattice of instants
/// are spread evenly over it, turned from receiver to receiver.
const std::array<std::array<glm::vec2, LightClock::instants>, packet_size>& face_places() {
    static const auto places = [] {
        std::array<std::array<glm::vec2, LightClock::instants>, packet_size> table;
        for (std::size_t receiver = 0; receiver < table.size(); ++receiver)
            for (std::uint32_t i = 0; i < LightClock::instants; ++i) {
                // Every (64/n)th instant: with its bits mirrored, n that follow each other.
                std::uint32_t mirrored = 0;
                for (std::uint32_t bit = 0; bit < 6; ++bit)
                    if ((i >> bit & 1u) != 0) mirrored |= 32u >> bit;
                table[receiver][i] = on_disc(
                    plane_place(mirrored, {0.0f, dither_place(static_cast<int>(receiver))}));
            }
        return table;
    }();
    return places;
}

/// Shadow rays to the lamp's face, a disc that looks at the point.
void aim_shadow_rays(const LampTrack& track, const ShadowRays& lines, RayPacket& shadow) {
    const auto& places = face_places();
    Lanes place_x, place_y;
    for (std::size_t i = 0; i < packet_size; ++i) {
        const glm::vec2& place = places[lines.receiver[i]][lines.instant[i]];
        place_x.lane[i] = track.face_radius_m() * place.x;
        place_y.lane[i] = track.face_radius_m() * place.y;
    }
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 origin_m = lines.leaving_m.at(i);
        const glm::vec3 to_lamp = lines.lamp.position_m.at(i) - origin_m;
        const float per_m = 1.0f / std::max(std::sqrt(glm::dot(to_lamp, to_lamp)), 1e-6f);
        const Across frame = across(-per_m * to_lamp);
        shadow.origin_m.set(i, origin_m);
        shadow.direction.set(i,
                             to_lamp + place_x[i] * frame.tangent + place_y[i] * frame.bitangent);
    }
}

}  // namespace

ShadowTest shadow_test(const LampTrack& track, const RayQuery& rays, const ShadowRays& lines) {
    ShadowTest seen;
    unshadowed_lx(track, EachLane{lines.lamp}, lines.position_m, lines.normal, seen.light_lxs);
    for (int i = 0; i < packet_size; ++i) {
        seen.light_lxs[i] *= lines.rate_s[i];
        if (seen.light_lxs[i] > 0.0f) seen.asked |= 1u << i;
    }
    seen.asked &= lines.active;
    if (seen.asked == 0) return seen;
    RayPacket shadow;
    shadow.reach.lane.fill(shadow_reach);
    shadow.active = seen.asked;
    aim_shadow_rays(track, lines, shadow);
    seen.lit = seen.asked & ~rays.occluded(shadow);
    return seen;
}

}  // namespace lampflight
