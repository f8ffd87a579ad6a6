// Trails: the lamp itself, imaged by the lens while it moves. A lamp of intensity I at distance d
// sends I A cos(theta) / d^2 lumens through a pupil of area A = (pi/4) (f/N)^2; the flux lands on
// the image of its face, so that a stretch flown at speed v across the film leaves
// H = (pi/4) T I f / (N^2 d w v) lux seconds over an image w wide, whatever the shutter time.
#pragma once

#include <stop_token>

#include "renderer/film/trail_film.h"
#include "renderer/geometry/geometry.h"
#include "renderer/lamp_light/lamp_track.h"

namespace lampflight {

/// Adds a lamp's trail to a film of the camera's size, hidden where the geometry stands before it.
/// Deterministic, whatever the number of threads; energy is kept but for what falls outside the
/// frame. As wide as trail_width.h says; diffraction comes with the point spread. Returns false if
/// stopped.
bool add_trail(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const LampTrack& track, TrailFilm& film, const std::stop_token& stop = {});

}  // namespace lampflight
