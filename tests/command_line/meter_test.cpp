#include <doctest/doctest.h>

#include <cmath>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
using nlohmann::json;

namespace {

Finished meter(const std::string& scene, std::vector<std::string> more = {}) {
    more.insert(more.begin(), {"meter", scene, "--size", "96x64"});
    return run(more);
}

}  // namespace

TEST_CASE("meter: the JSON holds what it promises") {
    const TemporaryFolder folder;
    const Finished finished = meter(small_scene(folder), {"--json"});
    REQUIRE(finished.code == 0);
    CHECK(finished.err.empty());
    const json report = json::parse(finished.out);
    REQUIRE(report.at("points").size() == 2);
    const json& ground = report["points"][0];
    CHECK(ground.at("name") == "ground");
    CHECK(ground.at("in_frame") == true);
    const double exposure_lxs = ground.at("exposure_lxs");
    CHECK(exposure_lxs > 0.0);
    // Mid-grey is 10 / S lux seconds (ISO 12232), S = 400.
    CHECK(ground.at("stops").get<double>() ==
          doctest::Approx(std::log2(exposure_lxs / (10.0 / 400.0))));
    double sum_lxs = 0.0;
    for (const auto& [layer, lxs] : ground.at("layers").items()) sum_lxs += lxs.get<double>();
    CHECK(sum_lxs == doctest::Approx(exposure_lxs).epsilon(1e-3));
    CHECK(ground["layers"].contains("warm.surface"));

    for (const char* share : {"burnt_share", "black_share"}) {
        CHECK(report.at(share).get<double>() >= 0.0);
        CHECK(report.at(share).get<double>() <= 1.0);
    }
    const json& trail = report.at("trail").at("warm");
    // Saturation is 78 / S lux seconds (ISO 12232).
    CHECK(trail.at("stops_over_saturation").get<double>() ==
          doctest::Approx(std::log2(trail.at("peak_lxs").get<double>() / (78.0 / 400.0))));
    CHECK(trail.at("width_px").get<double>() > 0.0);
}

TEST_CASE("meter: a point out of the frame has null for its exposure, and the table says so") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const json behind = json::parse(meter(scene, {"--json"}).out)["points"][1];
    CHECK(behind.at("in_frame") == false);
    CHECK(behind.at("exposure_lxs").is_null());
    CHECK(behind.at("stops").is_null());
    const Finished table = meter(scene);
    REQUIRE(table.code == 0);
    CHECK(contains(table.out, "out of frame"));
    for (const char* word : {"Stops", "ground", "warm.surface", "sky.surface", "burnt out", "warm"}) {
        CAPTURE(word);
        CHECK(contains(table.out, word));
    }
}

TEST_CASE("meter: no number that is not finite, even without any light") {
    const TemporaryFolder folder;
    const Finished dark = meter(small_scene(folder), {"--json", "--set", "sky.horizontal_lx=0",
                                                      "--set", "lamp.warm.flux_lm=1e-30"});
    REQUIRE(dark.code == 0);
    for (const char* word : {"nan", "inf", "NaN", "Infinity"}) CHECK(!contains(dark.out, word));
    CHECK(json::parse(dark.out)["black_share"] == 1.0);
    const Finished table = meter(
        small_scene(folder), {"--set", "sky.horizontal_lx=0", "--set", "lamp.warm.flux_lm=1e-30"});
    for (const char* word : {" nan", " inf", "-inf"}) CHECK(!contains(table.out, word));
}

TEST_CASE("meter: twice the ISO is one stop more of the same exposure") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const json at_400 = json::parse(meter(scene, {"--json"}).out)["points"][0];
    const json at_800 =
        json::parse(meter(scene, {"--json", "--set", "camera.iso=800"}).out)["points"][0];
    CHECK(at_800.at("exposure_lxs") == at_400.at("exposure_lxs"));
    CHECK(at_800.at("stops").get<double>() - at_400.at("stops").get<double>() ==
          doctest::Approx(1.0));
}

TEST_CASE("meter: a scene without points says how to add one") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const std::string text = read_text(scene);
    const std::size_t first = text.find("[[point]]");
    write_text(scene, text.substr(0, first) + text.substr(text.find("[[take]]")));
    const Finished finished = meter(scene);
    CHECK(finished.code == 0);
    CHECK(contains(finished.out, "[[point]]"));
}
