// Flights against the wind, by the wind triangle and by the balance of forces.
#include "scene/shoot/in_wind.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Eastwards at 3 m/s, in a wind from the north.
InWind crossing(double wind_m_s, std::optional<double> gust_m_s) {
    Shoot shoot;
    shoot.air.wind_m_s = wind_m_s;
    shoot.air.gust_m_s = gust_m_s;
    Drone drone;
    drone.mass_kg = 1.3;
    drone.lamp_mass_kg = 0.2;
    drone.drag_area_m2 = 0.03;
    shoot.drones = {drone};
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(0.0, 0.0, 5.0);
    flight.to_m = Vec3(30.0, 0.0, 5.0);
    flight.speed_m_s = 4.0;
    shoot.flights = {flight};
    const FlightPath path(flight, 10.0);
    const auto wind = in_wind(shoot, {&shoot.flights.front(), path, path.duration_s()});
    REQUIRE(wind.has_value());
    return *wind;
}

/// Drag rho C A v^2 / 2 over weight; air of the ISO 2533 standard atmosphere.
double lean_deg(double air_m_s) {
    return degrees(std::atan(0.5 * 1.225 * 0.03 * air_m_s * air_m_s / (1.5 * 9.80665)));
}

}  // namespace

TEST_CASE("across the wind a drone heads into it, and leans by its speed through the air") {
    const InWind wind = crossing(3.0, std::nullopt);
    CHECK_RELATIVE(wind.air_m_s, 5.0, 1e-9);  // 3-4-5
    CHECK_RELATIVE(*wind.crab_deg, degrees(std::atan2(3.0, 4.0)), 1e-9);
    CHECK_RELATIVE(wind.lean_deg, lean_deg(5.0), 1e-9);
    CHECK(wind.gust_air_m_s == wind.air_m_s);
    CHECK(wind.gust_lean_deg == wind.lean_deg);
    // Slower than the wind it heads into that, whatever its course.
    CHECK_FALSE(crossing(4.5, std::nullopt).crab_deg.has_value());
    const InWind gusty = crossing(3.0, 7.0);
    CHECK_RELATIVE(gusty.air_m_s, 5.0, 1e-9);
    CHECK_RELATIVE(gusty.gust_air_m_s, std::hypot(4.0, 7.0), 1e-9);
    CHECK_RELATIVE(gusty.gust_lean_deg, lean_deg(std::hypot(4.0, 7.0)), 1e-9);
    CHECK_RELATIVE(crossing(0.0, 3.0).gust_air_m_s, 5.0, 1e-9);
    CHECK_WITHIN(*crossing(0.0, 3.0).crab_deg, 0.0, 1e-5);
}

TEST_CASE("there is nothing to tell without wind, and no crab of what hovers") {
    Shoot shoot;
    Flight flight;
    flight.shape = FlightShape::hover;
    flight.lap_s = 5.0;
    shoot.flights = {flight};
    const FlownFlight flown{&shoot.flights.front(), FlightPath(flight, 5.0), 5.0};
    CHECK_FALSE(in_wind(shoot, flown).has_value());
    shoot.air.wind_m_s = 6.0;
    CHECK_WITHIN(in_wind(shoot, flown)->air_m_s, 6.0, 1e-12);
    CHECK_FALSE(in_wind(shoot, flown)->crab_deg.has_value());
}
