// The shutter integral: light that a lamp lays on surfaces while the shutter is open,
//
//     E(p) = integral over the shutter of I(w(t)) cos(theta(t)) V(p, x(t)) / r(t)^2 dt,
//
// in lux seconds, where x(t) is the lamp, w the angle to its aim, theta the incidence at p, r the
// distance and V whether p sees the lamp.
//
// Method. For a small block of film the lit time is warped to a light clock u in [0, 1) on
// which equal steps carry equal shares of the light that would reach the block unshadowed:
//
//     E(p) = integral over u of g(u) V(p, u) du,   g = I cos / r^2 dt/du, nearly constant.
//
// Without V that is Gauss's rule of three points on a few stretches of u, which costs no rays and
// errs by the sixth difference of g. With V only the share of it that arrives has to be found, s =
// (integral g V) / (integral g), and that is the length of u over which p sees the lamp: V is 0 or
// 1 and turns over a few times.
//  - n instants u = (k + c) / n with an offset c of each pixel's own find it without bias, thin
//    occluders too: one that hides the lamp for less than a step is met in just so many pixels.
//  - Where V turns over between two instants, halving the step between them m times brings that
//    edge from 1/n to 2^-m / n for m rays, not 2^m. An edge beside a run of a single instant keeps
//    its full step: moving it in would count what is thin by its true width, but only when it is
//    met, and lighten all thin shadows.
//  - s is smooth along a surface away from contacts, so pixels of one surface share what they find.
// visibility_record.h is one receiver's instants, lamp_tile.h the spending of rays over a tile of
// film. Everything is a fixed function of the place on the film: no thread or order enters.
#pragma once

#include <span>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/lamp_light/beam_passage.h"
#include "renderer/lamp_light/lamp_track.h"

namespace lampflight {

/// A stretch of a lamp's lit time short enough for one light clock, with the lamp at even
/// instants of it: coarsely, and finely for what it passes close by.
struct LampLeg {
    float from_s;
    float lit_s;
    float length_m;
    std::array<std::vector<LampInstants>, 3> probes;  ///< 64, 256 and 1024 instants
};

/// The legs of a whole track, up to 16: none longer than 60 m, nor than nine times the lamp's least
/// height.
std::vector<LampLeg> legs_of(const LampTrack& track);

/// Points that each look for the lamp at an instant of their own.
struct ShadowRays {
    LaneVectors position_m;
    LaneVectors normal;
    LaneVectors leaving_m;  ///< where the rays start
    LampInstants lamp;
    Lanes rate_s;                                    ///< seconds a unit of the light clock's share
    std::array<std::uint8_t, packet_size> receiver;  ///< which of sixteen neighbours, and its
    std::array<std::uint8_t, packet_size> instant;   ///< instant: each looks elsewhere on the face
    LaneMask active = 0;

    void set(int to, const SurfacePacket& points, int from, int instant_of_64) {
        position_m.set(to, points.position_m.at(from));
        normal.set(to, points.normal.at(from));
        leaving_m.set(to, points.leaving_m(from));
        receiver[static_cast<std::size_t>(to)] = static_cast<std::uint8_t>(from);
        instant[static_cast<std::size_t>(to)] = static_cast<std::uint8_t>(instant_of_64);
        active |= 1u << to;
    }
};

/// Lit time by the share of unshadowed light, for a few points near each other, and the lamp at
/// 64 even instants of it.
class LightClock {
public:
    static constexpr int instants = 64;

    /// A point of a packet.
    struct Place {
        const SurfacePacket* packet;
        int lane;
    };

    LightClock() = default;

    /// For all of the places. `shift` in [0, 1) is the place of the instants within their steps.
    LightClock(const LampTrack& track, const LampLeg& leg, std::span<const Place> places,
               float shift);

    /// Points a lane at an instant, whole or in between.
    void aim(ShadowRays& lines, int lane, int instant) const;
    void aim(ShadowRays& lines, int lane, float instant, const LampTrack& track) const;

    /// Whether a beam that reaches the places lights them much alike. If not, most of the clock
    /// tells nothing to any one of them, and each should have its own.
    bool alike() const { return alike_; }

    /// Lux seconds at sixteen points with nothing in between, by Gauss's rule of three points on
    /// stretches that carry like light: 6 to 22 of them, more where the lamp passes close by or
    /// low, and as many as a narrow beam needs. They end where the lamp jumps across the dark or
    /// its light sets in or ends.
    Lanes unshadowed_lxs(const LampTrack& track, const LaneVectors& position_m,
                         const LaneVectors& normal) const {
        return unshadowed_lxs(track, position_m, normal, 0, nodes());
    }
    /// By some of its instants alone.
    Lanes unshadowed_lxs(const LampTrack& track, const LaneVectors& position_m,
                         const LaneVectors& normal, std::size_t first_node,
                         std::size_t end_node) const;

    /// At a single point.
    float unshadowed_lxs(const LampTrack& track, const glm::vec3& position_m,
                         const glm::vec3& normal) const;

    /// Instants of that rule, and the seconds each stands for.
    std::size_t nodes() const { return gauss_.size(); }
    const LampInstant& node(std::size_t k) const { return gauss_[k]; }
    float node_weight_s(std::size_t k) const;

private:
    void set_edges(const LampLeg& leg, std::span<const PassageStep> steps,
                   std::span<const float> shares);
    void set_instants(const LampTrack& track);
    std::vector<float> even_ends(const LampTrack& track, const LampLeg& leg,
                                 std::span<const PassageStep> steps, int even) const;
    void set_stretches(const LampTrack& track, std::span<const float> ends_s);

    std::array<float, instants + 1> edges_s_{};
    float shift_ = 0.0f;
    std::array<LampInstant, instants> lamp_;      ///< at the shifted instants
    std::array<float, instants> rate_s_;          ///< of each step
    std::array<float, instants> shifted_rate_s_;  ///< of a step about each shifted instant
    std::vector<float> stretch_s_;                ///< lengths of the stretches of Gauss's rule
    std::vector<LampInstant> gauss_;              ///< three a stretch
    bool alike_ = true;
};

struct ShadowTest {
    Lanes light_lxs;     ///< g: light with nothing in between, per unit of share
    LaneMask lit = 0;    ///< rays that reached the lamp
    LaneMask asked = 0;  ///< rays; without light there is nothing to ask
};

ShadowTest shadow_test(const LampTrack& track, const RayQuery& rays, const ShadowRays& lines);

}  // namespace lampflight
