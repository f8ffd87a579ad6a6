// A flight as a row of points, near enough that the straight ways between them stay with its path.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/flights/flight_path.h"

namespace lampflight {

struct PathSample {
    double time_s = 0.0;  ///< on the shutter's clock, of the arrival
    Vec3 at_m{0.0};
    double speed_m_s = 0.0;  ///< the highest on the leg that begins here; 0 at the end
    double hold_s = 0.0;     ///< how long the drone stands here
    bool lit = true;         ///< on the leg that begins here, and so is the aim
    std::optional<Aim> aim{};
};

struct PathRecord {
    std::string name;
    std::vector<PathSample> samples;
    double home_up_m = 0.0;  ///< of take-off, above metre zero
};

/// No point of the path is farther than this from the chords between the samples, and none of them
/// from the path.
constexpr double chord_error_m = 2e-3;

/// Two samples or more: where the flight begins and ends, where it holds, its joints and where its
/// lamps change, and between those as many as its bends need. Nothing where that is more than a
/// file of paths may hold.
std::optional<std::vector<PathSample>> sample_path(const FlightPath& path);

}  // namespace lampflight
