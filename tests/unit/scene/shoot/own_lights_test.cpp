// Drones' own lights: which there are, where they sit and point, and when they burn.
#include "scene/shoot/own_lights.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/names.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight lit_line(const std::string& name, const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.name = name;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.speed_m_s = 2.0;
    flight.carries = {"warm"};
    return flight;
}

/// A drone that shows its lights, waits for 3 s, flies 5 s, comes over and flies 5 s again.
Shoot showing_shoot() {
    Shoot shoot;
    shoot.camera.shutter_s = 40.0;
    shoot.lamps.emplace_back().name = "warm";
    shoot.drones.resize(1);
    shoot.drones.front().own_lights = OwnLights::showing;
    shoot.drones.front().drag_area_m2 = 0.0;
    Flight out = lit_line("out", {0.0, 0.0, 6.0}, {0.0, 10.0, 6.0});
    out.start_s = 3.0;
    Flight back = lit_line("back", {12.0, 10.0, 6.0}, {12.0, 0.0, 6.0});
    back.after = "out";
    shoot.flights = {out, back};
    Take take;
    take.name = "one";
    take.flights = {"out", "back"};
    shoot.takes = {take};
    return shoot;
}

std::vector<std::string> names_of_own(const Shoot& shoot) {
    std::vector<std::string> names;
    for (const OwnLight& light : own_lights(shoot)) names.push_back(light.lamp.name);
    return names;
}

