// The disc of the sun or the moon: what it looks like, and how much of it is up.
#pragma once

#include <glm/glm.hpp>

#include "scene/shoot/layer_id.h"

namespace lampflight {

/// A disc of which at least the upper edge is above the horizon.
struct SunMoonDisc {
    glm::vec3 direction;  ///< unit, towards its middle
    glm::vec3 normal_lx;  ///< linear Rec. 709 lux on a plane that faces it, if all of it is seen
    float radius_rad;
    LightSource body = LightSource::sun;
    float lit = 1.0f;             ///< lit share of the disc
    float flattening = 1.0f;      ///< its height as a share of its width, by refraction
    glm::vec3 bright_limb{0.0f};  ///< unit, across the direction, towards what lights it
};

/// Unit, across a direction, on the side of another.
glm::vec3 limb_towards(const glm::dvec3& direction, const glm::dvec3& other);

/// Mean over a disc of the sine of the altitude where it is above the horizon, none where it is
/// below; a segment of a circle, which stands for the disc's lit part.
double mean_sine_above(double middle_sine, double radius_rad);

/// Where a direction lies on a disc: in radii, x towards the bright limb. None behind the viewer.
glm::dvec2 place_on_disc(const SunMoonDisc& disc, const glm::vec3& direction);

/// Share of a straight way, at even speed, during which a point lies on the lit part of a disc of
/// radius 1. The bright limb is half a circle, the edge of the dark half an ellipse.
double lit_share(double lit, const glm::dvec2& from, const glm::dvec2& to);

}  // namespace lampflight
