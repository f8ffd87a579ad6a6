// The shutter integral: light that a lamp lays on surfaces while the shutter is open,
//
//     E(p) = integral over the shutter of I(w(t)) cos(theta(t)) V(p, x(t)) / r(t)^2 dt,
//
// in lux seconds, where x(t) is the lamp, w the angle to its aim, theta the incidence at p, r the
// distance and V whether p sees the lamp.
//
// Method: the lit time is cut into strata that hold equal shares of the light which would reach a
// small block of film unshadowed, so that every instant carries about the same weight; one instant
// is drawn in each stratum. With stratum widths w_i and instants t_i the sum of w_i f(t_i) is
// unbiased for any widths, and exact to second order where f is smooth. Without V it costs no rays;
// with V each term asks one shadow ray. lamp_tile.h decides how many of those to ask, and takes the
// light of a point as the first sum times the share of it that the rays let through.
// The sixteen pixels of a block hold sixteen evenly spread places within each stratum, so their
// mean has the error of sixteen times as many instants, and their rays stay alike enough to be
// traced as one packet. Everything is a fixed function of the block's place on the film: no thread
// or order enters.
#pragma once

#include <span>
#include <vector>

#include "renderer/lamp_track.h"
#include "renderer/stage.h"

namespace lampflight {

/// Edges of the strata in seconds, rising; one more than there are strata.
using TimeStrata = std::vector<float>;

/// Strata for points near each other: equal shares of their unshadowed light, each held to at most
/// three times the even width. `count` is for 30 m of path or less; longer ones get more.
TimeStrata choose_strata(const LampTrack& track, std::span<const SurfacePacket> points, int count);

/// Which of the strata a packet takes: first, first + step, … with a place inside them per lane.
struct TimeComb {
    int first = 0;
    int step = 1;
    float shift = 0.0f;  ///< in [0, 1): moves all places together
};

/// Lux seconds at each found point of the packet with nothing in between; the comb's strata stand
/// for all.
Lanes unshadowed_lxs(const LampTrack& track, const SurfacePacket& points, const TimeStrata& strata,
                     const TimeComb& comb);

/// What rays to the lamp found, in lux seconds; the comb's strata stand for all.
struct ArrivedLight {
    Lanes arrived_lxs{};
    Lanes asked_lxs{};  ///< the same instants with nothing in between
    int lit = 0;        ///< rays that reached the lamp
    int dark = 0;       ///< rays that something stopped
};

ArrivedLight arrived_light(const LampTrack& track, const RayQuery& rays,
                           const SurfacePacket& points, const TimeStrata& strata,
                           const TimeComb& comb);

}  // namespace lampflight
