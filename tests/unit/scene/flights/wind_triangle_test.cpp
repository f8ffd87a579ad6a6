// Speed over ground where speed through the air is limited: the wind triangle of air navigation.
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/course.h"
#include "scene/flights/flight_path.h"
#include "scene/flights/flight_plan.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// So far on a bearing, quick to gain speed.
Flight blown_line(double bearing_deg, double wind_m_s) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(0.0, 0.0, 20.0);
    flight.to_m = *flight.from_m + 200.0 * direction_of(radians(bearing_deg));
    flight.limits = {.acceleration_m_s2 = 20.0, .air_m_s = 5.0};
    flight.speed_m_s = 50.0;
    flight.wind_m_s = {0.0, -wind_m_s, 0.0};  // from the north
    return flight;
}

}  // namespace

TEST_CASE("over ground a drone is as fast as the wind triangle says") {
    // Ground speed = sqrt(A^2 - across^2) + along (air navigation handbooks): 3-4-5 across the
    // wind.
    CHECK_RELATIVE(FlightPath(blown_line(90.0, 3.0), 1.0).top_speed_m_s(), 4.0, 1e-9);
    CHECK_RELATIVE(FlightPath(blown_line(0.0, 3.0), 1.0).top_speed_m_s(), 2.0, 1e-9);
    CHECK_RELATIVE(FlightPath(blown_line(180.0, 3.0), 1.0).top_speed_m_s(), 8.0, 1e-9);
    CHECK_RELATIVE(FlightPath(blown_line(0.0, 0.0), 1.0).top_speed_m_s(), 5.0, 1e-9);
    const double along = -3.0 * std::cos(radians(30.0)), across = 3.0 * std::sin(radians(30.0));
    CHECK_RELATIVE(FlightPath(blown_line(30.0, 3.0), 1.0).top_speed_m_s(),
                   std::sqrt(25.0 - across * across) + along, 1e-9);
    CHECK(binding_of(blown_line(0.0, 3.0)).which == SpeedBound::air);
    CHECK(binding_of(blown_line(0.0, 3.0)).value == 5.0);
    // Climbing counts; against too strong a wind there is no way.
    CHECK_RELATIVE(most_over_ground_m_s({0.0, 0.0, 1.0}, {3.0, 0.0, 0.0}, 5.0), 4.0, 1e-12);
    CHECK(most_over_ground_m_s({0.0, 1.0, 0.0}, {0.0, -6.0, 0.0}, 5.0) == 0.0);
    CHECK(most_over_ground_m_s({1.0, 0.0, 0.0}, {0.0, -6.0, 0.0}, 5.0) == 0.0);
}

TEST_CASE(
    "round a circle in the wind no moment is too fast through the air, and some are as fast") {
    Flight flight;
    flight.height_m = 20.0;
    flight.radius_m = 20.0;
    flight.speed_m_s = 50.0;
    flight.limits = {.acceleration_m_s2 = 4.0, .air_m_s = 6.0};
    flight.wind_m_s = {3.0, -3.0, 0.0};
    const FlightPath path(flight, 1.0);
    double most_m_s = 0.0, over_ground_m_s = 0.0, least_m_s = 1e9;
    for (int i = 0; i <= 4000; ++i) {
        const double share = i / 4000.0;
        const Vec3 velocity = path.velocity_m_s(path.duration_s() * share);
        most_m_s = std::max(most_m_s, glm::distance(velocity, flight.wind_m_s));
        over_ground_m_s = std::max(over_ground_m_s, glm::length(velocity));
        if (share > 0.2 && share < 0.8) least_m_s = std::min(least_m_s, glm::length(velocity));
    }
    CHECK(most_m_s <= 6.0 * (1.0 + 1e-9));
    CHECK_RELATIVE(most_m_s, 6.0, 0.01);
    const double wind_m_s = 3.0 * std::sqrt(2.0);
    CHECK_RELATIVE(least_m_s, 6.0 - wind_m_s, 0.03);  // dead against it
    CHECK(over_ground_m_s > 6.0);
    CHECK(over_ground_m_s < 6.0 + wind_m_s);
}
