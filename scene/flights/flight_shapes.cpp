#include "scene/flights/flight_shapes.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

Vec3 line_start_m(const Flight& flight) {
    return flight.from_m.value_or(Vec3(0.0));
}
Vec3 line_end_m(const Flight& flight) {
    return flight.to_m.value_or(line_start_m(flight));
}

Curve circle_curve(const Flight& flight, double rise_m) {
    const double start_rad = radians(flight.start_bearing_deg);
    const double swept_rad = 2.0 * pi * flight.turns * (flight.clockwise ? 1.0 : -1.0);
    const Vec3 centre_m(flight.centre_m, flight.height_m);
    return [=, radius_m = flight.radius_m](double parameter) {
        return centre_m + radius_m * direction_of(start_rad + swept_rad * parameter) +
               Vec3(0.0, 0.0, rise_m * parameter);
    };
}

Curve ring_curve(const Flight& flight) {
    const double start_rad = radians(flight.start_clock_deg);
    const double swept_rad = 2.0 * pi * flight.turns * (flight.clockwise ? 1.0 : -1.0);
    const Vec3 centre_m(flight.centre_m, flight.height_m);
    const double facing_deg = flight.facing_deg.value_or(180.0);
    // To the right hand of someone who stands before the face and looks at it.
    const Vec3 right = direction_of(radians(facing_deg - 90.0));
    const double tilt_rad = radians(flight.tilt_deg);
    const Vec3 top = std::cos(tilt_rad) * Vec3(0.0, 0.0, 1.0) -
                     std::sin(tilt_rad) * direction_of(radians(facing_deg));
    return [=, radius_m = flight.radius_m](double parameter) {
        const double clock_rad = start_rad + swept_rad * parameter;
        return centre_m + radius_m * (std::sin(clock_rad) * right + std::cos(clock_rad) * top);
    };
}

}  // namespace

Curve curve_of(const Flight& flight) {
    switch (flight.shape) {
        case FlightShape::circle:
            return circle_curve(flight, 0.0);
        case FlightShape::helix:
            return circle_curve(flight, flight.rise_m);
        case FlightShape::ring:
            return ring_curve(flight);
        default:
            break;
    }
    const Vec3 from_m = line_start_m(flight);
    const Vec3 whole_m = line_end_m(flight) - from_m;
    return [=](double parameter) { return from_m + whole_m * parameter; };
}

Vec3 centre_of(const Flight& flight) {
    if (flight.shape == FlightShape::line) return 0.5 * (line_start_m(flight) + line_end_m(flight));
    const double climbed_m = flight.shape == FlightShape::helix ? 0.5 * flight.rise_m : 0.0;
    return {flight.centre_m, flight.height_m + climbed_m};
}

double turns_of(const Flight& flight) {
    return flight.shape == FlightShape::line ? 1.0 : std::max(flight.turns, 0.0);
}

bool closes(FlightShape shape) {
    return shape == FlightShape::circle || shape == FlightShape::ring;
}

}  // namespace lampflight
