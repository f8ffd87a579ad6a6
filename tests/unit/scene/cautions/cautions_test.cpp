#include "scene/cautions/cautions.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/take_moment.h"
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("a calm shoot gets the standing cautions and no others") {
    const Shoot shoot = calm_shoot();
    for (const char* about : {"night", "airspace", "sight", "load", "battery", "eyes"})
        CHECK_MESSAGE(mentions(shoot, about), about);
    for (const char* about :
         {"people", "subject", "drones", "height", "speed", "frame", "lap", "lamp", "flight"})
        CHECK_MESSAGE(!mentions(shoot, about), about);
    CHECK(warns(shoot, "night", CautionLevel::care, "check the rules where you fly"));
    CHECK(warns(shoot, "battery", CautionLevel::care, "the battery gives is unknown"));
}

TEST_CASE("without a flight nothing is said about flying") {
    Shoot shoot = calm_shoot();
    shoot.flights.clear();
    shoot.takes.front().flights.clear();
    shoot.lamps.front().position_m = Vec3(2.0, 2.0, 1.0);
    CHECK(cautions(in_boxes(shoot)).empty());
}

TEST_CASE("a person within 5 m of the flight is a danger, further away is not") {
    CHECK_FALSE(mentions(with_person_at({0.0, 0.0, 0.0}), "people"));
    Shoot low = with_person_at({0.0, 0.0, 0.0});
    low.flights.front().height_m = 4.0;
    low.flights.front().radius_m = 4.0;
    CHECK(warns(low, "people", CautionLevel::danger, "\"walker\""));
    // The same for a mesh that its name calls a person, and not for one that it does not.
    low.subjects.back().model.reset();
    CHECK(warns(low, "people", CautionLevel::danger));
    low.subjects.back().name = "second walker-2";
    CHECK(warns(low, "people", CautionLevel::danger));
    low.subjects.back().name = "manor";
    CHECK_FALSE(mentions(low, "people"));
    // Nor when the take leaves that person out.
    low.subjects.back().name = "walker";
    low.takes.front().subjects = std::vector<std::string>{"boulder"};
    CHECK_FALSE(mentions(low, "people"));
}

TEST_CASE("flying over a person is a danger at any height") {
    Shoot shoot = with_person_at({5.0, 0.0, 0.0});
    CHECK(warns(shoot, "people", CautionLevel::danger, "passes over"));
    shoot.flights.front().height_m = 100.0;
    CHECK(warns(shoot, "people", CautionLevel::danger, "passes over"));
    // Below head height it passes beside.
    shoot.flights.front().height_m = 1.0;
    CHECK_FALSE(warns(shoot, "people", CautionLevel::danger, "passes over"));
}

TEST_CASE("the photographer counts as a person") {
    Shoot shoot = calm_shoot();
    shoot.camera.position_m = {0.0, -8.0, 6.0};
    CHECK(warns(shoot, "people", CautionLevel::danger, "camera"));
}

TEST_CASE("a bright lamp close to eyes is named with its light and distance") {
    Shoot shoot = with_person_at({0.0, 0.0, 0.0});
    CHECK_FALSE(warns(shoot, "eyes", CautionLevel::danger));
    // Bare, 4 pi 10000 lm is 10000 cd; eyes 1.63 m up are 8.91 m off: 126 lx.
    shoot.lamps.front().beam_deg = 360.0;
    shoot.lamps.front().flux_lm = 125663.7;
    CHECK(warns(shoot, "eyes", CautionLevel::danger, "\"warm\" shines 126 lx"));
    CHECK(warns(shoot, "eyes", CautionLevel::danger, "from 8.9 m"));
    // A stop less is 63 lx.
    shoot.takes.front().lamp_stops = {{"warm", -1.0}};
    CHECK_FALSE(warns(shoot, "eyes", CautionLevel::danger));
}

TEST_CASE("heights: too high, near heads, into the ground") {
    Shoot shoot = calm_shoot();
    shoot.flights.front().height_m = 130.0;
    CHECK(warns(shoot, "height", CautionLevel::danger, "130 m"));
    shoot.ground.kind = GroundKind::flat;
    shoot.flights.front().height_m = 1.5;
    CHECK(warns(shoot, "height", CautionLevel::care, "1.5 m"));
    shoot.flights.front().centre_m = {40.0, 40.0};
    CHECK_FALSE(mentions(shoot, "height"));
    shoot.flights.front().shape = FlightShape::ring;
    CHECK(warns(shoot, "height", CautionLevel::danger, "goes into the ground"));
}

