// Stars: points of light that the lens images while the sky turns. A star of E lux sends
// E (pi/4) (f/N)^2 cos(theta) lumens through the pupil, wherever on the film they land.
// Left out: proper motion, twinkling, and stars fainter than V = 6, whose light is in the night's
// own.
#pragma once

#include <span>
#include <stop_token>

#include "renderer/film/trail_film.h"
#include "renderer/geometry/geometry.h"
#include "scene/basics/time_windows.h"
#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"
#include "scene/shoot/shoot.h"
#include "scene/sky/bright_stars.h"

namespace lampflight {

/// Magnitudes that the air takes from a star at the zenith.
struct StarExtinction {
    double v_mag = 0.2;    ///< common practice for clear air, no source
    double b_v_mag = 0.1;  ///< reddening: of B more than of V; likewise
};

/// The same from the air that the sky is made of: gas, ozone, and haze by the visibility, at 450
/// and 540 nm (near the middles of B and V).
StarExtinction star_extinction(double visibility_km, double elevation_m);

/// The stars over a place.
struct StarField {
    std::span<const BrightStar> stars = bright_stars();
    glm::dmat3 horizon_from_icrs{1.0};  ///< when the shutter opens; to east, north, up; airless
    double latitude_deg = 0.0;  ///< the sky turns about the pole, due north at this altitude
    double elevation_m = 0.0;   ///< for refraction
    StarExtinction extinction{};
    double clear_share = 1.0;  ///< of starlight that clouds let through
};

/// Those over the shoot's place, which it must have, so long after its moment.
StarField star_field(const Shoot& shoot, double after_s);

/// Diameter of a star's image on the film in millimetres: defocus as of a lamp at infinity, joined
/// in quadrature with what a fast wide lens spreads, 0.012 mm (common practice, no source). A
/// seventh of the light goes into a skirt three times as wide, likewise.
double star_width_mm(const Camera& camera, double f_number);

/// Adds the stars' arcs of the times in which the shutter is open to a film of the camera's size,
/// hidden where the geometry stands before them and below the horizon. Aberration (0.006 degrees)
/// is left out. Deterministic; energy is kept but for what falls outside the frame. Returns false
/// if stopped.
bool add_stars(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const StarField& field, const TimeWindows& times, TrailFilm& film,
               const std::stop_token& stop = {});

}  // namespace lampflight
