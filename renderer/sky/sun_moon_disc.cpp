#include "renderer/sky/sun_moon_disc.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "renderer/sampling/directions.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// A stretch of the way as shares of it; empty where `to` is not above `from`.
struct Stretch {
    double from = 0.0;
    double to = 1.0;

    double length() const { return std::max(0.0, to - from); }
};

Stretch common(const Stretch& one, const Stretch& other) {
    return {std::max(one.from, other.from), std::min(one.to, other.to)};
}

/// Where the way runs within x^2 / width^2 + y^2 < 1.
Stretch within_ellipse(const glm::dvec2& from, const glm::dvec2& to, double width) {
    const glm::dvec2 start(from.x / width, from.y);
    const glm::dvec2 way((to.x - from.x) / width, to.y - from.y);
    const double a = glm::dot(way, way);
    const double c = glm::dot(start, start) - 1.0;
    if (a < 1e-18) return c < 0.0 ? Stretch{} : Stretch{1.0, 0.0};
    const double b = glm::dot(start, way);
    const double root2 = b * b - a * c;
    if (root2 <= 0.0) return {1.0, 0.0};
    const double root = std::sqrt(root2);
    return common({}, {(-b - root) / a, (-b + root) / a});
}

/// Where the way has x >= 0.
Stretch bright_side(const glm::dvec2& from, const glm::dvec2& to) {
    if (from.x >= 0.0 && to.x >= 0.0) return {};
    if (from.x < 0.0 && to.x < 0.0) return {1.0, 0.0};
    const double crossing = from.x / (from.x - to.x);
    return from.x < 0.0 ? Stretch{crossing, 1.0} : Stretch{0.0, crossing};
}

}  // namespace

glm::vec3 limb_towards(const glm::dvec3& direction, const glm::dvec3& other) {
    const glm::dvec3 aside = other - glm::dot(other, direction) * direction;
    const double length = glm::length(aside);
    return length > 1e-9 ? glm::vec3(aside / length) : across(glm::vec3(direction)).tangent;
}

double mean_sine_above(double middle_sine, double radius_rad) {
    const double height = std::clamp(middle_sine / radius_rad, -1.0, 1.0);
    if (height == 1.0) return middle_sine;
    const double half_chord = std::sqrt(1.0 - height * height);
    return radius_rad / pi *
           (height * (0.5 * pi + std::asin(height) + height * half_chord) +
            2.0 / 3.0 * half_chord * half_chord * half_chord);
}

glm::dvec2 place_on_disc(const SunMoonDisc& disc, const glm::vec3& direction) {
    const glm::dvec3 middle(disc.direction);
    const double cosine = glm::dot(glm::dvec3(direction), middle);
    if (cosine <= 0.0) return glm::dvec2(std::numeric_limits<double>::infinity());
    const double radius = std::tan(static_cast<double>(disc.radius_rad));
    glm::dvec3 aside = (glm::dvec3(direction) / cosine - middle) / radius;
    const glm::dvec3 zenith = glm::dvec3(0.0, 0.0, 1.0) - middle.z * middle;
    const double level = glm::length(zenith);
    if (level > 1e-9) {
        const glm::dvec3 up = zenith / level;
        aside += glm::dot(aside, up) * (1.0 / static_cast<double>(disc.flattening) - 1.0) * up;
    }
    const glm::dvec3 limb(disc.bright_limb);
    return {glm::dot(aside, limb), glm::dot(aside, glm::cross(middle, limb))};
}

double lit_share(double lit, const glm::dvec2& from, const glm::dvec2& to) {
    const Stretch on_disc = within_ellipse(from, to, 1.0);
    if (on_disc.length() <= 0.0) return 0.0;
    const double edge = 1.0 - 2.0 * lit;  // where the ellipse crosses the x axis
    const double bright = common(on_disc, bright_side(from, to)).length();
    if (std::abs(edge) < 1e-6) return bright;
    // Of a crescent the ellipse is cut out on the bright side; a gibbous disc has it on the other.
    const Stretch ellipse = within_ellipse(from, to, std::abs(edge));
    const double ellipse_bright = common(ellipse, bright_side(from, to)).length();
    return edge > 0.0 ? bright - ellipse_bright
                      : bright + std::max(0.0, ellipse.length() - ellipse_bright);
}

}  // namespace lampflight
