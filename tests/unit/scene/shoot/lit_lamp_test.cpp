#include "scene/shoot/lit_lamp.h"

#include <cmath>
#include <memory>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Lamp lamp_named(const std::string& name) {
    Lamp lamp;
    lamp.name = name;
    return lamp;
}

/// Two flights with a lamp each, two standing lamps, and one lamp that nothing holds.
PlacedShoot two_flights() {
    PlacedShoot shoot;
    shoot.camera.shutter_s = 12.0;
    shoot.lamps = {lamp_named("low"), lamp_named("high"), lamp_named("left"), lamp_named("right"),
                   lamp_named("spare")};
    shoot.lamps[2].position_m = Vec3(-3.0, 4.0, 1.5);
    shoot.lamps[3].position_m = Vec3(3.0, 0.0, 1.5);
    Flight halo;
    halo.name = "halo";
    halo.lap_s = 10.0;
    halo.carries = {"low"};
    Flight wide = halo;
    wide.name = "wide";
    wide.lap_s = 20.0;
    wide.height_m = 14.0;
    wide.carries = {"high"};
    shoot.flights = {halo, wide};
    Take take;
    take.name = "both";
    take.flights = {"wide", "halo"};
    shoot.takes = {take};
    shoot.subjects.emplace_back().name = "cairn";
    shoot.meshes.emplace_back().positions = {
        {-1.0F, -1.0F, 0.0F}, {1.0F, 1.0F, 2.0F}, {0.0F, 0.5F, 1.8F}};
    return shoot;
}

/// Where a lamp points, at whatever it is aimed.
Vec3 aim_of(const PlacedShoot& shoot, const LitLamp& lit, double time_s) {
    return aim_direction(lit, aim_targets(shoot, lit), time_s);
}

LitLamp still_lamp(const Lamp& lamp) {
    return {&lamp, {}, 1.0, {{0.0, 10.0}}, {}};
}

}  // namespace

TEST_CASE("lamps burn in the take's order, standing ones last") {
    const PlacedShoot shoot = two_flights();
    const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    REQUIRE(lit.size() == 4);
    CHECK(lit[0].lamp->name == "high");
    CHECK(lit[1].lamp->name == "low");
    CHECK(lit[2].lamp->name == "left");
    CHECK(lit[3].lamp->name == "right");
    CHECK(lit[0].lit_s() == 12.0);              // the shutter cuts the longer flight
    CHECK_WITHIN(lit[1].lit_s(), 10.0, 1e-12);  // the shorter ends before it
    CHECK(lit[2].lit_s() == 12.0);
    CHECK(lit[0].flies());
    CHECK_FALSE(lit[2].flies());
    CHECK(lit[2].position_m(3.0) == Vec3(-3.0, 4.0, 1.5));
    CHECK_WITHIN(lit[0].position_m(0.0), Vec3(0.0, -5.0, 14.0), 1e-9);
}

TEST_CASE("a take chooses standing lamps and their strength") {
    PlacedShoot shoot = two_flights();
    Take& take = shoot.takes.front();
    take.flights = {"halo"};
    take.lamps = std::vector<std::string>{"right"};
    take.lamp_stops = {{"low", -1.0}, {"right", 2.0}};
    const std::vector<LitLamp> lit = lit_lamps(shoot, take);
    REQUIRE(lit.size() == 2);
    CHECK(lit[0].lamp->name == "low");
    CHECK_WITHIN(lit[0].flux_scale, 0.5, 1e-12);
    CHECK(lit[1].lamp->name == "right");
    CHECK_WITHIN(lit[1].flux_scale, 4.0, 1e-12);
    take.lamps = std::vector<std::string>{};
    CHECK(lit_lamps(shoot, take).size() == 1);
}

TEST_CASE("a carried lamp with a position does not burn twice") {
    PlacedShoot shoot = two_flights();
    shoot.lamps[0].position_m = Vec3(1.0, 1.0, 1.0);
    const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    CHECK(lit.size() == 4);
    shoot.takes.front().flights = {"wide"};
    CHECK(lit_lamps(shoot, shoot.takes.front()).size() == 3);
}

TEST_CASE("aims of a flown lamp") {
    PlacedShoot shoot = two_flights();
    shoot.takes.front().flights = {"halo"};
    const LitLamp lit = lit_lamps(shoot, shoot.takes.front()).front();
    Aim& aim = shoot.lamps[0].aim;
    aim = AimWord::down;
    CHECK(aim_of(shoot, lit, 1.0) == Vec3(0.0, 0.0, -1.0));
    aim = AimWord::centre;  // it starts in the south
    CHECK_WITHIN(aim_of(shoot, lit, 0.0), Vec3(0.0, 1.0, 0.0), 1e-9);
    aim = AimWord::ahead;  // clockwise from the south is westwards
    CHECK_WITHIN(aim_of(shoot, lit, 0.0), Vec3(-1.0, 0.0, 0.0), 1e-9);
    aim = AimAtSubject{"cairn"};  // middle of its box: (0, 0, 1)
    CHECK_WITHIN(aim_of(shoot, lit, 0.0), glm::normalize(Vec3(0.0, 5.0, -7.0)), 1e-9);
    aim = Vec3(0.0, 3.0, 4.0);
    CHECK_WITHIN(aim_of(shoot, lit, 0.0), Vec3(0.0, 0.6, 0.8), 1e-12);
}

