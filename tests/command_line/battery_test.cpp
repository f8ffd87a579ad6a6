// What `check` tells of batteries.
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

namespace {

using BatteryJson = nlohmann::json;

/// The small scene with a drone straight under where its halo begins, 6 m up.
std::string scene_with_drone(const TemporaryFolder& folder, const std::string& more) {
    const std::string scene = small_scene(folder);
    write_text(scene, read_text(scene) + "[[drone]]\nhome_m = [0, -3, 0]\n" + more);
    return scene;
}

BatteryJson battery_report(const std::string& scene) {
    const Finished check = run({"check", scene, "--json"});
    CAPTURE(check.err);
    REQUIRE(check.code == 0);
    return BatteryJson::parse(check.out);
}

}  // namespace

TEST_CASE("check: a battery by hand, as JSON") {
    const TemporaryFolder folder;
    const BatteryJson report = battery_report(scene_with_drone(
        folder, "name = \"first\"\nloaded_endurance_min = 18\nreserve = 0.25\ntransit_m_s = 5\n"));
    const BatteryJson& battery = report.at("battery");
    CHECK(battery.size() == 3);
    CHECK(battery.at("out_s").get<double>() == doctest::Approx(1.2));
    CHECK(battery.at("usable_s").get<double>() == doctest::Approx(810.0));
    // A round is 10 s and 8 s, for the lap of 8 s outlasts the shorter shutter, with 20 s after
    // each; the fifteenth first take would be home after 12.4 + 14 x 58 s.
    CHECK(battery.at("tries") == 28);
    REQUIRE(report.at("batteries").size() == 1);
    const BatteryJson& drone = report["batteries"][0];
    CHECK(drone.at("drone") == "first");
    CHECK(drone.at("endurance_s").get<double>() == doctest::Approx(1080.0));
    CHECK(drone.at("usable_s") == battery["usable_s"]);
    CHECK(drone.at("out_s") == battery["out_s"]);
    CHECK(drone.at("back_s").get<double>() == doctest::Approx(1.2));
    CHECK(drone.at("tries") == 28);
    REQUIRE(drone.at("takes").size() == 2);
    const BatteryJson& take = drone["takes"][1];
    CHECK(take.at("take") == "short");
    CHECK(take.at("battery") == 1);
    CHECK(take.at("out_s") == 0.0);
    CHECK(take.at("reset_s") == 20.0);
    CHECK(take.at("flown_s").get<double>() == doctest::Approx(8.0));
    CHECK(take.at("back_s").get<double>() == doctest::Approx(1.2));
    CHECK(take.at("left_s").get<double>() == doctest::Approx(1040.8));
    CHECK(take.at("left_share").get<double>() == doctest::Approx(1040.8 / 1080.0));
}

TEST_CASE("check: the drone with the fewest takes speaks for the battery") {
    const TemporaryFolder folder;
    const std::string scene = scene_with_drone(folder, R"(name = "first"
loaded_endurance_min = 18
[[drone]]
name = "second"
home_m = [0, -30, 0]
endurance_min = 6
reserve = 0
lamp_mass_kg = 0.5
[[lamp]]
name = "cold"
[[flight]]
name = "high"
carries = ["cold"]
height_m = 12
radius_m = 3
lap_s = 9
drone = "second"
[[take]]
name = "both"
flights = ["halo", "high"]
)");
    std::string text = read_text(scene);
    text.replace(text.find("carries"), 0, "drone = \"first\"\n");
    write_text(scene, text);
    const BatteryJson report = battery_report(scene);
    REQUIRE(report.at("batteries").size() == 2);
    CHECK(report["batteries"][0]["takes"].size() == 3);
    CHECK(report["batteries"][1]["takes"].size() == 1);
    // 12 m up and 27 m over at 5 m/s; 360 s x (1 / 1.5)^1.5 = 195.96 s; 10 s and 20 s a take.
    CHECK(report["battery"]["out_s"].get<double>() == doctest::Approx(7.8));
    CHECK(report["battery"]["usable_s"].get<double>() == doctest::Approx(195.959).epsilon(1e-5));
    CHECK(report["battery"]["tries"] == 6);
}

