// Cautions about drones' own lights.
#include <doctest/doctest.h>

#include "scene/shoot/own_lights.h"
#include "tests/unit/scene/cautions/calm_shoot.h"

using namespace lampflight;

namespace {

/// A calm shoot, flown by night by a drone as it is made here.
Shoot flown_by(const Drone& drone) {
    Shoot shoot = calm_shoot();
    shoot.drones = {drone};
    add_own_lights(shoot);
    return shoot;
}

Drone with_beacon(double per_minute, double flux_lm = 500.0) {
    Drone drone;
    drone.beacon.pulse.per_minute = per_minute;
    drone.beacon.flux_lm = flux_lm;
    drone.beacon.colour = LightColour::green;
    return drone;
}

Shoot by_day(Shoot shoot) {
    shoot.sky.horizontal_lx = 20000.0;
    return shoot;
}

}  // namespace

TEST_CASE("a drone that shows nothing at night is told of") {
    CHECK(warns(flown_by({}), "lights", CautionLevel::care, "look it up before you cover any"));
    CHECK(warns(flown_by({}), "lights", CautionLevel::care, "never over motors, vents or sensors"));
    CHECK_FALSE(mentions(calm_shoot(), "lights"));
    CHECK_FALSE(mentions(by_day(flown_by({})), "lights"));
    CHECK_FALSE(mentions(flown_by(with_beacon(60.0)), "lights"));
}

TEST_CASE("lights that show draw streaks") {
    Drone drone;
    drone.own_lights = OwnLights::showing;
    CHECK(warns(flown_by(drone), "lights", CautionLevel::note, "draw streaks of their own"));
    CHECK_FALSE(warns(flown_by(drone), "lights", CautionLevel::care));
    drone.lights.left = drone.lights.right = drone.lights.behind = LightColour::none;
    CHECK(warns(flown_by(drone), "lights", CautionLevel::care, "No light of its own"));
}

// 14 CFR 107.29: seen from 3 statute miles, 4.828 km. Of 40 km of visibility and 0.05 s.
TEST_CASE("a beacon that is not seen from three miles is told of") {
    CHECK(warns(flown_by(with_beacon(60.0, 100.0)), "lights", CautionLevel::care,
                "is seen from 2.5 km at night through the scene's air; 14 CFR 107.29 asks for 3 "
                "statute miles, 4.8 km"));
    CHECK_FALSE(mentions(flown_by(with_beacon(60.0, 500.0)), "lights"));
    CHECK_FALSE(mentions(by_day(flown_by(with_beacon(60.0, 100.0))), "lights"));
}

// 14 CFR 25.1401(c): 40 to 100 flashes a minute.
TEST_CASE("a beacon's rate and colour are held against the rules that name them") {
    CHECK_FALSE(mentions(flown_by(with_beacon(40.0)), "lights"));
    CHECK_FALSE(mentions(flown_by(with_beacon(100.0)), "lights"));
    CHECK(warns(flown_by(with_beacon(39.0)), "lights", CautionLevel::note, "39 times a minute"));
    CHECK(warns(flown_by(with_beacon(120.0)), "lights", CautionLevel::note, "25.1401(c)"));
    Drone drone = with_beacon(60.0);
    drone.beacon.colour = LightColour::white;
    CHECK(warns(flown_by(drone), "lights", CautionLevel::note, "is white; at night"));
}

TEST_CASE("own lights are no lamps that eyes, frame or load are warned of") {
    Drone drone = with_beacon(60.0);
    drone.own_lights = OwnLights::showing;
    Shoot shoot = calm_shoot();
    shoot.lamps.clear();
    shoot.flights.front().carries.clear();
    shoot.drones = {drone};
    add_own_lights(shoot);
    CHECK_FALSE(mentions(shoot, "eyes"));
    CHECK_FALSE(mentions(shoot, "lamp"));
    CHECK_FALSE(mentions(shoot, "time"));
}

TEST_CASE("no word of own lights calls anything lawful or safe") {
    Drone drone = with_beacon(200.0, 1.0);
    drone.own_lights = OwnLights::showing;
    drone.beacon.colour = LightColour::blue;
    for (const Shoot& shoot : {flown_by(drone), flown_by({})})
        for (const std::string& text : texts(in_boxes(shoot), "lights"))
            for (const char* word : {"lawful", "legal", "allowed", "safe"})
                CHECK(text.find(word) == std::string::npos);
}
