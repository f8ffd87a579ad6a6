// What is said of batteries, and what is not.
#include "scene/cautions/cautions.h"

#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// One take of 20 s, 2.8 s from home, by a drone that hovers for 18 minutes with its lamps (common
/// practice, no source).
Shoot shoot_with_battery() {
    Shoot shoot = calm_shoot();
    Drone drone;
    drone.loaded_endurance_min = 18.0;
    shoot.drones = {drone};
    return shoot;
}

std::size_t battery_cautions_of(const Shoot& shoot) {
    return texts(in_boxes(shoot), "battery").size();
}

}  // namespace

TEST_CASE("battery cautions: of one that holds its takes only what always holds is said") {
    const Shoot shoot = shoot_with_battery();
    CHECK(battery_cautions_of(shoot) == 1);
    CHECK(warns(shoot, "battery", CautionLevel::care, "never fly past the drone's warning"));
    CHECK(warns(shoot, "battery", CautionLevel::care, "less in the cold"));
}

TEST_CASE("battery cautions: an unknown endurance is said to be unknown, and how to state it") {
    Shoot shoot = calm_shoot();
    CHECK(warns(shoot, "battery", CautionLevel::care,
                "is unknown: add a [[drone]] with endurance_min"));
    shoot.drones.resize(1);
    CHECK(
        warns(shoot, "battery", CautionLevel::care,
              "the battery of the drone gives is unknown. In its [[drone]], state endurance_min"));
    CHECK(warns(shoot, "battery", CautionLevel::care, "or better loaded_endurance_min"));
    shoot.drones.resize(2);
    shoot.drones[0].name = "first";
    shoot.drones[1].name = "second";
    CHECK(warns(shoot, "battery", CautionLevel::care,
                "for flight \"halo\" is unknown: it names none of the drones"));
    shoot.flights.front().drone = "second";
    CHECK(warns(shoot, "battery", CautionLevel::care, "the battery of drone \"second\" gives"));
    CHECK(battery_cautions_of(shoot) == 2);
    // Nor is anything said of a flight that no take flies.
    shoot.takes.front().flights.clear();
    CHECK(battery_cautions_of(shoot) == 1);
}

TEST_CASE("battery cautions: an endurance without lamps is worked out, and that is noted") {
    Shoot shoot = shoot_with_battery();
    Drone& drone = shoot.drones.front();
    drone.loaded_endurance_min.reset();
    drone.endurance_min = 27.0;
    // 27 min x (1 / 1.2)^1.5: momentum theory (Leishman, from memory).
    CHECK(warns(shoot, "battery", CautionLevel::note, "(20.5 min) is worked out from its masses"));
    CHECK(warns(shoot, "battery", CautionLevel::note, "Time a hover with the lamps on"));
    CHECK(battery_cautions_of(shoot) == 2);
    drone.loaded_endurance_min = 19.0;
    CHECK(battery_cautions_of(shoot) == 1);
}

TEST_CASE("battery cautions: a small reserve") {
    Shoot shoot = shoot_with_battery();
    shoot.drones.front().reserve = 0.2;
    CHECK(battery_cautions_of(shoot) == 1);
    shoot.drones.front().reserve = 0.15;
    CHECK(warns(shoot, "battery", CautionLevel::care,
                "is 15 % of its battery. Plan with 20 % or more"));
}

TEST_CASE("battery cautions: a take that no battery holds is a danger") {
    Shoot shoot = shoot_with_battery();
    Drone& drone = shoot.drones.front();
    // Home after 2.8 + 20 + 2.8 s, of which three quarters may be used.
    drone.loaded_endurance_min = 25.61 / 0.75 / 60.0;
    CHECK(battery_cautions_of(shoot) == 1);
    drone.loaded_endurance_min = 25.59 / 0.75 / 60.0;
    CHECK(warns(shoot, "battery", CautionLevel::danger,
                "On its way home the drone runs into its reserve after take \"one\""));
    drone.loaded_endurance_min = 0.5;
    drone.reserve = 0.9;
    CHECK(warns(shoot, "battery", CautionLevel::danger,
                "gives 3 s down to its reserve, 30 s in all"));
    drone.loaded_endurance_min = 25.0 / 60.0;
    CHECK(warns(shoot, "battery", CautionLevel::danger,
                "The battery of the drone is empty before it is home from take \"one\""));
    // The ways alone: 20 km out at 0.1 m/s.
    drone.loaded_endurance_min = 18.0;
    drone.home_m = {0.0, -20000.0, 0.0};
    drone.transit_m_s = 0.1;
    CHECK(warns(shoot, "battery", CautionLevel::danger, "the way out (3334.0 min)"));
    shoot.takes.push_back(shoot.takes.front());
    shoot.takes.back().name = "two";
    CHECK(warns(shoot, "battery", CautionLevel::danger, "(and 1 more take alike: \"two\")"));
}

TEST_CASE("battery cautions: takes that need more than one battery, each once") {
    Shoot shoot = shoot_with_battery();
    for (int i = 2; i <= 20; ++i) {
        shoot.takes.push_back(shoot.takes.front());
        shoot.takes.back().name = "lap " + std::to_string(i);
    }
    // 20 x 20 s, 19 x 20 s between them, 5.6 s of ways: 785.6 of 810 s.
    CHECK(battery_cautions_of(shoot) == 1);
    shoot.takes.push_back(shoot.takes.front());
    shoot.takes.back().name = "last";
    CHECK(warns(shoot, "battery", CautionLevel::care, "need 2 batteries"));
    CHECK(warns(shoot, "battery", CautionLevel::care, "a fresh one before take \"last\"."));
    CHECK_FALSE(warns(shoot, "battery", CautionLevel::danger));
    shoot.drones.front().loaded_endurance_min = 1.0;
    CHECK(warns(shoot, "battery", CautionLevel::care, "need 21 batteries"));
    CHECK(warns(shoot, "battery", CautionLevel::care, "\"lap 7\", and 14 more"));
}
