#include "renderer/lamp_light/beam_passage.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

// A step that the beam reaches is cut while it turns by more than this share of its lobe.
constexpr float coarsest_turn = 0.5f;
constexpr int most_cuts = 3;  // into sixteen each

// Gauss's rule of three points errs by 0.03 % of a Gaussian on stretches of twice its standard
// deviation. On ground that a lamp passes over, distance and incidence add three to the exponent of
// its lobe, and are all there is beyond its reach.
constexpr float smooth_deviations = 2.0f;
constexpr float added_exponent = 3.0f;

// A step's turn is that of its instant to the next; half of it, and half as much again for a pace
// that changes.
constexpr float aside = 0.75f;

constexpr float least_share_of_distance = 0.25f;

/// The lamp at an instant as the patch sees it.
struct View {
    glm::vec3 off_aim{0.0f};  ///< d - a
    float distance_m = 0.0f;
    float incidence = 0.0f;  ///< the most of any face, as a cosine
};

View view_of(const LampInstants& lamps, int i, const Patch& patch) {
    const glm::vec3 from_lamp = patch.middle_m - lamps.position_m.at(i);
    View view;
    view.distance_m = std::max(glm::length(from_lamp), 1e-4f);
    const glm::vec3 direction = from_lamp / view.distance_m;
    view.off_aim = direction - lamps.aim.at(i);
    for (std::size_t n = 0; n < patch.normals; ++n)
        view.incidence = std::max(view.incidence, -glm::dot(direction, patch.normal[n]));
    view.incidence = std::min(view.incidence + patch.radius_m / view.distance_m, 1.0f);
    return view;
}

class Search {
public:
    Search(const LampTrack& track, const Patch& patch, BeamPassage& passage)
        : track_(track), patch_(patch), passage_(passage) {}

    /// Steps of a row of even instants, each in the middle of its own.
    void row(std::span<const LampInstants> instants, float from_s, float step_s, int cuts) {
        const std::size_t count = instants.size() * packet_size;
        const auto view = [&](std::size_t k) {
            return view_of(instants[k / packet_size], static_cast<int>(k % packet_size), patch_);
        };
        View here = view(0);
        float turned_before = 0.0f;
        for (std::size_t k = 0; k < count; ++k) {
            const View next = k + 1 < count ? view(k + 1) : here;
            const float turns = glm::distance(next.off_aim, here.off_aim);
            step(here, std::max(turns, turned_before), from_s + step_s * static_cast<float>(k),
                 step_s, cuts);
            turned_before = turns;
            here = next;
        }
    }

private:
    void step(const View& view, float turned_rad, float from_s, float step_s, int cuts) {
        // Points on the lamp's side of the ball see it turn faster.
        const float nearest_m =
            std::max(view.distance_m - patch_.radius_m, least_share_of_distance * view.distance_m);
        turned_rad *= view.distance_m / nearest_m;
        const float ball_rad = patch_.radius_m < view.distance_m
                                   ? std::asin(patch_.radius_m / view.distance_m)
                                   : static_cast<float>(pi);
        const float angle_rad = 2.0f * std::asin(std::min(0.5f * glm::length(view.off_aim), 1.0f)) -
                                ball_rad - aside * turned_rad;
        const bool reached = angle_rad < track_.reach_rad();
        if (reached && turned_rad > coarsest_turn * track_.lobe_rad() && cuts < most_cuts) {
            const float fine_s = step_s / packet_size;
            Lanes times_s;
            for (int i = 0; i < packet_size; ++i)
                times_s[i] = from_s + fine_s * (static_cast<float>(i) + 0.5f);
            std::array<LampInstants, 1> instants;
            track_.at(times_s, instants.front());
            row(instants, from_s, fine_s, cuts + 1);
            return;
        }
        if (reached && ball_rad > track_.lobe_rad()) passage_.alike = false;
        const float sin_half = std::sin(0.5f * std::clamp(angle_rad, 0.0f, static_cast<float>(pi)));
        const float light_lx =
            track_.intensity_cd(sin_half * sin_half) * view.incidence / (nearest_m * nearest_m);
        passage_.steps.push_back(
            {from_s, step_s, light_lx, turned_rad / smooth_rad(reached), reached});
    }

    float smooth_rad(bool reached) const {
        const float lobe_rad = track_.lobe_rad();
        return smooth_deviations /
               std::sqrt(added_exponent + (reached ? 1.0f / (lobe_rad * lobe_rad) : 0.0f));
    }

    const LampTrack& track_;
    const Patch& patch_;
    BeamPassage& passage_;
};

}  // namespace

BeamPassage beam_passage(const LampTrack& track, const Patch& patch, float from_s, float lit_s,
                         std::span<const LampInstants> instants) {
    BeamPassage passage;
    Search(track, patch, passage)
        .row(instants, from_s, lit_s / static_cast<float>(instants.size() * packet_size), 0);
    return passage;
}

}  // namespace lampflight
