// Ray marching: steps along a line of sight through the air of a round Earth.
#pragma once

#include <glm/glm.hpp>

#include "renderer/air/air_column.h"

namespace lampflight {

/// A line of sight from a point straight above the Earth's centre.
struct Sight {
    double radius_m;  ///< of that point
    glm::dvec3 ray;
    double length_m;
    int steps;
};

struct AirStep {
    glm::dvec3 point_m;  ///< from the Earth's centre
    double height_m;
    float length_m;
    AirColumns density;
    AirColumns view;  ///< up to the middle of the step
};

/// Calls `visit` at steps that widen with the distance. Gives all the air on the way.
template <class Visit>
AirColumns march(const AirOptics& air, const Sight& sight, Visit visit) {
    AirColumns view;
    for (int step = 0; step < sight.steps; ++step) {
        const double share = (step + 0.5) / sight.steps;
        const double dt_m = sight.length_m * 2.0 * share / sight.steps;
        const glm::dvec3 point_m =
            glm::dvec3(0.0, 0.0, sight.radius_m) + sight.length_m * share * share * sight.ray;
        const double height_m = glm::length(point_m) - earth_radius_m;
        const AirColumns density = density_at(air, height_m);
        add(view, density, 0.5 * dt_m);
        visit(AirStep{point_m, height_m, static_cast<float>(dt_m), density, view});
        add(view, density, 0.5 * dt_m);
    }
    return view;
}

}  // namespace lampflight
