// Passage: how near a flight comes to something, as planned and with straying, and through what.
#pragma once

#include <string>
#include <vector>

#include "scene/cautions/flown_take.h"
#include "scene/subjects/box.h"

namespace lampflight {

/// How near a flight comes, in metres.
struct NearPass {
    double planned_m;
    double strays_m = 0.0;  ///< towards it, at the worst

    double nearest_m() const;  ///< 0 at the least

    /// "within 3.2 m of the camera", or "within 3.2 m of the camera, 1.4 m if it strays by 1.8 m".
    std::string words(const std::string& what) const;
};

/// By how much a clearance, of places along the way, may be out.
constexpr double may_touch_m = 1.0;

/// Whether a flight, or what hangs below it by so much, goes through the faces of a mesh or begins
/// inside it. None is farther than `may_touch_m` from a mesh that it goes through.
bool goes_through(const FlownFlight& flown, const Mesh& mesh, double hanging_m);

/// Shortest distance in metres between a flight's places and a box seen from above.
double level_distance_m(const std::vector<Vec3>& places_m, const Box& box);

}  // namespace lampflight
