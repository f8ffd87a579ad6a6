// Where lamps sit on a drone, and how it leans.
#include "scene/flights/attitude.h"

#include <array>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double gravity_m_s2 = 9.80665;  // standard gravity, ISO 80000-3

PlacedShoot on_an_orbit(double radius_m, double lap_s) {
    PlacedShoot shoot;
    shoot.camera.shutter_s = lap_s;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    Flight flight;
    flight.name = "orbit";
    flight.radius_m = radius_m;
    flight.lap_s = lap_s;
    flight.start_bearing_deg = 0.0;
    flight.carries = {"warm"};
    shoot.flights = {flight};
    Take take;
    take.name = "one";
    take.flights = {"orbit"};
    shoot.takes = {take};
    return shoot;
}

LitLamp only_lamp(const Shoot& shoot) {
    return lit_lamps(shoot, shoot.takes.front()).front();
}

}  // namespace

TEST_CASE("an orbit's bank is the angle whose tangent is v^2 / r g") {
    // Bank atan(a/g) of circular orbits, elementary mechanics; computed.
    struct Row {
        double radius_m, lap_s, bank_deg;
    };
    constexpr std::array rows{Row{5.0, 20.0, 2.8807498}, Row{5.0, 25.0, 1.8445974},
                              Row{10.0, 30.0, 2.5611192}};
    for (const Row& row : rows) {
        const Shoot shoot = on_an_orbit(row.radius_m, row.lap_s);
        const FlightPath path(shoot.flights.front(), row.lap_s);
        for (double time_s = 0.1; time_s < row.lap_s; time_s += 1.3) {
            const Vec3 up = attitude(path, {}, time_s)[2];
            CHECK_RELATIVE(degrees(std::acos(up.z)), row.bank_deg, 1e-5);
            // Towards the centre.
            const Vec3 inwards = glm::normalize(path.centre_m() - path.position_m(time_s));
            CHECK_RELATIVE(glm::dot(up, inwards), std::sin(radians(row.bank_deg)), 1e-5);
        }
    }
}

TEST_CASE("against the wind a drone leans by its drag over its weight") {
    Drone drone;
    drone.mass_kg = 1.5;
    drone.lamp_mass_kg = 0.0;
    drone.drag_area_m2 = 0.03;
    Flight hover;
    hover.shape = FlightShape::hover;
    hover.lap_s = 10.0;
    const FlightPath path(hover, 10.0);
    const Airframe airframe = airframe_of(drone, Vec3(0.0, -8.0, 0.0));  // from the north
    const Vec3 up = attitude(path, airframe, 5.0)[2];
    // Drag rho C A v^2 / 2 with 1.225 kg/m3 (ISO 2533 standard atmosphere).
    const double drag_n = 0.5 * 1.225 * 0.03 * 64.0;
    CHECK_WITHIN(up.x, 0.0, 1e-12);
    CHECK_RELATIVE(std::atan2(up.y, up.z), std::atan(drag_n / (1.5 * gravity_m_s2)), 1e-9);
}

TEST_CASE("a drone's axes are a turn of the world's") {
    const Shoot shoot = on_an_orbit(4.0, 6.0);
    Flight flight = shoot.flights.front();
    for (const Nose nose : {Nose::kept, Nose::ahead, Nose::centre}) {
        flight.nose = nose;
        flight.nose_deg = 70.0;
        const FlightPath path(flight, 6.0);
        for (double time_s = 0.0; time_s < 6.0; time_s += 0.7) {
            const glm::dmat3 axes = attitude(path, {0.02, {3.0, 1.0, 0.0}}, time_s);
            CHECK_WITHIN(glm::determinant(axes), 1.0, 1e-12);
            CHECK_WITHIN(glm::dot(axes[0], axes[1]), 0.0, 1e-12);
            CHECK_WITHIN(glm::length(axes[2]), 1.0, 1e-12);
        }
    }
}

TEST_CASE("two lamps on one drone keep apart, and turn with its nose") {
    PlacedShoot shoot = on_an_orbit(50.0, 600.0);  // so slow that it hardly leans
    shoot.lamps.front().offset_m = {0.3, 0.0, -0.1};
    const LitLamp kept = only_lamp(shoot);
    const FlightPath path(shoot.flights.front(), 600.0);
    for (const double time_s : {0.0, 150.0, 300.0})
        CHECK_WITHIN(kept.position_m(time_s), path.position_m(time_s) + Vec3(0.3, 0.0, -0.1), 1e-3);
    shoot.flights.front().nose = Nose::ahead;
    const LitLamp turned = only_lamp(shoot);
    // Clockwise from the north: the right hand is to the centre.
    for (const double time_s : {0.0, 150.0, 300.0}) {
        const Vec3 inwards = glm::normalize(path.centre_m() - path.position_m(time_s));
        CHECK_WITHIN(turned.position_m(time_s),
                     path.position_m(time_s) + 0.3 * inwards - Vec3(0.0, 0.0, 0.1), 1e-3);
    }
}

TEST_CASE("a fixed lamp tilts with the drone, a level one does not") {
    PlacedShoot shoot = on_an_orbit(5.0, 20.0);
    CHECK(aim_direction(only_lamp(shoot), {}, 3.0) == Vec3(0.0, 0.0, -1.0));
    shoot.lamps.front().mount = Mount::fixed;
    const LitLamp fixed = only_lamp(shoot);
    const Ride& ride = fixed.ride_at(3.0);
    CHECK_WITHIN(aim_direction(fixed, {}, 3.0), -attitude(*ride.path, ride.airframe, 3.0)[2], 1e-12);
    CHECK(aim_direction(fixed, {}, 3.0).z > -1.0);
    shoot.lamps.front().aim = AimWord::ahead;
    shoot.flights.front().nose_deg = 90.0;
    CHECK_WITHIN(aim_direction(only_lamp(shoot), {}, 3.0),
                 attitude(*only_lamp(shoot).ride_at(3.0).path, ride.airframe, 3.0)[1], 1e-9);
}

TEST_CASE("a strip hangs plumb from its place") {
    PlacedShoot shoot = on_an_orbit(5.0, 20.0);
    shoot.lamps.front().hang_m = 3.0;
    const LitLamp strip = only_lamp(shoot);
    const Vec3 top_m = strip.position_m(4.0, 0.0);
    CHECK_WITHIN(strip.position_m(4.0, 1.0), top_m - Vec3(0.0, 0.0, 3.0), 1e-12);
    CHECK_WITHIN(strip.position_m(4.0), top_m - Vec3(0.0, 0.0, 1.5), 1e-12);
}
