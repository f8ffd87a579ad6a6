// What a battery gives, worked by hand.
#include "scene/shoot/battery.h"

#include <algorithm>
#include <cmath>

#include "tests/within.h"

using namespace lampflight;

namespace {

Flight line_of(const std::string& name, const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.name = name;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = 22.0;
    return flight;
}

Take take_of(const std::string& name, const std::vector<std::string>& flights) {
    Take take;
    take.name = name;
    take.flights = flights;
    return take;
}

/// Two takes of 25 s by a drone that hovers for 18 minutes with its lamps, each of a lap of 22 s
/// (common practice, no source). The second begins 10 s late.
Shoot two_takes() {
    Shoot shoot;
    shoot.camera.shutter_s = 25.0;
    Drone drone;
    drone.loaded_endurance_min = 18.0;
    shoot.drones = {drone};
    shoot.flights = {line_of("one", {30.0, 0.0, 10.0}, {30.0, 40.0, 10.0}),
                     line_of("two", {30.0, -40.0, 10.0}, {0.0, -40.0, 10.0})};
    shoot.flights.back().start_s = 10.0;
    shoot.takes = {take_of("first", {"one"}), take_of("second", {"two"})};
    return shoot;
}

DroneBattery only_battery(const Shoot& shoot) {
    const std::vector<DroneBattery> list = batteries(shoot);
    REQUIRE(list.size() == 1);
    return list.front();
}

/// Takes of that shoot flown one by one, until the way home would touch the reserve.
int counted_tries(double usable_s, double reset_s, double reset_after_second_s) {
    double up_s = 8.0;
    for (int tries = 0;; ++tries) {
        const bool second = tries % 2 == 1;
        if (tries > 0) up_s += second ? reset_s : reset_after_second_s;
        up_s += second ? 32.0 : 25.0;
        if (up_s + (second ? 10.0 : 12.0) > usable_s) return tries;
    }
}

}  // namespace

TEST_CASE("battery: two takes worked by hand") {
    const DroneBattery battery = only_battery(two_takes());
    CHECK_WITHIN(*battery.endurance_s, 1080.0, 1e-9);
    CHECK(battery.timed);
    CHECK_WITHIN(*battery.usable_s, 810.0, 1e-9);
    // 10 m up and 30 m across at 5 m/s; home over 40 m and down 10.
    CHECK_WITHIN(battery.out_s, 8.0, 1e-9);
    CHECK_WITHIN(battery.back_s, 10.0, 1e-9);
    REQUIRE(battery.takes.size() == 2);
    const BatteryTake& first = battery.takes[0];
    CHECK(first.take == "first");
    CHECK(first.battery == 1);
    CHECK_WITHIN(first.out_s, 8.0, 1e-9);
    CHECK(first.reset_s == 0.0);
    CHECK_WITHIN(first.flown_s, 25.0, 1e-9);  // it waits for the shutter
    CHECK_WITHIN(first.back_s, 12.0, 1e-9);
    CHECK_WITHIN(*first.left_s, 1047.0, 1e-9);
    CHECK_WITHIN(*first.left_share, 1047.0 / 1080.0, 1e-12);
    const BatteryTake& second = battery.takes[1];
    CHECK(second.battery == 1);
    CHECK(second.out_s == 0.0);
    CHECK_WITHIN(second.reset_s, 20.0, 1e-9);  // 80 m over are 16 s
    CHECK_WITHIN(second.flown_s, 32.0, 1e-9);  // begun 10 s late
    CHECK_WITHIN(*second.left_s, 995.0, 1e-9);
    CHECK_WITHIN(*battery.landed_s(second), 985.0, 1e-9);
    CHECK(battery.keeps_reserve(second) == true);
    // A round is 25 + 20 + 32 + 20 s. The first take ends its ninth round at 33 + 8 x 97 s and
    // would be home after 821 s; the eighth second take is home after 774 s.
    CHECK(battery.tries == 16);
}

TEST_CASE("battery: the way over counts where it takes longer than the reset") {
    Shoot shoot = two_takes();
    shoot.drones.front().reset_s = 5.0;
    CHECK_WITHIN(only_battery(shoot).takes[1].reset_s, 16.0, 1e-9);
}