TEST_CASE("aims of a standing lamp") {
    PlacedShoot shoot = two_flights();
    Lamp& lamp = shoot.lamps[2];
    const LitLamp lit = still_lamp(lamp);
    lamp.aim = AimWord::ahead;
    CHECK(aim_of(shoot, lit, 0.0) == Vec3(0.0, 1.0, 0.0));
    lamp.aim = AimWord::centre;
    CHECK_WITHIN(aim_of(shoot, lit, 0.0), Vec3(0.6, -0.8, 0.0), 1e-12);
}

TEST_CASE("an aim that has no direction falls back to down") {
    PlacedShoot shoot = two_flights();
    Lamp& lamp = shoot.lamps[2];
    const LitLamp lit = still_lamp(lamp);
    const Vec3 down{0.0, 0.0, -1.0};
    lamp.position_m = Vec3(0.0, 0.0, 1.0);
    lamp.aim = AimWord::centre;
    CHECK(aim_of(shoot, lit, 0.0) == down);
    lamp.aim = AimAtSubject{"cairn"};
    CHECK(aim_of(shoot, lit, 0.0) == down);
    lamp.aim = AimAtSubject{"nobody"};
    CHECK(aim_of(shoot, lit, 0.0) == down);
    lamp.aim = Vec3(0.0);
    CHECK(aim_of(shoot, lit, 0.0) == down);

    Flight still;
    still.shape = FlightShape::line;
    still.from_m = still.to_m = Vec3(1.0, 2.0, 3.0);
    const LitLamp hovering{
        &lamp, {{std::make_shared<const FlightPath>(still, 10.0), {}}}, 1.0, {{0.0, 10.0}}, {}};
    lamp.aim = AimWord::centre;
    CHECK(aim_of(shoot, hovering, 5.0) == down);
    lamp.aim = AimWord::ahead;  // where the nose points while nothing moves
    CHECK_WITHIN(aim_of(shoot, hovering, 5.0), Vec3(0.0, 1.0, 0.0), 1e-12);
}

TEST_CASE("a lamp burns in its windows, cut by the shutter and by its flight") {
    PlacedShoot shoot = two_flights();
    shoot.lamps[0].lit_s = TimeWindows{{1.0, 3.0}, {8.0, 15.0}};  // its flight ends at 10 s
    shoot.lamps[1].lit_s = TimeWindows{{11.0, 99.0}};             // the shutter closes at 12 s
    shoot.lamps[2].lit_s = TimeWindows{{12.0, 20.0}};
    const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    REQUIRE(lit.size() == 3);  // the left one burns when the shutter has closed
    CHECK(lit[0].lamp->name == "high");
    CHECK(lit[0].lit == TimeWindows{{11.0, 12.0}});
    CHECK(lit[1].lit == TimeWindows{{1.0, 3.0}, {8.0, 10.0}});
    CHECK_WITHIN(lit[1].lit_s(), 4.0, 1e-12);
    CHECK(lit[2].lamp->name == "right");
    CHECK(lit_during(lit[1], {{2.0, 9.0}}).lit == TimeWindows{{2.0, 3.0}, {8.0, 9.0}});
    CHECK(lit_during(lit[1], {{4.0, 7.0}}).lit_s() == 0.0);
    // Without the take's shutter in the way.
    shoot.takes.front().shutter_s = 30.0;
    CHECK(lit_lamps(shoot, shoot.takes.front()).size() == 4);
}

TEST_CASE("a beacon flashes on its beat") {
    const Pulse pulse{30.0, 0.5, 1.0};  // every 2 s
    CHECK(flashes(pulse, 5.25) == TimeWindows{{1.0, 1.5}, {3.0, 3.5}, {5.0, 5.25}});
    CHECK(flashes(pulse, 1.0).empty());
    CHECK(flashes({30.0, 2.0, 1.0}, 9.0) == TimeWindows{{1.0, 9.0}});
    CHECK(flashes({30.0, 2.0, 10.0}, 9.0).empty());
    PlacedShoot shoot = two_flights();
    shoot.lamps[2].pulse = {60.0, 0.1, 0.25};
    shoot.lamps[2].lit_s = TimeWindows{{3.0, 6.3}};
    const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    REQUIRE(lit[2].lamp->name == "left");
    REQUIRE(lit[2].lit.size() == 4);
    CHECK_WITHIN(lit[2].lit[3].from_s, 6.25, 1e-12);
    CHECK_WITHIN(lit[2].lit_s(), 0.35, 1e-12);
}
