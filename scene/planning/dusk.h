// Dusk plan: the exposure of sky and ground minute by minute, as the camera's settings see them.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "scene/planning/lit_ground.h"
#include "scene/shoot/placed_shoot.h"
#include "scene/sky/evening.h"

namespace lampflight {

struct DuskMinute {
    double unix_s;
    double sun_altitude_deg;
    double moon_altitude_deg;
    double horizontal_lx;     ///< on open level ground, without lamps
    double sky_stops;         ///< from mid-grey, at the settings; as all stops here
    double ground_stops;      ///< of the lit ground's place without the lamps
    double lit_ground_stops;  ///< and with them
    double wanted_shutter_s;  ///< that would put the sky at the wanted stops
    double star_trail_px;     ///< with that shutter, in the middle of the frame
};

/// A time in which the sky is within half a stop of the wanted; without an end where it stays there
/// until the last minute.
struct DuskWindow {
    double from_s;
    std::optional<double> to_s;
};

/// A take under the sky that it opens to, at its own settings.
struct DuskTake {
    std::string name;
    ExposureSettings settings;
    bool has_lamps;  ///< that reach the ground
    DuskMinute opens;
};

/// When it is, and from when to when it is told.
struct DuskSpan {
    Evening evening;
    double from_s;  ///< whole minutes
    double to_s;
};

struct Dusk {
    std::string take;  ///< whose settings and lamps it is told for
    ExposureSettings settings;
    double want_stops;
    double star_trail_px;  ///< with the settings' shutter, in the middle of the frame
    bool has_lamps;        ///< that reach the ground
    LitGround ground;
    DuskSpan span;
    std::vector<DuskMinute> minutes;
    std::vector<DuskWindow> windows;  ///< to the second
    std::vector<double> alike_s;      ///< when lit ground and sky are as bright, likewise
    DuskMinute nearest;               ///< the minute in which the sky is nearest to the wanted
    std::vector<DuskTake> takes;
};

/// The night of a take's moment (see `evening_of`): from 20 minutes before sunset until the sun is
/// 18 deg down, or lowest; for a moment past the sun's lowest, from -18 deg, or the lowest, to 20
/// minutes after sunrise. Where the sun does not set or rise, 4 hours up to or from its lowest;
/// where it stays down, from or to noon. Wide enough to hold every take with 10 minutes to spare.
/// The shoot must have a place.
DuskSpan dusk_span(const Shoot& shoot, const Take& take);

/// What the sky lays on film at an instant: mean of luminance times lens factor in cd/m2, so that
/// t / N^2 of it is H in lux seconds.
using SkyOnFilm = std::function<double(double unix_s)>;

Dusk dusk_of(const PlacedShoot& shoot, const Take& take, const DuskSpan& span,
             const SkyOnFilm& sky);

}  // namespace lampflight
