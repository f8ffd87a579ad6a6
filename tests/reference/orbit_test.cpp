// Orbits in numbers: elementary mechanics, standard gravity 9.80665 m/s2; computed.
#include <array>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/flight_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

struct Row {
    double radius_m, lap_s;
    double speed_m_s, acceleration_m_s2, bank_deg, yaw_deg_s, length_m;
};

constexpr std::array rows{Row{5.0, 20.0, 1.5707963, 0.49348022, 2.8807498, 18.0, 31.415927},
                          Row{5.0, 25.0, 1.2566371, 0.31582734, 1.8445974, 14.4, 31.415927},
                          Row{10.0, 30.0, 2.0943951, 0.43864908, 2.5611192, 12.0, 62.831853}};

void check_row(const FlightPath& path, const Row& row) {
    CHECK_RELATIVE(path.length_m(), row.length_m, 1e-6);
    CHECK_RELATIVE(path.lap_s(), row.lap_s, 1e-12);
    CHECK_RELATIVE(path.speed_m_s(), row.speed_m_s, 1e-6);
    CHECK_RELATIVE(path.top_acceleration_m_s2(), row.acceleration_m_s2, 1e-6);
    CHECK_RELATIVE(degrees(std::atan(path.top_acceleration_m_s2() / 9.80665)), row.bank_deg, 1e-6);
}

}  // namespace

TEST_CASE("speed, acceleration, bank, yaw rate and length of circular orbits") {
    for (const Row& row : rows) {
        Flight flight;
        flight.radius_m = row.radius_m;
        flight.lap_s = row.lap_s;
        const FlightPath path(flight, 15.0);
        check_row(path, row);
        const double turned_rad = path.heading_rad(0.5) - path.heading_rad(0.0);
        CHECK_RELATIVE(degrees(std::remainder(turned_rad, 2.0 * pi)) / 0.5, row.yaw_deg_s, 1e-6);
    }
}

TEST_CASE("the same orbits flown by speed, and upright") {
    for (const Row& row : rows) {
        Flight flight;
        flight.radius_m = row.radius_m;
        flight.speed_m_s = 2.0 * pi * row.radius_m / row.lap_s;
        check_row(FlightPath(flight, 15.0), row);
        flight.shape = FlightShape::ring;
        flight.height_m = 12.0;
        check_row(FlightPath(flight, 15.0), row);
    }
}

// A helix of radius r that climbs c a radian has curvature r / (r^2 + c^2) (do Carmo, differential
// geometry; from memory) and length 2 pi n sqrt(r^2 + c^2).
TEST_CASE("length and acceleration of a helix") {
    Flight flight;
    flight.shape = FlightShape::helix;
    flight.radius_m = 5.0;
    flight.turns = 2.5;
    flight.rise_m = 10.0;
    flight.lap_s = 20.0;
    const FlightPath path(flight, 15.0);
    const double climb_m = 10.0 / (2.0 * pi * 2.5);
    const double length_m = 2.0 * pi * 2.5 * std::hypot(5.0, climb_m);
    CHECK_RELATIVE(path.length_m(), length_m, 1e-9);
    CHECK_RELATIVE(path.duration_s(), 50.0, 1e-12);
    const double speed_m_s = length_m / 50.0;
    CHECK_RELATIVE(path.top_acceleration_m_s2(),
                   speed_m_s * speed_m_s * 5.0 / (25.0 + climb_m * climb_m), 1e-6);
}