TEST_CASE("battery: tries are what counting take by take gives") {
    Shoot shoot = two_takes();
    for (double minutes = 0.5; minutes < 40.0; minutes *= 1.07) {
        shoot.drones.front().loaded_endurance_min = minutes;
        CHECK_MESSAGE(only_battery(shoot).tries == counted_tries(45.0 * minutes, 20.0, 20.0),
                      minutes);
    }
}

TEST_CASE("battery: a dark frame keeps the camera busy beside the reset") {
    Shoot shoot = two_takes();
    shoot.camera.dark_frame = true;
    DroneBattery battery = only_battery(shoot);
    CHECK_WITHIN(battery.takes[1].reset_s, 25.0, 1e-9);
    CHECK_WITHIN(*battery.takes[1].left_s, 990.0, 1e-9);
    // After the second take, flown for 7 s more than the shutter was open, it is busy for 18 s.
    CHECK(battery.tries == counted_tries(810.0, 25.0, 20.0));
    shoot.drones.front().reset_s = 0.0;
    CHECK(only_battery(shoot).tries == counted_tries(810.0, 25.0, 18.0));
    shoot.takes.front().shutter_s = 100.0;
    battery = only_battery(shoot);
    CHECK_WITHIN(battery.takes[0].flown_s, 100.0, 1e-9);
    CHECK_WITHIN(battery.takes[1].reset_s, 100.0, 1e-9);
    shoot.drones.front().reset_s = 110.0;
    CHECK_WITHIN(only_battery(shoot).takes[1].reset_s, 110.0, 1e-9);
}

TEST_CASE("battery: a fresh one where the next take would run into the reserve") {
    Shoot shoot = two_takes();
    shoot.drones.front().loaded_endurance_min = 2.0;
    const DroneBattery battery = only_battery(shoot);
    CHECK(battery.tries == 1);
    CHECK(battery.takes[0].battery == 1);
    CHECK_WITHIN(*battery.takes[0].left_s, 87.0, 1e-9);
    CHECK(battery.takes[1].battery == 2);
    CHECK_WITHIN(battery.takes[1].out_s, 12.0, 1e-9);
    CHECK(battery.takes[1].reset_s == 0.0);
    CHECK_WITHIN(*battery.takes[1].left_s, 76.0, 1e-9);
    CHECK(battery.keeps_reserve(battery.takes[1]) == true);
    // Home with exactly the reserve is home in time: 45 of 60 s.
    shoot.drones.front().loaded_endurance_min = 1.0;
    CHECK(only_battery(shoot).tries == 1);
    CHECK(only_battery(shoot).keeps_reserve(only_battery(shoot).takes[0]) == true);
    shoot.drones.front().loaded_endurance_min = 0.999;
    CHECK(only_battery(shoot).tries == 0);
    CHECK(only_battery(shoot).keeps_reserve(only_battery(shoot).takes[0]) == false);
}

TEST_CASE("battery: endurance with lamps, by momentum theory, and as timed") {
    // Ratio (m0/m1)^1.5 at a fixed battery: Leishman, Principles of Helicopter Aerodynamics, from
    // memory.
    Drone drone;
    drone.mass_kg = 1.0;
    drone.lamp_mass_kg = 0.2;
    CHECK_FALSE(loaded_endurance_s(drone));
    drone.endurance_min = 20.0;
    CHECK_WITHIN(*loaded_endurance_s(drone), 1200.0 * 0.76072577, 1e-5);
    // Power of a hover at 1.0 and 1.4 kg over four rotors of 0.12 m, air of 1.225 kg/m3, figure of
    // merit 0.6: likewise, to seven digits.
    drone.lamp_mass_kg = 0.4;
    CHECK_RELATIVE(*loaded_endurance_s(drone), 1200.0 * 76.87065 / 127.3364, 2e-7);
    // The formula itself, from memory: P = (m g)^1.5 / sqrt(2 rho A) / FM.
    const auto hover_w = [](double mass_kg) {
        const double area_m2 = 4.0 * M_PI * 0.12 * 0.12;
        return std::pow(mass_kg * 9.80665, 1.5) / std::sqrt(2.0 * 1.225 * area_m2) / 0.6;
    };
    CHECK_RELATIVE(hover_w(1.0), 76.87065, 1e-7);
    CHECK_RELATIVE(*loaded_endurance_s(drone), 1200.0 * hover_w(1.0) / hover_w(1.4), 1e-12);
    drone.lamp_mass_kg = 0.0;
    CHECK(*loaded_endurance_s(drone) == 1200.0);
    drone.loaded_endurance_min = 13.0;
    CHECK_WITHIN(*loaded_endurance_s(drone), 780.0, 1e-9);
}

