#include "scene/planning/shoot_figures.h"

#include <optional>

#include "scene/shoot/own_lights.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A line of 30 m, flown in 10 s.
FlightFigures line_figures(double shutter_s) {
    PlacedShoot shoot;
    Flight flight;
    flight.name = "line";
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-15.0, 0.0, 5.0);
    flight.to_m = Vec3(15.0, 0.0, 5.0);
    flight.speed_m_s = 3.0;
    shoot.flights = {flight};
    shoot.camera.shutter_s = shutter_s;
    Take take;
    take.name = "take";
    take.flights = {"line"};
    shoot.takes = {take};
    return shoot_figures(shoot).takes.at(0).flights.at(0);
}

}  // namespace

TEST_CASE("a flight's seconds: those while the shutter is open, and all of them") {
    const FlightFigures cut = line_figures(4.0);
    CHECK_WITHIN(cut.airborne_s, 4.0, 1e-9);
    CHECK_WITHIN(cut.flown_s, 10.0, 1e-9);
    const FlightFigures whole = line_figures(25.0);
    CHECK_WITHIN(whole.airborne_s, 10.0, 1e-9);
    CHECK_WITHIN(whole.flown_s, 10.0, 1e-9);
}

// Worked by hand: 500 lm all round are 39.79 cd, of which a flash of 0.05 s looks like a fifth; dots
// of 60 a minute on lines of 3 m/s and 1.5 m/s lie 3 m and 1.5 m apart.
TEST_CASE("own lights have figures of their own and leave those of shapes alone") {
    PlacedShoot shoot;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    Flight fast;
    fast.name = "fast";
    fast.shape = FlightShape::line;
    fast.from_m = Vec3(-15.0, 0.0, 5.0);
    fast.to_m = Vec3(15.0, 0.0, 5.0);
    fast.speed_m_s = 3.0;
    fast.carries = {"warm"};
    Flight slow = fast;
    slow.name = "slow";
    slow.speed_m_s = 1.5;
    shoot.flights = {fast, slow};
    Take one;
    one.name = "one";
    one.flights = {"fast"};
    Take other;
    other.name = "other";
    other.flights = {"slow"};
    shoot.takes = {one, other};
    const ShootFigures dark = shoot_figures(shoot);
    CHECK(dark.own_lights.empty());
    shoot.drones.resize(1);
    shoot.drones.front().own_lights = OwnLights::showing;
    shoot.drones.front().beacon.pulse.per_minute = 60.0;
    add_own_lights(shoot);
    const ShootFigures figures = shoot_figures(shoot);
    REQUIRE(figures.own_lights.size() == 4);
    CHECK(figures.own_lights[0].name == "left light");
    CHECK_FALSE(figures.own_lights[0].least_apart_m.has_value());
    const OwnLightFigures& beacon = figures.own_lights[3];
    CHECK_WITHIN(beacon.effective_cd, 500.0 / (4.0 * 3.14159265358979) / 5.0, 1e-9);
    CHECK_WITHIN(beacon.least_apart_m.value_or(0.0), 1.5, 1e-9);
    CHECK_WITHIN(beacon.most_apart_m.value_or(0.0), 3.0, 1e-9);
    const TakeFigures& take = figures.takes.front();
    CHECK(take.lamps.back().name == "beacon");
    CHECK(take.lamps.back().flashes == std::optional<std::size_t>(25));
    // The line is still the lamp's, though the beacon burns before and after it.
    CHECK(take.flights[0].seen.line_px == dark.takes.front().flights[0].seen.line_px);
    CHECK(take.flights[0].seen.figure_px->longer ==
          dark.takes.front().flights[0].seen.figure_px->longer);
}
