// Cautions of a flight's time, speed and place in the frame.
#include "scene/subjects/box.h"
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("a shutter longer than a loaded drone flies") {
    Shoot shoot = calm_shoot();
    shoot.flights.front().pace = Pace::shutter;
    shoot.camera.shutter_s = 240.0;
    CHECK_FALSE(mentions(shoot, "time"));
    shoot.camera.shutter_s = 1200.0;
    CHECK(warns(shoot, "time", CautionLevel::care, "stays open for 20 minutes"));
    CHECK(warns(shoot, "time", CautionLevel::care, "were 20 s meant?"));
    shoot.camera.shutter_s = 400.0;
    CHECK(warns(shoot, "time", CautionLevel::care, "a flight lasts 6.7 minutes of it"));
    // A lap in a long exposure of the stars.
    shoot.flights.front().pace = Pace::given;
    shoot.camera.shutter_s = 1200.0;
    CHECK(warns(shoot, "time", CautionLevel::note, "its flights 20 s or less"));
    CHECK_FALSE(warns(shoot, "time", CautionLevel::care));
    // The stars alone.
    shoot.takes.front().flights.clear();
    CHECK_FALSE(mentions(shoot, "time"));
}

TEST_CASE("speeds that no drone with lamps flies") {
    Shoot shoot = calm_shoot();
    Flight& halo = shoot.flights.front();
    halo.radius_m = 95.0;
    const auto fly_at = [&](double speed_m_s) {
        halo.lap_s.reset();
        halo.speed_m_s = speed_m_s;
        return shoot;
    };
    CHECK(warns(fly_at(30.0), "speed", CautionLevel::danger, "no drone that carries lamps"));
    CHECK(warns(fly_at(30.0), "speed", CautionLevel::danger, "goes at 30.0 m/s"));
    CHECK(warns(fly_at(16.0), "speed", CautionLevel::care, "goes at 16.0 m/s"));
    CHECK_FALSE(mentions(fly_at(14.0), "speed"));
    halo.radius_m = 5.0;  // v^2 / r = 20 m/s2
    CHECK(warns(fly_at(10.0), "speed", CautionLevel::danger, "turns at 20.0 m/s2"));
}

TEST_CASE("a flight out of the frame that lights what is in it is by design") {
    Shoot shoot = with_person_at({0.0, 0.0, 0.0});
    Flight& side = shoot.flights.front();
    side.centre_m = {40.0, -10.0};
    side.height_m = 8.0;
    side.radius_m = 2.0;
    Lamp& lamp = shoot.lamps.front();
    lamp.aim = AimAtSubject{"walker"};
    lamp.beam_deg = 10.0;
    lamp.spill = 0.0;
    lamp.flux_lm = 3000.0;
    shoot.subjects.erase(shoot.subjects.begin());
    CHECK(warns(shoot, "frame", CautionLevel::note,
                "outside the frame and draws no trail; it lights \"walker\" and the ground"));
    CHECK_FALSE(warns(shoot, "frame", CautionLevel::care));
    lamp.aim = Vec3(1.0, 0.0, 0.0);
    CHECK(warns(shoot, "frame", CautionLevel::care, "wholly outside the frame"));
    lamp.aim = AimWord::down;
    side.centre_m = {0.0, -40.0};
    CHECK(warns(shoot, "frame", CautionLevel::care, "wholly behind the camera"));
    lamp.aim = Vec3(0.0, 1.0, -0.2);
    CHECK(warns(shoot, "frame", CautionLevel::note, "lights"));
}

TEST_CASE("partly out of the frame with lamps that the lens can't see is a note") {
    Shoot shoot = calm_shoot();
    shoot.flights.front().radius_m = 16.0;
    CHECK(warns(shoot, "frame", CautionLevel::care, "out of the frame for"));
    shoot.lamps.front().spill = 0.0;
    shoot.lamps.front().aim = Vec3(0.0, 1.0, 0.0);
    shoot.lamps.front().beam_deg = 20.0;
    shoot.camera.position_m.y = -26.0;
    shoot.camera.focal_mm = 24.0;
    CHECK(warns(shoot, "frame", CautionLevel::note, "its lamps draw no trail there"));
    CHECK_FALSE(warns(shoot, "frame", CautionLevel::care));
}

TEST_CASE("a flight into a hump of rough ground is a danger, over flat ground it is not") {
    Shoot shoot = calm_shoot();
    shoot.subjects.clear();
    shoot.flights.front().centre_m = {30.0, 30.0};
    shoot.flights.front().height_m = 0.15;
    shoot.ground.kind = GroundKind::flat;
    CHECK_FALSE(mentions(shoot, "height"));
    shoot.ground.kind = GroundKind::rough;
    shoot.ground.roughness_m = 0.3;
    CHECK(warns(shoot, "height", CautionLevel::danger, "goes into the ground"));
}

TEST_CASE("a drone that flies no flight is told of; a single one flies them all") {
    Shoot shoot = calm_shoot();
    shoot.drones.resize(1);
    shoot.drones.front().name = "first";
    CHECK_FALSE(warns(shoot, "flight", CautionLevel::note, "flies no flight"));
    shoot.drones.push_back(shoot.drones.front());
    shoot.drones.back().name = "second";
    shoot.flights.front().drone = "first";
    CHECK(warns(shoot, "flight", CautionLevel::note, "Drone \"second\" flies no flight"));
}