TEST_CASE("battery: what is usable of an energy at a power") {
    // 70 Wh at 250 W, of which 0.8; 45 Wh at 120 W, of which 0.7: arithmetic.
    Shoot shoot = two_takes();
    Drone& drone = shoot.drones.front();
    drone.loaded_endurance_min = 60.0 * 70.0 / 250.0;
    drone.reserve = 0.2;
    CHECK_WITHIN(*only_battery(shoot).usable_s, 60.0 * 13.44, 1e-9);
    drone.loaded_endurance_min = 60.0 * 45.0 / 120.0;
    drone.reserve = 0.3;
    CHECK_WITHIN(*only_battery(shoot).usable_s, 60.0 * 15.75, 1e-9);
}

TEST_CASE("battery: ways by the drone's limits, from a home of its own height") {
    Shoot shoot = two_takes();
    Drone& drone = shoot.drones.front();
    drone.home_m = {30.0, -20.0, 4.0};
    CHECK_WITHIN(only_battery(shoot).out_s, (6.0 + 20.0) / 5.0, 1e-9);
    drone.limits.climb_m_s = 2.0;
    drone.limits.descent_m_s = 1.0;
    drone.limits.speed_m_s = 4.0;
    CHECK_WITHIN(only_battery(shoot).out_s, 6.0 / 2.0 + 20.0 / 4.0, 1e-9);
    CHECK_WITHIN(only_battery(shoot).takes[0].back_s, 6.0 / 1.0 + 60.0 / 4.0, 1e-9);
    // 80 m over at 4 m/s; 60 m down at 1 m/s take longer.
    drone.reset_s = 0.0;
    CHECK_WITHIN(only_battery(shoot).takes[1].reset_s, 20.0, 1e-9);
    for (auto* end : {&shoot.flights[0].from_m, &shoot.flights[0].to_m}) (*end)->z = 70.0;
    CHECK_WITHIN(only_battery(shoot).takes[1].reset_s, 60.0, 1e-9);
    // Down to a start below home.
    drone.home_m.z = 80.0;
    CHECK_WITHIN(only_battery(shoot).out_s, 10.0 / 1.0 + 20.0 / 4.0, 1e-9);
}

TEST_CASE("battery: each of two drones has its own takes") {
    Shoot shoot = two_takes();
    shoot.drones.resize(4);
    const std::vector<std::string> names{"a", "b", "idle", "grounded"};
    for (std::size_t i = 0; i < names.size(); ++i) shoot.drones[i].name = names[i];
    shoot.drones[1].loaded_endurance_min = 2.0;
    shoot.flights[0].drone = "a";
    shoot.flights[1].drone = "b";
    shoot.flights.push_back(shoot.flights[0]);
    shoot.flights.back().name = "in no take";
    shoot.flights.back().drone = "grounded";
    shoot.takes.push_back(take_of("third", {"one"}));
    shoot.takes.push_back(take_of("fourth", {"two", "one"}));
    shoot.takes.push_back(take_of("empty", {}));
    const std::vector<DroneBattery> list = batteries(shoot);
    REQUIRE(list.size() == 2);
    CHECK(list[0].drone == "a");
    REQUIRE(list[0].takes.size() == 3);
    CHECK(list[0].takes[1].take == "third");
    CHECK(list[0].takes[2].take == "fourth");
    CHECK_WITHIN(list[0].takes[2].flown_s, 25.0, 1e-9);
    CHECK(list[1].drone == "b");
    REQUIRE(list[1].takes.size() == 2);
    CHECK_WITHIN(list[1].takes[1].flown_s, 32.0, 1e-9);
    REQUIRE(scarcest(list));
    CHECK(scarcest(list)->drone == "b");
}

