// Flights through meshes, and near them with straying.
#include "scene/cautions/passage.h"

#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A block of two metres about the origin.
const Mesh& block_of_two() {
    static const Mesh mesh =
        obj_of(with_shared_corners(box_shape({-1.0, -1.0, -1.0}, {1.0, 1.0, 1.0}))).mesh;
    return mesh;
}

/// A flight of 10 s along a line, of which the shutter sees so much.
bool line_goes_through(const Vec3& from_m, const Vec3& to_m, double hanging_m = 0.0,
                       double open_s = 10.0) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = 10.0;
    const FlownFlight flown{&flight, FlightPath(flight, 10.0), open_s};
    return goes_through(flown, block_of_two(), hanging_m);
}

}  // namespace

TEST_CASE("a flight goes through a block, beside it, or ends before it") {
    CHECK(line_goes_through({-20.0, 0.3, 0.2}, {20.0, 0.3, 0.2}));
    CHECK(line_goes_through({-20.0, 0.999, 0.2}, {20.0, 0.999, 0.2}));
    CHECK_FALSE(line_goes_through({-20.0, 1.001, 0.2}, {20.0, 1.001, 0.2}));
    CHECK_FALSE(line_goes_through({-20.0, 0.3, 1.001}, {20.0, 0.3, 1.001}));
    // Through an edge of it, aslant.
    CHECK(line_goes_through({-20.0, 18.1, 0.2}, {20.0, -21.9, 0.2}));
    CHECK_FALSE(line_goes_through({-20.0, 17.9, 0.2}, {20.0, -22.1, 0.2}));
    // 4 m/s: its face at -1 m is reached after 4.75 s.
    CHECK(line_goes_through({-20.0, 0.3, 0.2}, {20.0, 0.3, 0.2}, 0.0, 4.8));
    CHECK_FALSE(line_goes_through({-20.0, 0.3, 0.2}, {20.0, 0.3, 0.2}, 0.0, 4.7));
    // Wholly inside.
    CHECK(line_goes_through({-0.5, 0.0, 0.0}, {0.5, 0.0, 0.0}));
}

TEST_CASE("what hangs below goes through it as the drone does") {
    CHECK_FALSE(line_goes_through({-20.0, 0.3, 3.0}, {20.0, 0.3, 3.0}, 1.9));
    CHECK(line_goes_through({-20.0, 0.3, 3.0}, {20.0, 0.3, 3.0}, 2.1));
    CHECK(line_goes_through({-20.0, 0.3, 3.0}, {20.0, 0.3, 3.0}, 9.0));
}

TEST_CASE("distances are told as planned and with straying") {
    CHECK(NearPass{3.24}.words("\"a\"") == "within 3.2 m of \"a\"");
    CHECK(NearPass{3.24, 1.5}.words("\"a\"") ==
          "within 3.2 m of \"a\", 1.7 m if it strays by 1.5 m");
    CHECK(NearPass{1.0, 1.5}.nearest_m() == 0.0);
}

// A box of 0.3 m to each side and 1.75 m high: from the circle at 8 m it is hypot(5.2, 6.25) = 8.13
// m off, which a straying of three times 1.1 m makes less than 5 m.
TEST_CASE("straying brings a flight within 5 m of a person") {
    Shoot shoot = with_person_at({0.0, 0.0, 0.0});
    shoot.flights.front().height_m = 8.0;
    shoot.flights.front().radius_m = 5.5;
    CHECK_FALSE(mentions(shoot, "people"));
    shoot.flights.front().wander_m = 1.0;
    CHECK_FALSE(warns(shoot, "people", CautionLevel::danger, "passes within"));
    shoot.flights.front().wander_m = 1.1;
    CHECK(warns(shoot, "people", CautionLevel::danger,
                "passes within 8.1 m of \"walker\", 4.8 m if it strays by 3.3 m"));
}

TEST_CASE("people who take no part are kept 30 m off, on the level, whatever they are called") {
    Shoot shoot = with_person_at({40.0, 0.0, 0.0});
    shoot.subjects.back().name = "post";
    shoot.subjects.back().model.reset();
    CHECK_FALSE(mentions(shoot, "people"));
    shoot.subjects.back().takes_part = false;
    CHECK_FALSE(mentions(shoot, "people"));
    // Its near side is 29.7 m from the circle's east.
    shoot.subjects.back().position_m.x = 35.0;
    CHECK(warns(shoot, "people", CautionLevel::danger,
                "within 29.7 m of \"post\", who takes no part"));
    shoot.flights.front().height_m = 60.0;
    CHECK(warns(shoot, "people", CautionLevel::danger, "who takes no part"));
}
