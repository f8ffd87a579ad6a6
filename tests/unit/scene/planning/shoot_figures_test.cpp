#include "scene/planning/shoot_figures.h"

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