TEST_CASE("close passes, hard turns and drones that meet") {
    Shoot shoot = calm_shoot();
    shoot.flights.front().height_m = 2.5;
    shoot.flights.front().radius_m = 1.5;
    CHECK(warns(shoot, "subject", CautionLevel::care, "\"boulder\""));
    shoot = calm_shoot();
    shoot.flights.front().lap_s = 4.0;  // 12.3 m/s2
    CHECK(warns(shoot, "speed", CautionLevel::care, "12.3 m/s2"));
    shoot = calm_shoot();
    Flight second = shoot.flights.front();
    second.name = "second";
    second.height_m = 12.0;
    shoot.flights.push_back(second);
    CHECK(warns(shoot, "flight", CautionLevel::note, "\"second\""));
    shoot.takes.front().flights.push_back("second");
    CHECK(warns(shoot, "drones", CautionLevel::danger, "3.0 m"));
    shoot.flights.back().start_bearing_deg = 0.0;
    CHECK_FALSE(mentions(shoot, "drones"));
}

TEST_CASE("the trail and the frame") {
    Shoot shoot = calm_shoot();
    shoot.flights.front().radius_m = 16.0;
    CHECK(warns(shoot, "frame", CautionLevel::care, "out of the frame for"));
    shoot = calm_shoot();
    shoot.lamps.front().flux_lm = 0.01;
    shoot.camera.look_at_m = Vec3(0.0, -40.0, 1.4);
    CHECK(warns(shoot, "frame", CautionLevel::care, "wholly behind"));
    shoot.camera.look_at_m = Vec3(40.0, -19.0, 1.4);
    CHECK(warns(shoot, "frame", CautionLevel::care, "wholly outside"));
}

TEST_CASE("the lap and the shutter") {
    Shoot shoot = calm_shoot();
    shoot.camera.shutter_s = 15.0;
    CHECK(warns(shoot, "lap", CautionLevel::care, "a gap of 90 degrees"));
    shoot.camera.shutter_s = 30.0;
    CHECK(warns(shoot, "lap", CautionLevel::note, "10.0 s after"));
    shoot.flights.front().pace = Pace::shutter;
    CHECK_FALSE(mentions(shoot, "lap"));
    // Two laps of which the shutter sees one and a half: whole, so no gap, but cut short.
    shoot.flights.front().pace = Pace::given;
    shoot.flights.front().turns = 2.0;
    CHECK(warns(shoot, "lap", CautionLevel::care, "not in the picture"));
    // A take's own shutter is the one that counts.
    shoot.takes.front().shutter_s = 40.0;
    CHECK_FALSE(mentions(shoot, "lap"));
}

TEST_CASE("a lamp that nothing holds") {
    Shoot shoot = calm_shoot();
    Lamp spare;
    spare.name = "spare";
    shoot.lamps.push_back(spare);
    CHECK(warns(shoot, "lamp", CautionLevel::care, "\"spare\""));
    shoot.lamps.back().position_m = Vec3(0.0, 2.0, 1.0);
    CHECK_FALSE(mentions(shoot, "lamp"));
}

TEST_CASE("light and people that miss the shutter") {
    Shoot shoot = with_person_at({0.0, 0.0, 0.0});
    shoot.lamps.front().lit_s = TimeWindows{{0.0, 5.0}, {20.0, 30.0}};
    shoot.subjects.back().present_s = TimeWindows{{25.0, 26.0}};
    CHECK(warns(shoot, "time", CautionLevel::care, "\"warm\" is lit from 20 to 30 s"));
    CHECK(warns(shoot, "time", CautionLevel::care, "\"walker\" stands there from 25 to 26 s"));
    CHECK_FALSE(warns(shoot, "time", CautionLevel::care, "stays dark"));
    // A take with a longer shutter catches both.
    Take longer = shoot.takes.front();
    longer.name = "longer";
    longer.shutter_s = 27.0;
    shoot.takes.push_back(longer);
    shoot.flights.front().lap_s = 27.0;
    CHECK_FALSE(mentions(shoot, "time"));
    shoot.lamps.front().lit_s = TimeWindows{{21.0, 30.0}};
    CHECK(warns(shoot, "time", CautionLevel::care, "stays dark in take \"one\""));
    CHECK_FALSE(warns(shoot, "time", CautionLevel::care, "stays dark in take \"longer\""));
}

TEST_CASE("flashes that can harm are told of, slower and faster ones are not") {
    Shoot shoot = calm_shoot();
    Pulse& pulse = shoot.lamps.front().pulse;
    pulse = {60.0, 0.05};
    CHECK_FALSE(mentions(shoot, "flashes"));
    pulse.per_minute = 600.0;
    CHECK(warns(shoot, "flashes", CautionLevel::care, "\"warm\" flashes 10 times a second"));
    CHECK(warns(shoot, "flashes", CautionLevel::care, "check the rules where you are"));
    pulse.per_minute = 6000.0;
    CHECK_FALSE(mentions(shoot, "flashes"));
}

