// A path on the shutter's clock: when it begins, what burns along it, where the nose points.
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/flight_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight bent_flight() {
    Flight flight;
    flight.shape = FlightShape::waypoints;
    for (const Vec3& corner : {Vec3(0.0, 0.0, 5.0), Vec3(0.0, 10.0, 5.0), Vec3(0.0, 10.0, 15.0),
                               Vec3(10.0, 10.0, 15.0)}) {
        Waypoint vertex;
        vertex.at_m = corner;
        flight.path.push_back(vertex);
    }
    flight.speed_m_s = 2.0;
    return flight;
}

}  // namespace

TEST_CASE("a flight that begins later stands at its start until then") {
    Flight flight;
    flight.lap_s = 20.0;
    const FlightPath path(flight, 30.0);
    for (const double begins_s : {-7.0, 12.5}) {
        const FlightPath later(flight, 30.0, begins_s);
        CHECK(later.begins_s() == begins_s);
        CHECK(later.ends_s() == begins_s + 20.0);
        for (const double since_s : {-3.0, 0.0, 4.0, 11.0, 20.0, 90.0}) {
            CHECK_WITHIN(later.position_m(begins_s + since_s), path.position_m(since_s), 1e-12);
            CHECK_WITHIN(later.acceleration_m_s2(begins_s + since_s),
                         path.acceleration_m_s2(since_s), 1e-12);
            CHECK_WITHIN(later.flown_m(begins_s + since_s), path.flown_m(since_s), 1e-12);
        }
        CHECK_WITHIN(later.time_at_s(0.5 * path.length_m()), begins_s + 10.0, 1e-9);
        CHECK(later.time_at_s(-1.0) == begins_s);
        CHECK_WITHIN(later.time_at_s(1e9), later.ends_s(), 1e-12);
    }
}

TEST_CASE("a circle's acceleration points to its centre, and there is none outside the flight") {
    Flight flight;
    flight.lap_s = 20.0;
    const FlightPath path(flight, 30.0);
    const Vec3 inward = path.centre_m() - path.position_m(3.0);
    CHECK_WITHIN(path.acceleration_m_s2(3.0), inward * std::pow(2.0 * pi / 20.0, 2.0), 1e-12);
    CHECK(path.acceleration_m_s2(-0.1) == Vec3(0.0));
    CHECK(path.acceleration_m_s2(20.1) == Vec3(0.0));
    flight.limits = {5.0, 2.0};
    const FlightPath limited(flight, 30.0);
    CHECK_WITHIN(glm::length(limited.acceleration_m_s2(1e-9)), 2.0, 1e-3);
}

TEST_CASE("stretches of a drawn path are its legs, neighbours alike together") {
    Flight flight = bent_flight();
    flight.corner_radius_m = 0.0;
    FlightPath path(flight, 10.0);
    REQUIRE(path.stretches().size() == 1);
    CHECK(path.stretches()[0].from_m == 0.0);
    CHECK(path.stretches()[0].to_m == path.length_m());
    flight.path[1].lit = false;
    flight.path[2].aim = Aim(AimWord::down);
    path = FlightPath(flight, 10.0);
    REQUIRE(path.stretches().size() == 3);
    CHECK_FALSE(path.stretches()[1].lit);
    CHECK_WITHIN(path.stretches()[1].from_m, 10.0, 1e-12);
    CHECK_WITHIN(path.stretches()[1].to_m, 20.0, 1e-12);
    CHECK(path.stretches()[2].aim == Aim(AimWord::down));
    CHECK(path.stretches()[2].to_m == path.length_m());
}

TEST_CASE("a nose along the course keeps its bearing where it climbs straight") {
    Flight flight = bent_flight();
    flight.corner_radius_m = 0.0;
    flight.path[0].at_m = Vec3(10.0, 10.0, 5.0);  // flies west first
    flight.nose = Nose::ahead;
    const FlightPath path(flight, 10.0);
    CHECK_WITHIN(degrees(path.nose_rad(2.0)), 270.0, 1e-9);
    CHECK_WITHIN(degrees(path.nose_rad(7.0)), 270.0, 1e-9);
    CHECK(path.heading_rad(7.0) == 0.0);
    CHECK_WITHIN(degrees(path.nose_rad(12.0)), 90.0, 1e-9);
    // Climbing first, it looks where it will go.
    flight.path.erase(flight.path.begin());
    CHECK_WITHIN(degrees(FlightPath(flight, 10.0).nose_rad(1.0)), 90.0, 1e-9);
}

TEST_CASE("a nose to the centre, and one that is kept") {
    Flight flight;
    flight.lap_s = 20.0;
    flight.start_bearing_deg = 0.0;
    flight.nose_deg = -90.0;
    CHECK_WITHIN(degrees(FlightPath(flight, 10.0).nose_rad(3.0)), 270.0, 1e-9);
    flight.nose = Nose::centre;
    CHECK_WITHIN(degrees(FlightPath(flight, 10.0).nose_rad(0.0)), 180.0, 1e-9);
    CHECK_WITHIN(degrees(FlightPath(flight, 10.0).nose_rad(5.0)), 270.0, 1e-9);
    flight.nose = Nose::ahead;
    CHECK_WITHIN(degrees(FlightPath(flight, 10.0).nose_rad(5.0)), 180.0, 1e-9);
}
