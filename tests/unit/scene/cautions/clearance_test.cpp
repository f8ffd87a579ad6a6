#include "scene/cautions/clearance.h"

#include <initializer_list>

#include "tests/within.h"

using namespace lampflight;

namespace {

Flight line(const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = 10.0;
    return flight;
}

}  // namespace

TEST_CASE("distance to a box is to its nearest face, edge or corner") {
    const Box box{{0.0, 0.0, 0.0}, {1.0, 1.0, 2.0}};
    CHECK(distance_m({0.5, 0.5, 1.0}, box) == 0.0);
    CHECK_WITHIN(distance_m({0.5, 0.5, 5.0}, box), 3.0, 1e-12);
    CHECK_WITHIN(distance_m({4.0, 5.0, 1.0}, box), 5.0, 1e-12);
}

TEST_CASE("clearance is the nearest pass, to the surface once it is close") {
    Mesh walls;  // two walls of a single triangle each, 6 m apart, as high as 4 m
    walls.positions = {{-3.0F, -9.0F, 0.0F}, {-3.0F, 9.0F, 0.0F}, {-3.0F, 0.0F, 4.0F},
                       {3.0F, -9.0F, 0.0F},  {3.0F, 9.0F, 0.0F},  {3.0F, 0.0F, 4.0F}};
    walls.triangles = {{0, 1, 2}, {3, 4, 5}};
    const FlightPath over(line({-20.0, 0.0, 10.0}, {20.0, 0.0, 10.0}), 10.0);
    CHECK_WITHIN(clearance_m(over, {0.0, 10.0}, walls, 2.0), 6.0, 1e-9);
    // Between the walls: 3 m from their faces, though inside the box and metres from any corner.
    const FlightPath between(line({0.0, -20.0, 1.0}, {0.0, 20.0, 1.0}), 10.0);
    CHECK_WITHIN(clearance_m(between, {0.0, 10.0}, walls, 2.0), 3.0, 1e-9);
    const FlightPath nearer(line({2.0, -20.0, 1.0}, {2.0, 20.0, 1.0}), 10.0);
    CHECK_WITHIN(clearance_m(nearer, {0.0, 10.0}, walls, 2.0), 1.0, 1e-9);
    // Just over the top corner.
    const FlightPath top(line({-3.0, -20.0, 5.0}, {-3.0, 20.0, 5.0}), 10.0);
    CHECK_WITHIN(clearance_m(top, {0.0, 10.0}, walls, 2.0), 1.0, 1e-9);
    // Stopped after a quarter of the way it is still 1 m short of the box.
    CHECK_WITHIN(clearance_m(between, {0.0, 2.5}, walls, 0.5), 1.0, 1e-9);
}

TEST_CASE("of small faces close together the nearest counts, whichever comes first") {
    Mesh chips;  // three chips of a centimetre, 1.0, 0.9 and 1.1 m beside the flight
    for (const float away_m : {1.0F, 0.9F, 1.1F})
        for (const float along_m : {0.0F, 0.01F, 0.02F})
            chips.positions.emplace_back(away_m, along_m, along_m == 0.01F ? 2.01F : 2.0F);
    chips.triangles = {{0, 1, 2}, {3, 4, 5}, {6, 7, 8}};
    const FlightPath past(line({0.0, -1.0, 2.0}, {0.0, 1.0, 2.0}), 10.0);
    CHECK_WITHIN(clearance_m(past, {0.0, 10.0}, chips, 2.0), 0.9, 1e-5);
}

TEST_CASE("separation is of the same moment, not of the paths") {
    const FlightPath north(line({0.0, -20.0, 8.0}, {0.0, 20.0, 8.0}), 10.0);
    const FlightPath east(line({-20.0, 0.0, 8.0}, {20.0, 0.0, 8.0}), 10.0);
    CHECK_WITHIN(separation_m(north, east, {0.0, 10.0}), 0.0, 1e-9);
    const FlightPath later(line({-40.0, 0.0, 8.0}, {0.0, 0.0, 8.0}), 10.0);
    // At time t: y = 4t - 20 and x = 4t - 40, nearest at t = 7.5 s.
    CHECK_WITHIN(separation_m(north, later, {0.0, 10.0}), std::sqrt(200.0), 1e-3);
}