TEST_CASE("check: without an endurance a battery is null, and said to be unknown") {
    const TemporaryFolder folder;
    CHECK(battery_report(small_scene(folder)).at("battery").is_null());
    CHECK(battery_report(small_scene(folder)).at("batteries").empty());
    CHECK_FALSE(contains(run({"check", small_scene(folder)}).out, "Battery of"));
    const std::string scene = scene_with_drone(folder, "");
    const BatteryJson report = battery_report(scene);
    CHECK(report.at("battery").is_null());
    const BatteryJson& drone = report.at("batteries").at(0);
    for (const char* name : {"endurance_s", "usable_s", "tries"}) CHECK(drone.at(name).is_null());
    for (const char* name : {"battery", "left_s", "left_share"})
        CHECK(drone.at("takes").at(0).at(name).is_null());
    CHECK(drone["takes"][0]["flown_s"] == 10.0);
    const std::string text = run_on_terminal({"check", scene}, 140);
    CHECK(contains(text, "Battery of"));
    CHECK(contains(text, "the drone "));
    CHECK(contains(text, "gives is unknown"));
}

TEST_CASE("check: the battery's tables say what its figures say, at every width") {
    const TemporaryFolder folder;
    const std::string scene = scene_with_drone(
        folder, "name = \"the first of two that are flown tonight\"\nloaded_endurance_min = 1\n");
    const std::string text = run_on_terminal({"check", scene}, 140);
    for (const char* words :
         {"Takes on one", "Usable min", "With lamps min", "Left min", "Reset s"})
        CHECK_MESSAGE(contains(text, words), words);
    // 60 s with lamps, of which 45: 1.2 + 10 + 20 + 8 + 1.2 s are home in time, 46 s later no more.
    CHECK(battery_report(scene)["battery"]["tries"] == 2);
    CHECK(contains(text, "  0.8  "));  // 48.8 s after the first take
    CHECK(contains(text, "  81 %"));
    CHECK(contains(text, "  35 %"));
    for (const char* columns : {"72", "80", "100"}) {
        ::setenv("COLUMNS", columns, 1);
        for (const std::string& line : lines_of(run({"check", scene}).out))
            CHECK_MESSAGE(line.size() <= std::stoul(columns), line);
        ::unsetenv("COLUMNS");
    }
}

TEST_CASE("check: a dark frame and odd numbers of a drone leave sound figures") {
    const TemporaryFolder folder;
    const std::string scene =
        scene_with_drone(folder, "name = \"d\"\nloaded_endurance_min = 18\nreset_s = 2\n");
    const auto with = [&](const std::vector<std::string>& settings) {
        std::vector<std::string> words{"check", scene, "--json"};
        for (const std::string& setting : settings) {
            words.push_back("--set");
            words.push_back(setting);
        }
        const Finished check = run(words);
        CAPTURE(check.err);
        REQUIRE(check.code == 0);
        return BatteryJson::parse(check.out).at("batteries").at(0);
    };
    CHECK(with({})["takes"][1]["reset_s"] == 2.0);
    CHECK(with({"camera.dark_frame=true"})["takes"][1]["reset_s"] == 10.0);
    const BatteryJson odd =
        with({"drone.d.reserve=0.9", "drone.d.loaded_endurance_min=0.5", "drone.d.transit_m_s=0.1",
              "drone.d.home_m=[20000, -20000, 0]", "drone.d.mass_kg=0.01"});
    CHECK(odd.at("tries") == 0);
    CHECK(odd.at("usable_s").get<double>() == doctest::Approx(3.0));
    CHECK(odd.at("takes").at(0).at("left_s").get<double>() < -200000.0);
    CHECK(odd.at("takes").at(0).at("left_share").is_number());
}