TEST_CASE("a gap counts the way flown") {
    Shoot shoot = calm_shoot();
    Flight& halo = shoot.flights.front();
    halo.lap_s.reset();
    // 6283 m in 400 s, 16 m/s between ramps of 8 s: in its last 4 s it flies 16 m, not 63.
    halo.limits = {std::nullopt, 2.0};
    halo.radius_m = 1000.0;
    halo.lap_s = 400.0;
    shoot.camera.shutter_s = 396.0;
    CHECK(warns(shoot, "lap", CautionLevel::care, "a gap of 1 degrees"));
}

TEST_CASE("the gravest cautions come first") {
    const std::vector<Caution> list = cautions(in_boxes(with_person_at({5.0, 0.0, 0.0})));
    CHECK(list.front().level == CautionLevel::danger);
    CHECK(std::is_sorted(list.begin(), list.end(), [](const Caution& one, const Caution& other) {
        return one.level > other.level;
    }));
}

// The full moon of 24 November 2026, 14:53 UTC (date from memory), some hours up. With 14 mm,
// level, the frame's lower edge looks atan(12 / 14) down: the ground begins 1.4 m * 14 / 12 = 1.63
// m off.
TEST_CASE("a low moon behind the camera throws the photographer's shadow into the frame") {
    Shoot shoot = calm_shoot();
    shoot.place = Place{45.0, 6.0, 0.0, {midnight_unix_s(2026, 11, 24) + 18.5 * 3600.0, 60}};
    const Vec3 moon = night_sky(shoot, shoot.place->when.unix_s).moon.direction;
    const double altitude_deg = degrees(std::asin(moon.z));
    REQUIRE(altitude_deg > 10.0);
    REQUIRE(altitude_deg < 40.0);
    Camera& camera = shoot.camera;
    camera.focal_mm = 14.0;
    const auto look = [&](const Vec2& along) {
        camera.look_at_m = camera.position_m + Vec3(along, 0.0);
    };
    look(-Vec2(moon));
    CHECK(warns(shoot, "shadow", CautionLevel::care, "the moon stands"));
    CHECK(warns(shoot, "shadow", CautionLevel::care, "from 1.6 m in front"));
    look(Vec2(moon));
    CHECK_FALSE(mentions(shoot, "shadow"));
    look(Vec2(-moon.y, moon.x));
    CHECK_FALSE(mentions(shoot, "shadow"));

    look(-Vec2(moon));
    SUBCASE("not with a lens that looks over it") {
        camera.look_at_m = *camera.look_at_m + Vec3(0.0, 0.0, 2.0);
        CHECK_FALSE(mentions(shoot, "shadow"));
    }
    SUBCASE("not under clouds, nor in the light of a town") {
        shoot.sky.cloud_share = 1.0;
        CHECK_FALSE(mentions(shoot, "shadow"));
        shoot.sky.cloud_share = 0.0;
        shoot.sky.town = {0.0, 5.0};
        CHECK_FALSE(mentions(shoot, "shadow"));
    }
    SUBCASE("not of a thin crescent, nor without a place") {
        shoot.place->when.unix_s -= 13.0 * 86400.0;
        CHECK_FALSE(mentions(shoot, "shadow"));
        shoot.place.reset();
        CHECK_FALSE(mentions(shoot, "shadow"));
    }
    SUBCASE("not from up a tower") {
        camera.position_m.z += 10.0;
        look(-Vec2(moon));
        CHECK_FALSE(mentions(shoot, "shadow"));
    }
}

// Thin lens at 35 mm, f/2.8, focused at 2 m: a point 19.4 m off is 0.200 mm wide, and a 1500th of
// the diagonal, 0.0288 mm, holds from 1.77 to 2.30 m. By hand.
TEST_CASE("a subject and a trail far out of focus are named with the range that is sharp") {
    Shoot shoot = calm_shoot();
    CHECK_FALSE(mentions(shoot, "focus"));
    shoot.camera.focal_mm = 35.0;
    shoot.camera.f_number = 2.8;
    shoot.camera.focus_m = 2.0;
    CHECK(warns(shoot, "focus", CautionLevel::care, "\"boulder\" is out of focus"));
    CHECK(warns(shoot, "focus", CautionLevel::care, "0.20 mm wide"));
    CHECK(warns(shoot, "focus", CautionLevel::care, "from 1.8 m to 2.3 m"));
    CHECK(warns(shoot, "focus", CautionLevel::care, "flight \"halo\""));
    shoot.camera.focus_m = 20.0;
    CHECK_FALSE(mentions(shoot, "focus"));
}
