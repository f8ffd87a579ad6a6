// How a lamp's way falls into legs.
#include <algorithm>
#include <cmath>

#include "renderer/lamp_light/shutter_integral.h"

namespace lampflight {
namespace {

// As many times as far as the lamp is from what it lights, a leg may be long.
constexpr float leg_over_height = 9.0f;
constexpr float shortest_leg_m = 10.0f;
constexpr float longest_leg_m = 60.0f;
constexpr int most_legs = 16;

}  // namespace

std::vector<LampLeg> legs_of(const LampTrack& track) {
    float height_m = longest_leg_m;
    for (int i = 0; i < 64; ++i)
        height_m =
            std::min(height_m,
                     track.at(track.lit_s() * (static_cast<float>(i) + 0.5f) / 64.0f).position_m.z);
    const float longest_m = std::clamp(leg_over_height * height_m, shortest_leg_m, longest_leg_m);
    const int count =
        std::clamp(static_cast<int>(std::ceil(track.path_length_m() / longest_m)), 1, most_legs);
    std::vector<LampLeg> legs(static_cast<std::size_t>(count));
    const float lit_s = track.lit_s() / static_cast<float>(count);
    for (std::size_t l = 0; l < legs.size(); ++l) {
        LampLeg& leg = legs[l];
        leg.from_s = lit_s * static_cast<float>(l);
        leg.lit_s = lit_s;
        leg.length_m = track.path_length_m() / static_cast<float>(count);
        std::size_t packets = 4;
        for (std::vector<LampInstants>& probes : leg.probes) {
            probes.resize(packets);
            const float step_s = lit_s / static_cast<float>(packets * packet_size);
            for (std::size_t p = 0; p < packets; ++p) {
                Lanes time_s;
                for (int i = 0; i < packet_size; ++i)
                    time_s[i] = leg.from_s + step_s * (static_cast<float>(p * packet_size) +
                                                       static_cast<float>(i) + 0.5f);
                track.at(time_s, probes[p]);
            }
            packets *= 4;
        }
    }
    return legs;
}

}  // namespace lampflight
