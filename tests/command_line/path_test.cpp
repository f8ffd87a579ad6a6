#include <doctest/doctest.h>

#include <numbers>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

namespace {

const std::string planning_note = "For looking and planning; not a mission for an autopilot.";

/// The small scene at a place of our own invention, with a second flight in its first take.
std::string placed_scene(const TemporaryFolder& folder) {
    std::string text = read_text(small_scene(folder));
    const std::string low = "name = \"low\"\nflights = [\"halo\"]";
    text.replace(text.find(low), low.size(), "name = \"low\"\nflights = [\"halo\", \"pass\"]");
    text += R"([[flight]]
name = "pass"
after = "halo"
shape = "line"
from_m = [-4, 0, 5]
to_m = [4, 0, 7]
carries = ["cool"]
[[lamp]]
name = "cool"
[place]
latitude_deg = 50.1
longitude_deg = 8.2
elevation_m = 480
when = 2026-11-24T17:35:00+01:00
)";
    write_text(folder / "placed.toml", text);
    return (folder / "placed.toml").string();
}

Finished path_run(const std::vector<std::string>& more) {
    std::vector<std::string> arguments{"path"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments);
}

}  // namespace

TEST_CASE("path: a circle as a table on standard output, in metres without a place") {
    const TemporaryFolder folder;
    const Finished path = path_run({small_scene(folder)});
    REQUIRE(path.code == 0);
    CHECK(contains(path.err, planning_note));
    const std::vector<std::string> lines = lines_of(path.out);
    REQUIRE(lines.size() > 20);
    CHECK(lines[0] == "path,east_m,north_m,up_m,time_s,speed_m_s,hold_s,lit\r");
    // A lap of 8 s on a circle of 3 m, from the south: 2 pi 3 / 8 m/s.
    CHECK(lines[1] == "halo,0.0000,-3.0000,6.0000,0.000000,2.3562,0.000000,yes\r");
    CHECK(lines.back() == "halo,0.0000,-3.0000,6.0000,8.000000,,0.000000,yes\r");
    CHECK(path_run({small_scene(folder), "--quiet"}).err.empty());
}

TEST_CASE("path: flights of a take, each format by the file's name") {
    const TemporaryFolder folder;
    const std::string scene = placed_scene(folder);
    for (const char* name : {"a.csv", "a.GeoJSON", "a.gpx", "a.kml"}) {
        CAPTURE(name);
        const std::string file = (folder / name).string();
        const Finished path = path_run({scene, "-o", file});
        REQUIRE(path.code == 0);
        CHECK(path.out.empty());
        CHECK(contains(path.err, file + " is written: 2 flights, "));
        CHECK(contains(path.err, planning_note));
        const std::string text = read_text(file);
        CHECK(contains(text, "halo"));
        CHECK(contains(text, "pass"));
        if (file.find("csv") == std::string::npos) CHECK(contains(text, planning_note));
    }
    const auto written = nlohmann::json::parse(read_text(folder / "a.GeoJSON"));
    REQUIRE(written.at("features").size() == 2);
    const auto& line = written["features"][1]["geometry"]["coordinates"];
    REQUIRE(line.size() == 2);
    CHECK(line[0][2] == 485.0);
    CHECK(line[1][2] == 487.0);
    CHECK(written["title"] == "Small halo");

    const Finished one = path_run({scene, "--flight", "pass", "--format", "geojson"});
    CHECK(one.code == 0);
    CHECK(nlohmann::json::parse(one.out).at("features").size() == 1);
    const Finished other = path_run({scene, "--take", "short", "--format", "csv"});
    CHECK(other.code == 0);
    CHECK(!contains(other.out, "pass,"));
    CHECK(folder.names() == std::vector<std::string>{"a.GeoJSON", "a.csv", "a.gpx", "a.kml",
                                                     "placed.toml", "small.toml"});
}

TEST_CASE("path: what is written is flown again") {
    const TemporaryFolder folder;
    const std::string scene = placed_scene(folder);
    for (const std::string name : {"a.csv", "a.geojson", "a.gpx", "a.kml"}) {
        CAPTURE(name);
        REQUIRE(path_run({scene, "-o", (folder / name).string()}).code == 0);
        std::string text = read_text(scene);
        const std::string shape = "height_m = 6\nradius_m = 3\nlap_s = 8\n";
        text.replace(text.find(shape), shape.size(),
                     "shape = \"waypoints\"\nwaypoints = \"" + name + "\"\n");
        write_text(folder / "again.toml", text);
        const Finished check = run({"check", (folder / "again.toml").string(), "--json"});
        CAPTURE(check.err);
        REQUIRE(check.code == 0);
        const auto report = nlohmann::json::parse(check.out);
        const auto& flight = report.at("takes")[0].at("flights")[0];
        CHECK(flight.at("name") == "halo");
        CHECK(flight.at("length_m").get<double>() ==
              doctest::Approx(2.0 * std::numbers::pi * 3.0).epsilon(2e-3));
        // GPX tells of no speeds; drawn flights have 2 m/s then.
        const bool has_speeds = name != "a.gpx";
        CHECK(flight.at("top_speed_m_s").get<double>() ==
              doctest::Approx(has_speeds ? 2.3562 : 2.0).epsilon(2e-3));
    }
}

TEST_CASE("path: what can't be done is refused with its exit code, and nothing is written") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const auto refused = [&](const std::vector<std::string>& more, int code,
                             const std::string& words) {
        std::vector<std::string> arguments{scene};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Finished path = path_run(arguments);
        CAPTURE(path.err);
        CHECK(path.code == code);
        CHECK(path.out.empty());
        CHECK(contains(path.err, words));
    };
    const std::string file = (folder / "a.gpx").string();
    refused({"-o", file}, 3,
            "the scene has no [place]; gpx needs its latitude_deg and longitude_deg, and csv does "
            "not");
    refused({"-o", (folder / "a.txt").string()}, 2, "end its name in .csv, .geojson, .gpx or .kml");
    refused({"--format", "gpz"}, 2, "--format can't be \"gpz\"; did you mean \"gpx\"?");
    refused({"--format", "csv", "-o", file}, 2, "is no name for --format csv");
    refused({"--flight", "hallo"}, 2,
            "the take \"low\" has no flight \"hallo\"; did you mean \"halo\"?");
    refused({"--take", "hi"}, 2, "there is no take \"hi\"");
    refused({"--take", "low", "--take", "short"}, 2, "give --take once");
    refused({"-o", (folder / "none" / "a.csv").string()}, 4, "");
    refused({"--set", "flight.halo.radius_m=5000", "--set", "flight.halo.turns=1000"}, 3,
            "with flight \"halo\" there are more than 200000 points");
    CHECK(path_run({(folder / "gone.toml").string()}).code == 4);
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
}