TEST_CASE("battery: flights of one drone in one take follow each other, a hover lasts") {
    Shoot shoot = two_takes();
    shoot.flights[1].after = "one";
    shoot.flights[1].start_s = 0.0;
    shoot.takes = {take_of("both", {"two", "one"})};
    const DroneBattery both = only_battery(shoot);
    CHECK_WITHIN(both.out_s, 8.0, 1e-9);
    CHECK_WITHIN(both.back_s, 10.0, 1e-9);
    // Elementary mechanics: 80 m from rest to rest within 4 m/s and 1.5 m/s2 take s/v + v/a.
    CHECK_WITHIN(both.takes.front().flown_s, 22.0 + 80.0 / 4.0 + 4.0 / 1.5 + 22.0, 1e-9);

    shoot.flights.resize(1);
    Flight& hover = shoot.flights.front();
    hover.shape = FlightShape::hover;
    hover.centre_m = {30.0, 0.0};
    hover.height_m = 10.0;
    hover.lap_s.reset();
    hover.pace = Pace::shutter;
    shoot.takes = {take_of("still", {"one"})};
    const DroneBattery still = only_battery(shoot);
    CHECK_WITHIN(still.out_s, 8.0, 1e-9);
    CHECK_WITHIN(still.back_s, 8.0, 1e-9);
    CHECK_WITHIN(still.takes.front().flown_s, 25.0, 1e-9);
    // 16 s of ways, then 25 s each and 20 s between: 17 x 45 + 41 s are 806 of 810.
    CHECK(still.tries == 18);
}

TEST_CASE("battery: of flights at once that name no drone the longest ways count") {
    Shoot shoot = two_takes();
    shoot.takes = {take_of("at once", {"one", "two"})};
    const DroneBattery battery = only_battery(shoot);
    CHECK_WITHIN(battery.out_s, 12.0, 1e-9);
    CHECK_WITHIN(battery.back_s, 12.0, 1e-9);
    CHECK_WITHIN(battery.takes.front().flown_s, 32.0, 1e-9);
}

TEST_CASE("battery: nothing is guessed where no endurance is told") {
    Shoot shoot = two_takes();
    shoot.drones.front().loaded_endurance_min.reset();
    const DroneBattery battery = only_battery(shoot);
    CHECK_FALSE(battery.endurance_s);
    CHECK_FALSE(battery.usable_s);
    CHECK_FALSE(battery.tries);
    CHECK_WITHIN(battery.out_s, 8.0, 1e-9);
    REQUIRE(battery.takes.size() == 2);
    CHECK_WITHIN(battery.takes[1].reset_s, 20.0, 1e-9);
    for (const BatteryTake& take : battery.takes) {
        CHECK_FALSE(take.battery);
        CHECK_FALSE(take.left_s);
        CHECK_FALSE(take.left_share);
        CHECK_FALSE(battery.landed_s(take));
        CHECK_FALSE(battery.keeps_reserve(take));
    }
    CHECK(scarcest(batteries(shoot)) == nullptr);
    shoot.drones.clear();
    CHECK(batteries(shoot).empty());
}

TEST_CASE("battery: odd numbers stay numbers") {
    Shoot shoot = two_takes();
    Drone& drone = shoot.drones.front();
    drone.loaded_endurance_min.reset();
    drone.endurance_min = 0.5;
    drone.reserve = 0.9;
    drone.mass_kg = 0.01;
    drone.transit_m_s = 0.1;
    drone.home_m = {-20000.0, -20000.0, -20000.0};
    const DroneBattery worst = only_battery(shoot);
    CHECK(worst.tries == 0);
    CHECK(*worst.usable_s > 0.0);
    CHECK(worst.out_s > 400000.0);
    CHECK(std::isfinite(worst.out_s));
    for (const BatteryTake& take : worst.takes) {
        CHECK(std::isfinite(*take.left_s));
        CHECK(*take.left_s < 0.0);
        CHECK(worst.keeps_reserve(take) == false);
    }
    CHECK(worst.takes[1].battery == 2);
    // The most that can be told, of the shortest take.
    drone = Drone{};
    drone.loaded_endurance_min = 600.0;
    drone.reserve = drone.reset_s = 0.0;
    shoot.takes.resize(1);
    shoot.camera.shutter_s = 0.0001;
    shoot.flights.front().lap_s = 1e-4;
    shoot.flights.front().to_m = shoot.flights.front().from_m;
    CHECK(*only_battery(shoot).tries > 100000);
}
