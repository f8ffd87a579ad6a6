// Planned paths as the photograph shows them: where on the film, when, and what the lamps do there.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// What a flight's lamps do on a part of its way: burn, burn but point so far from the camera that
/// its light is five stops and more under the flight's brightest, or not burn at all.
enum class GuideLine { burning, turned_away, dark };

/// A part of a way before the lens, alike all along: places on the film, in pixels.
struct GuideStretch {
    GuideLine line = GuideLine::burning;
    std::vector<Vec2> places;
};

struct GuideTick {
    double time_s;
    Vec2 place;
    Vec2 along;  ///< unit, the way the drone flies on the film
};

/// A flight of a take while its shutter is open, or a drone's way from one flight to the next.
struct GuidePath {
    std::string flight;
    std::size_t take = 0;  ///< its place among those drawn
    bool is_way = false;   ///< between two flights
    double from_s = 0.0;   ///< on the shutter's clock
    double until_s = 0.0;
    bool cut_off = false;  ///< the shutter closes before the flight ends
    std::vector<GuideStretch> stretches;
    std::vector<GuideTick> seconds;  ///< each second in the frame at which it moves
    std::optional<Vec2> start;       ///< on the film, where it lies in the frame
    std::optional<Vec2> end;
};

/// The takes named, or those of the photograph, of a shoot whose camera has the picture's size. The
/// plan: drones neither stray, nor do pulses or their own lights count. No two neighbouring places
/// are farther apart than `step_px`, where they lie in the frame.
std::vector<GuidePath> guide_paths(const PlacedShoot& shoot, std::span<const std::string> takes,
                                   double step_px);

}  // namespace lampflight
