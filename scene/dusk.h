// The sky of an evening minute by minute, as the camera's settings see it.
#pragma once

#include <optional>
#include <vector>

#include "scene/evening.h"
#include "scene/shoot.h"

namespace lampflight {

struct DuskMinute {
    double unix_s;
    double sun_altitude_deg;
    double moon_altitude_deg;
    double horizontal_lx;     ///< on open level ground, without lamps
    double sky_stops;         ///< from mid-grey, at the settings
    double wanted_shutter_s;  ///< that would put the sky at the wanted stops
};

/// From the first time on that the sky is within half a stop of the wanted; without an end while it
/// stays there until the last minute.
struct DuskWindow {
    double from_s;
    std::optional<double> to_s;
};

struct Dusk {
    ExposureSettings settings;
    double want_stops;
    std::vector<DuskMinute> minutes;
    std::optional<DuskWindow> window;  ///< to the second
};

/// Stops from mid-grey of a sky in the middle of the frame. Its luminance is taken as E / pi, the
/// mean of the dome weighted as level ground sees it: a first measure, for a clear dusk sky is
/// brighter than that towards the afterglow and darker overhead.
double sky_stops(double horizontal_lx, double lens_transmission, const ExposureSettings& settings);

/// The evening of a place's moment (see `evening_of`): whole minutes from 20 minutes before sunset
/// until the sun is 18 deg down, or lowest; where it does not set, the last 4 hours before it is
/// lowest; where it does not rise, from noon on. The settings are the take's; the shoot must have a
/// place.
Dusk dusk_of(const Shoot& shoot, const Take& take);

}  // namespace lampflight
