// Sun and moon on the film: discs that move while the shutter is open.
#pragma once

#include <stop_token>
#include <vector>

#include "renderer/film/trail_film.h"
#include "renderer/geometry/geometry.h"
#include "renderer/sky/sun_moon_disc.h"
#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"

namespace lampflight {

/// A stretch of a disc's way over the sky, short enough to be straight: where it stands when the
/// stretch begins and what way its middle goes.
struct DiscLeg {
    SunMoonDisc disc;
    glm::vec3 to;  ///< unit
    double lasts_s;
};

/// The way of a disc in the times of a shutter that opens `after_s` after the place's moment. Its
/// light stays what it is at the start.
std::vector<DiscLeg> disc_legs(const Shoot& shoot, const SunMoonDisc& disc, double after_s,
                               const TimeWindows& times);

/// Adds the disc's image to a film of the camera's size, smeared along its way, hidden where the
/// geometry stands before it and below the horizon. Deterministic; energy is kept. Returns
/// false if stopped.
bool add_disc_trail(const Camera& camera, const ExposureSettings& settings,
                    const Geometry& geometry, const std::vector<DiscLeg>& legs, TrailFilm& film,
                    const std::stop_token& stop = {});

}  // namespace lampflight