const LitLamp& lit_named(const std::vector<LitLamp>& lit, const std::string& name) {
    const auto found =
        std::ranges::find_if(lit, [&](const LitLamp& lamp) { return lamp.lamp->name == name; });
    REQUIRE(found != lit.end());
    return *found;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("a drone has the own lights that show") {
    Shoot shoot = showing_shoot();
    CHECK(names_of_own(shoot) == Names{"left light", "right light", "light behind"});
    shoot.drones.front().lights.right = LightColour::none;
    CHECK(names_of_own(shoot) == Names{"left light", "light behind"});
    shoot.drones.front().own_lights = OwnLights::covered;
    CHECK(names_of_own(shoot).empty());
    shoot.drones.front().beacon.pulse.per_minute = 60.0;
    CHECK(names_of_own(shoot) == Names{"beacon"});
    shoot.drones.front().name = "scout";
    CHECK(names_of_own(shoot) == Names{"scout beacon"});
    shoot.drones.resize(2);
    shoot.drones.back().name = "idle";
    shoot.drones.back().own_lights = OwnLights::showing;
    shoot.flights.front().drone = "scout";
    CHECK(names_of_own(shoot) == Names{"scout beacon"});
}

TEST_CASE("covered lights leave a shoot as it is") {
    Shoot shoot = showing_shoot();
    shoot.drones.front().own_lights = OwnLights::covered;
    add_own_lights(shoot);
    CHECK(shoot.lamps.size() == 1);
    CHECK(shoot.flights.front().carries == Names{"warm"});
}

TEST_CASE("flights of one drone in the air together have lights each") {
    Shoot shoot = showing_shoot();
    shoot.flights.back().after.reset();
    CHECK(names_of_own(shoot) == Names{"left light", "right light", "light behind", "left light 2",
                                       "right light 2", "light behind 2"});
    SUBCASE("in two takes they do with the same") {
        shoot.takes.front().flights = {"out"};
        Take other;
        other.name = "other";
        other.flights = {"back"};
        shoot.takes.push_back(other);
        CHECK(names_of_own(shoot).size() == 3);
    }
}

// 14 CFR 25.1387: left and right from dead ahead to 110 deg to that side, the rear one 140 deg.
TEST_CASE("own lights sit and shine to their sides, whichever way the nose points") {
    Shoot shoot = showing_shoot();
    add_own_lights(shoot);
    for (const double nose_deg : {0.0, 75.0, 180.0, 290.0}) {
        shoot.flights.front().nose_deg = nose_deg;
        const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
        const Vec3 nose = direction_of(radians(nose_deg));
        const Vec3 right = direction_of(radians(nose_deg + 90.0));
        const Vec3 drone_m(0.0, 4.0, 6.0);  // 2 s on its way
        const auto half_at = [&](const std::string& name, const Vec3& away) {
            const LitLamp& light = lit_named(lit, name);
            const Beam beam(*light.lamp);
            const double cosine = glm::dot(aim_direction(light, {}, 5.0), away);
            CHECK_RELATIVE(beam.intensity_cd(cosine), 0.5 * beam.intensity_cd(1.0), 1e-9);
        };
        const auto away = [&](double deg) { return direction_of(radians(nose_deg + deg)); };
        half_at("left light", away(0.0));
        half_at("left light", away(-110.0));
        half_at("right light", away(0.0));
        half_at("right light", away(110.0));
        half_at("light behind", away(110.0));
        half_at("light behind", away(-110.0));
        CHECK_WITHIN(lit_named(lit, "left light").position_m(5.0), drone_m - 0.2 * right, 1e-9);
        CHECK_WITHIN(lit_named(lit, "right light").position_m(5.0), drone_m + 0.2 * right, 1e-9);
        CHECK_WITHIN(lit_named(lit, "light behind").position_m(5.0), drone_m - 0.2 * nose, 1e-9);
    }
}

TEST_CASE("own lights burn from the shutter's opening to its end, on all ways of their drone") {
    Shoot shoot = showing_shoot();
    shoot.stretches.resize(1);
    shoot.stretches.front().flight = "out";
    shoot.stretches.front().lit = false;
    shoot.stretches.front().aim = AimWord::down;
    shoot.drones.front().beacon.pulse.per_minute = 30.0;
    add_own_lights(shoot);
    const std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    const LitLamp& left = lit_named(lit, "left light");
    REQUIRE(left.lit.size() == 1);
    CHECK(left.lit.front().from_s == 0.0);
    CHECK(left.lit.front().to_s == 40.0);
    CHECK_FALSE(std::holds_alternative<AimWord>(left.aim_at(5.0)));
    const LitLamp& behind = lit_named(lit, "light behind");
    CHECK_WITHIN(behind.position_m(1.0), Vec3(0.0, -0.2, 6.0), 1e-9);  // it waits at its start
    // From rest to rest over 12 m within 4 m/s and 1.5 m/s2: s / v + v / a.
    constexpr double way_s = 12.0 / 4.0 + 4.0 / 1.5;
    CHECK_WITHIN(behind.position_m(8.0 + 0.5 * way_s).x, 6.0, 1e-6);
    CHECK_WITHIN(behind.position_m(39.0).x, 12.0, 1e-9);
    CHECK_WITHIN(behind.position_m(39.0).y, -0.2, 1e-9);
    CHECK(lit_named(lit, "beacon").lit.size() == 20);
    CHECK_WITHIN(lit_named(lit, "warm").lit_s(), 5.0, 1e-9);
}

// 14 CFR 25.1397 (from memory): aviation red has y up to 0.335 and z up to 0.002; aviation green x
// up to 0.440 - 0.320 y and y - 0.170, and y from 0.390 - 0.170 x.
TEST_CASE("position lights are of aviation's colours") {
    Shoot shoot = showing_shoot();
    add_own_lights(shoot);
    const Vec2 red = lamp_xy(*find_named(shoot.lamps, "left light"));
    CHECK(red.y <= 0.335);
    CHECK(1.0 - red.x - red.y <= 0.002);
    const Vec2 green = lamp_xy(*find_named(shoot.lamps, "right light"));
    CHECK(green.x <= 0.440 - 0.320 * green.y);
    CHECK(green.x <= green.y - 0.170);
    CHECK(green.y >= 0.390 - 0.170 * green.x);
}
