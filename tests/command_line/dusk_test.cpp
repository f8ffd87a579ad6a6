#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
using nlohmann::json;

namespace {

Finished dusk(const std::vector<std::string>& more) {
    const TemporaryFolder folder;
    std::vector<std::string> arguments{
        "dusk",  small_scene(folder),     "--set", "place.latitude_deg=45",
        "--set", "place.longitude_deg=7", "--set", "place.when=2024-11-13T17:29:00+01:00"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments);
}

}  // namespace

TEST_CASE("dusk: the table and the JSON tell the same evening") {
    const Finished table = dusk({});
    CHECK(table.code == 0);
    CHECK(table.err.empty());
    for (const char* words :
         {"10 s at f/8, ISO 400", "within half a stop of -1.5 from 17:", "Sky stops", "17:29:00"}) {
        CAPTURE(words);
        CHECK(contains(table.out, words));
    }
    const Finished as_json = dusk({"--json"});
    REQUIRE(as_json.code == 0);
    const json report = json::parse(as_json.out);
    CHECK(report.at("want_stops") == -1.5);
    CHECK(report.at("shutter_s") == 10.0);
    CHECK(report.at("minutes").size() + 4 == lines_of(table.out).size());
    const std::string from = report.at("window").at("from");
    CHECK(from.substr(0, 14) == "2024-11-13T17:");
    CHECK(contains(table.out, from.substr(11, 8)));
    for (const json& minute : report["minutes"])
        if (minute.at("at") == "2024-11-13T17:29:00+01:00") {
            // astropy 5.2.1.
            CHECK(minute.at("sun_altitude_deg").get<double>() == doctest::Approx(-4.7735));
            CHECK(minute.at("moon_altitude_deg").get<double>() ==
                  doctest::Approx(18.872).epsilon(1e-3));
        }
}

TEST_CASE("dusk: another wanted sky, another window") {
    const json usual = json::parse(dusk({"--json"}).out);
    const json darker = json::parse(dusk({"--json", "--set", "sky.want_stops=-3"}).out);
    CHECK(darker.at("window").at("from") > usual.at("window").at("from"));
    CHECK(contains(dusk({"--set", "sky.want_stops=-10"}).out, "The sky is never"));
}

TEST_CASE("dusk: a scene without a place is told what it lacks") {
    const TemporaryFolder folder;
    const Finished finished = run({"dusk", small_scene(folder)});
    CHECK(finished.code == 3);
    CHECK(finished.out.empty());
    CHECK(contains(finished.err, "no [place]"));
}
