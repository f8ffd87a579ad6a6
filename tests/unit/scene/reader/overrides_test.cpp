// `--set key=value`: where it lands, and what is said of one that lands nowhere.
#include <doctest/doctest.h>

#include "scene/reader/read_shoot.h"
#include "tests/full_scene.h"
#include "tests/unit/scene/reader/problems_of.h"

using namespace lampflight;

namespace {

Shoot changed(const std::vector<Override>& overrides) {
    const Checked<Shoot> read = read_shoot(full_scene, "full.toml", overrides);
    for (const Problem& problem : problems_of(read)) FAIL_CHECK(to_string(problem));
    return std::holds_alternative<Shoot>(read) ? std::get<Shoot>(read) : Shoot{};
}

std::vector<std::string> said(const std::vector<Override>& overrides) {
    std::vector<std::string> lines;
    for (const Problem& problem : problems_of(read_shoot(full_scene, "full.toml", overrides)))
        lines.push_back(to_string(problem));
    return lines;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("An override changes a key of a table") {
    CHECK(changed({{"camera.iso", "3200"}}).camera.iso == 3200.0);
    CHECK(changed({{"photograph.blend", "mean"}}).photograph.blend == Blend::mean);
    CHECK(changed({{"photograph.blend", "\"mean\""}}).photograph.blend == Blend::mean);
    CHECK(changed({{"camera.position_m", "[0, -8, 2]"}}).camera.position_m == Vec3(0, -8, 2));
}

TEST_CASE("A bare text needs no quotes") {
    CHECK(changed({{"title", "A ring of light"}}).title == "A ring of light");
    CHECK(changed({{"title", "\"quoted\""}}).title == "quoted");
    CHECK(changed({{"lamp.warm.aim", "down"}}).lamps[0].aim.index() == Aim(AimWord::down).index());
}

TEST_CASE("An entry of a list is found by its name, spaces and all") {
    CHECK(changed({{"flight.halo.radius_m", "7"}}).flights[0].radius_m == 7.0);
    CHECK(changed({{"flight.gate ring.speed_m_s", "3.5"}}).flights[2].speed_m_s == 3.5);
    CHECK(changed({{"take.low halo.lamp_stops.warm", "-1"}}).takes[0].lamp_stops.at("warm") ==
          -1.0);
}

TEST_CASE("The only drone needs no name") {
    const std::string alone =
        "[camera]\n[[lamp]]\nname = \"a\"\n[[drone]]\nmass_kg = 2\n"
        "[[flight]]\nname = \"f\"\ncarries = [\"a\"]\n[[take]]\nname = \"t\"\nflights = [\"f\"]\n";
    const auto drone = [&](const std::string& text, const std::vector<Override>& overrides) {
        const Checked<Shoot> read = read_shoot(text, "alone.toml", overrides);
        for (const Problem& problem : problems_of(read)) FAIL_CHECK(to_string(problem));
        return std::holds_alternative<Shoot>(read) ? std::get<Shoot>(read).drones.front() : Drone{};
    };
    CHECK(drone(alone, {{"drone.mass_kg", "3"}}).mass_kg == 3.0);
    CHECK(drone(alone, {{"drone.mass_kg", ""}}).mass_kg == Drone{}.mass_kg);
    CHECK(drone(alone, {{"drone.beacon.per_minute", "50"}}).beacon.pulse.per_minute == 50.0);
    CHECK(drone(alone, {{"drone.name", "scout"}, {"drone.scout.reserve", "0.3"}}).reserve == 0.3);
    CHECK(said({{"drone.mass_kg", "3"}}) ==  // there are two
          Lines{"--set drone.mass_kg=3: [[drone]] may be there several times; allowed is "
                "drone.NAME.KEY"});
}

TEST_CASE("Inner tables are reached, and made where there are none") {
    CHECK(changed({{"lamp.warm.gel.transmission", "0.5"}}).lamps[0].gel.transmission == 0.5);
    const Shoot shoot = changed({{"lamp.cold.gel.shift_mired", "-30"}});
    CHECK(shoot.lamps[1].gel.shift_mired == -30.0);
    CHECK(changed({{"lamp.cold.gel", "{ shift_mired = 20 }"}}).lamps[1].gel.shift_mired == 20.0);
}

TEST_CASE("A table that the file lacks is made") {
    const std::string small =
        "[camera]\n[[lamp]]\nname = \"a\"\nposition_m = [0, 0, 1]\n"
        "[[take]]\nname = \"t\"\n";
    const Checked<Shoot> read = read_shoot(small, "small.toml", {{"sky.horizontal_lx", "3"}});
    REQUIRE(std::holds_alternative<Shoot>(read));
    CHECK(std::get<Shoot>(read).sky.horizontal_lx == 3.0);
}

TEST_CASE("The last override of a key wins") {
    CHECK(changed({{"camera.iso", "3200"}, {"camera.iso", "200"}}).camera.iso == 200.0);
}

TEST_CASE("An override can mend what the file has wrong") {
    const std::string text =
        "[camera]\niso = -3\n[[lamp]]\nname = \"a\"\nposition_m = [0, 0, 1]\n"
        "[[take]]\nname = \"t\"\n";
    CHECK(problems_of(read_shoot(text, "small.toml")).size() == 1);
    CHECK(problems_of(read_shoot(text, "small.toml", {{"camera.iso", "100"}})).empty());
}

TEST_CASE("What is wrong with an override is told of it, not of the file") {
    CHECK(
        said({{"camera.iso", "abc"}}) ==
        Lines{"--set camera.iso=abc: \"iso\" in [camera] is the text \"abc\"; allowed is a number, "
              "1 to 4000000"});
    CHECK(said({{"camera.iso", "0"}}) ==
          Lines{"--set camera.iso=0: \"iso\" in [camera] is 0; allowed is 1 to 4000000"});
    CHECK(
        said({{"camera.position_m", "[0, nan, 1]"}}) ==
        Lines{
            "--set camera.position_m=[0, nan, 1]: \"position_m\" in [camera] holds nan; allowed is "
            "3 numbers, each -20000 to 20000 m"});
    CHECK(said({{"flight.halo.carries", "[\"wram\"]"}}).front() ==
          "--set flight.halo.carries=[\"wram\"]: \"carries\" in [[flight]] \"halo\" names the lamp "
          "\"wram\", which is not there; did you mean \"warm\"?");
    CHECK(said({{"flight.halo.speed_m_s", "3"}}) ==
          Lines{"--set flight.halo.speed_m_s=3: \"speed_m_s\" in [[flight]] \"halo\" stands beside "
                "\"lap_s\"; allowed is one of \"lap_s\", \"speed_m_s\" and \"pace\""});
}

TEST_CASE("An override of something unknown is told the nearest right word") {
    CHECK(said({{"camera.focal_m", "20"}}) ==
          Lines{"--set camera.focal_m=20: unknown key \"focal_m\" in [camera]; did you mean "
                "\"focal_mm\"?"});
    CHECK(said({{"camra.iso", "800"}}) ==
          Lines{"--set camra.iso=800: unknown table \"camra\"; did you mean \"camera\"?"});
    CHECK(said({{"flight.hallo.radius_m", "7"}}) ==
          Lines{"--set flight.hallo.radius_m=7: no [[flight]] is called \"hallo\"; did you mean "
                "\"halo\"?"});
    CHECK(said({{"titel", "x"}}) ==
          Lines{"--set titel=x: unknown key \"titel\"; did you mean \"title\"?"});
    CHECK(said({{"lamp.warm.gel.transmision", "0.5"}}) ==
          Lines{"--set lamp.warm.gel.transmision=0.5: unknown key \"gel.transmision\" in [[lamp]] "
                "\"warm\"; did you mean \"gel.transmission\"?"});
}

TEST_CASE("An override that names no single key is refused") {
    CHECK(said({{"camera", "3"}}) ==
          Lines{"--set camera=3: [camera] is a whole table; allowed is one "
                "of its keys, camera.KEY"});
    CHECK(said({{"flight.halo", "3"}}) ==
          Lines{"--set flight.halo=3: [[flight]] may be there several "
                "times; allowed is flight.NAME.KEY"});
    CHECK(said({{"camera.iso.x", "3"}}) ==
          Lines{"--set camera.iso.x=3: \"iso\" in [camera] is a table; allowed is a number, 1 to "
                "4000000"});
    CHECK(said({{"", ""}}).size() == 1);
    CHECK(said({{"...", "1"}}).size() == 1);
    CHECK(said({{std::string(100000, '.'), "1"}}).size() == 1);
}

TEST_CASE("A value can't smuggle in more than a value") {
    CHECK(said({{"title", "1\n[camera]\niso = 3"}}).size() == 1);
    CHECK(said({{"camera.iso", "800\niso = 3"}}).size() == 1);
    CHECK(said({{"camera.iso", std::string(100000, '[')}}).size() == 1);
}

TEST_CASE("Problems of overrides come first, in the order of the overrides") {
    const Lines lines = said({{"flight.halo.turns", "0"}, {"camera.iso", "0"}, {"camra.iso", "0"}});
    REQUIRE(lines.size() == 3);
    for (const std::string& line : lines) CHECK(line.starts_with("--set "));
}

TEST_CASE("An override without a value takes its key away") {
    const auto without = [](std::string line) {
        std::string text = full_scene;
        const std::size_t at = text.find(line);
        REQUIRE(at != std::string::npos);
        return text.erase(at, line.size());
    };
    struct Case {
        const char* key;
        const char* line;
    };
    for (const Case& each :
         {Case{"camera.iso", "iso = 800\n"}, Case{"flight.halo.lap_s", "lap_s = 16\n"}}) {
        const Checked<Shoot> one = read_shoot(full_scene, "full.toml", {{each.key, ""}});
        const Checked<Shoot> other = read_shoot(without(each.line), "full.toml");
        REQUIRE(std::holds_alternative<Shoot>(one));
        REQUIRE(std::holds_alternative<Shoot>(other));
        CHECK(std::get<Shoot>(one).camera.iso == std::get<Shoot>(other).camera.iso);
        CHECK(std::get<Shoot>(one).flights[0].lap_s == std::get<Shoot>(other).flights[0].lap_s);
    }
}

TEST_CASE("What is not there or required can't be taken away") {
    CHECK(
        said({{"camera.pixel", ""}}) ==
        Lines{
            "--set camera.pixel=: \"pixel\" in [camera] is not in the file, so there is nothing to "
            "take away; did you mean \"pixels\"?"});
    CHECK(said({{"flight.halo.name", ""}}) ==
          Lines{"--set flight.halo.name=: \"name\" in [[flight]] \"halo\" is required and can't be "
                "taken away; allowed is another value"});
    CHECK(
        said({{"place.elevation_m", ""}}) ==
        Lines{"--set place.elevation_m=: the file has no [place], so there is nothing to take away"});
}

TEST_CASE("An override with a slip of the hand is told what to write") {
    CHECK(
        said({{"camera.f_number", "7,1"}}) ==
        Lines{
            "--set camera.f_number=7,1: \"f_number\" in [camera] is written with a decimal comma; "
            "write 7.1"});
    CHECK(
        said({{"flight.halo.height_m", "26 ft"}}) ==
        Lines{"--set flight.halo.height_m=26 ft: \"height_m\" in [[flight]] \"halo\" is in \"ft\", "
              "but the key is in m; write 7.92"});
    CHECK(
        said({{"camera.aperture", "8"}}) ==
        Lines{"--set camera.aperture=8: unknown key \"aperture\" in [camera]; write f_number = 8"});
    CHECK(said({{"light.warm.flux_lm", "8"}}) ==
          Lines{"--set light.warm.flux_lm=8: unknown table \"light\"; write lamp"});
    CHECK(said({{"speed", "4"}}) ==
          Lines{"--set speed=4: unknown key \"speed\"; write flight.NAME.speed_m_s"});
}
