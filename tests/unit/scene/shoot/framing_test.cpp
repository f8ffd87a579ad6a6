#include "scene/shoot/framing.h"

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Level at the origin looking north; at 10 m half the frame is 2.5 m wide and 20 m high.
Camera tall_camera() {
    Camera camera;
    camera.position_m = {0.0, 0.0, 0.0};
    camera.sensor_mm = {10.0, 80.0};
    camera.pixels = {500, 4000};
    camera.focal_mm = 20.0;
    return camera;
}

/// Upright ring of 5 m about (0, 10, 0), one lap in 12 s.
Flight ring() {
    Flight flight;
    flight.shape = FlightShape::ring;
    flight.centre_m = {0.0, 10.0};
    flight.height_m = 0.0;
    flight.lap_s = 12.0;
    return flight;
}

Flight line(const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = 10.0;
    return flight;
}

double closure_of(double turns, double lap_s, double shutter_s,
                  FlightShape shape = FlightShape::circle) {
    Flight flight;
    flight.shape = shape;
    flight.turns = turns;
    flight.lap_s = lap_s;
    return closure_deg(flight, FlightPath(flight, shutter_s), shutter_s);
}

}  // namespace

TEST_CASE("a ring twice as wide as the frame is inside it for a third of its time") {
    // |sin| <= 1/2 for a third of a turn.
    const Framing framing = frame_flight(tall_camera(), FlightPath(ring(), 15.0), 15.0);
    CHECK_WITHIN(framing.in_frame, 1.0 / 3.0, 1e-3);
    REQUIRE(framing.box.has_value());
    CHECK_WITHIN(framing.box->left, -0.5, 1e-6);
    CHECK_WITHIN(framing.box->right, 1.5, 1e-6);
    CHECK_WITHIN(framing.box->top, 0.375, 1e-6);
    CHECK_WITHIN(framing.box->bottom, 0.625, 1e-6);
}

TEST_CASE("only what is flown while the shutter is open counts") {
    // From its lowest point clockwise to the left: half a lap, all of it left of the middle.
    const Framing framing = frame_flight(tall_camera(), FlightPath(ring(), 6.0), 6.0);
    REQUIRE(framing.box.has_value());
    CHECK_WITHIN(framing.box->left, -0.5, 1e-6);
    CHECK_WITHIN(framing.box->right, 0.5, 1e-6);
}

TEST_CASE("a small figure is wholly inside") {
    Flight flight = ring();
    flight.radius_m = 1.0;
    const Framing framing = frame_flight(tall_camera(), FlightPath(flight, 15.0), 15.0);
    CHECK(framing.in_frame == 1.0);
    REQUIRE(framing.box.has_value());
    CHECK_WITHIN(framing.box->right - framing.box->left, 0.4, 1e-6);
}

TEST_CASE("behind the camera there is no box; half behind leaves half the time") {
    const Framing behind =
        frame_flight(tall_camera(), FlightPath(line({-1, -5, 0}, {1, -5, 0}), 10.0), 10.0);
    CHECK(behind.in_frame == 0.0);
    CHECK_FALSE(behind.box.has_value());
    const Framing half =
        frame_flight(tall_camera(), FlightPath(line({0, -8, 0}, {0, 8, 0}), 10.0), 10.0);
    CHECK_WITHIN(half.in_frame, 0.5, 1e-3);
    CHECK(half.box.has_value());
}

TEST_CASE("closure counts from the nearest whole turn, at least one") {
    CHECK_WITHIN(closure_of(1.0, 15.0, 15.0), 0.0, 1e-9);
    CHECK_WITHIN(closure_of(1.0, 36.0, 35.0), -10.0, 1e-9);
    CHECK_WITHIN(closure_of(2.0, 18.0, 19.0), 20.0, 1e-9);
    CHECK_WITHIN(closure_of(3.0, 10.0, 60.0), 0.0, 1e-9);
    CHECK_WITHIN(closure_of(3.0, 10.0, 29.0), -36.0, 1e-9);
    CHECK_WITHIN(closure_of(1.0, 40.0, 10.0), -270.0, 1e-9);
    CHECK_WITHIN(closure_of(0.25, 12.0, 30.0), -270.0, 1e-9);
    CHECK_WITHIN(closure_of(1.0, 36.0, 35.0, FlightShape::ring), -10.0, 1e-9);
    for (const FlightShape open : {FlightShape::line, FlightShape::helix})
        CHECK(closure_of(1.0, 36.0, 35.0, open) == 0.0);
}
