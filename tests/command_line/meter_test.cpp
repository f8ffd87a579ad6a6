#include <doctest/doctest.h>

#include <algorithm>
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

TEST_CASE("meter: the JSON tells of electrons, takes, layers' shares, stops and widths") {
    const TemporaryFolder folder;
    const json report = json::parse(meter(small_scene(folder), {"--json"}).out);
    const json& ground = report.at("points")[0];
    const double electrons = ground.at("electrons");
    CHECK(electrons > 0.0);
    CHECK(ground.at("snr").get<double>() > 0.0);
    CHECK(ground.at("snr").get<double>() <= std::sqrt(electrons));
    CHECK(ground.at("picture_stops").is_number());
    REQUIRE(ground.at("takes").size() == 2);
    CHECK(ground["takes"][0].at("take") == "low");
    CHECK(ground["takes"][1].at("take") == "short");
    double sum = 0.0;
    for (const auto& [layer, share] : ground.at("shares").items()) sum += share.get<double>();
    CHECK(sum == doctest::Approx(1.0).epsilon(1e-3));

    double shares = 0.0;
    double black = 0.0;
    const json& histogram = report.at("histogram");
    for (const json& step : histogram) {
        shares += step.at("share").get<double>();
        if (step.at("to_stops").is_number() && step["to_stops"].get<double>() <= -6.0)
            black += step["share"].get<double>();
    }
    CHECK(shares == doctest::Approx(1.0));
    CHECK(black == doctest::Approx(report.at("black_share").get<double>()));
    CHECK(histogram.front().at("from_stops").is_null());
    CHECK(histogram.back().at("to_stops").is_null());
    CHECK(histogram.back().at("share") == report.at("burnt_share"));

    REQUIRE(report.at("takes").size() == 2);
    CHECK(report["takes"][0].at("name") == "low");
    CHECK(report["takes"][0].at("shares").contains("warm.trail"));
    const json& trail = report.at("trail").at("warm");
    CHECK(trail.at("take").is_string());
    for (const json& share : trail.at("peak_at")) {
        CHECK(share.get<double>() > 0.0);
        CHECK(share.get<double>() < 1.0);
    }
    // 960 of the sensor's pixels are 96 of the picture's.
    CHECK(trail.at("width_seen_sensor_px").get<double>() ==
          doctest::Approx(10.0 * trail.at("width_seen_px").get<double>()));
}

TEST_CASE("meter: the JSON tells what points meet, and the widths of each trail in each take") {
    const TemporaryFolder folder;
    const json report = json::parse(meter(small_scene(folder), {"--json"}).out);
    CHECK(report.at("points")[0].at("meets") == json{{"what", "ground"}, {"behind_m", 0.0}});
    CHECK(report["points"][1].at("meets").is_null());
    const json& trails = report.at("trails");
    REQUIRE(trails.size() == 2);
    CHECK(trails[0].at("take") == "low");
    CHECK(trails[1].at("take") == "short");
    for (const json& trail : trails) {
        CHECK(trail.at("lamp") == "warm");
        CHECK(trail.at("peak_lxs").get<double>() > 0.0);
        CHECK(trail.at("stops_over_saturation").is_number());
        for (const std::string which : {"thickest", "thinnest"}) {
            const double width_px = trail.at(which + "_px");
            CHECK(width_px > 0.0);
            CHECK(trail.at(which + "_share").get<double>() == doctest::Approx(width_px / 64.0));
            CHECK(trail.at(which + "_sensor_px").get<double>() == doctest::Approx(10.0 * width_px));
            CHECK(trail.at(which + "_at").size() == 2);
        }
        CHECK(trail.at("thickest_px").get<double>() >= trail.at("thinnest_px").get<double>());
    }
}

TEST_CASE("meter: the table tells points, takes, light and trails in words") {
    const TemporaryFolder folder;
    const Finished table = meter(small_scene(folder));
    REQUIRE(table.code == 0);
    for (const char* part : {"photograph", "low", "short", "Noise", "Light of the whole frame",
                             "-1 to 0", "+2 to white", "black", "Line width", "Trail of", "clipping"}) {
        CAPTURE(part);
        CHECK(contains(table.out, part));
    }
}

TEST_CASE("meter: an overlay beside pure JSON") {
    const TemporaryFolder folder;
    const Finished finished =
        meter(small_scene(folder), {"--json", "--overlay", (folder / "o.png").string()});
    REQUIRE(finished.code == 0);
    CHECK(json::parse(finished.out).contains("points"));
    REQUIRE(lines_of(finished.err).size() == 1);
    CHECK(contains(finished.err, "o.png"));
    const std::string bytes = read_text(folder / "o.png");
    CHECK(bytes.substr(1, 3) == "PNG");
    CHECK(contains(bytes, "stops from mid-grey"));
    CHECK(folder.names() == std::vector<std::string>{"o.png", "small.toml"});
    const Finished quiet =
        meter(small_scene(folder), {"--quiet", "--overlay", (folder / "q.png").string()});
    CHECK(quiet.err.empty());
    CHECK(contains(quiet.out, "Stops"));
    // The same bytes again, with any number of threads.
    const Finished alone =
        meter(small_scene(folder), {"--threads", "1", "--overlay", (folder / "one.png").string()});
    CHECK(alone.code == 0);
    CHECK(read_text(folder / "one.png") == bytes);
}

TEST_CASE("meter: an overlay that can't be written is refused before any work") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    for (const char* name : {"o.hdr", "o.tif", "o.jpg", "o", ".png", "small.toml"}) {
        CAPTURE(name);
        const Finished finished = meter(scene, {"--overlay", (folder / name).string()});
        CHECK(finished.code == 2);
        CHECK(finished.out.empty());
        CHECK(contains(finished.err, ".png"));
        CHECK(lines_of(finished.err).size() == 1);
    }
    for (const std::string& name :
         {(folder / "none" / "o.png").string(), std::string("/proc/o.png"),
          (folder / (std::string(300, 'a') + ".png")).string()}) {
        CAPTURE(name);
        const Finished finished = meter(scene, {"--overlay", name});
        CHECK(finished.code == 4);
        CHECK(finished.out.empty());
    }
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
    write_text(folder / "old.png", "an older picture");
    CHECK(
        meter(scene, {"--overlay", (folder / "old.png").string(), "--set", "camera.iso=0"}).code ==
        3);
    CHECK(read_text(folder / "old.png") == "an older picture");
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
    for (const char* word :
         {"Stops", "ground", "warm on surfaces", "sky on surfaces", "burnt out", "warm"}) {
        CAPTURE(word);
        CHECK(contains(table.out, word));
    }
}

TEST_CASE("meter: no number that is not finite, even without any light") {
    const TemporaryFolder folder;
    const Finished dark = meter(small_scene(folder), {"--json", "--set", "sky.horizontal_lx=0",
                                                      "--set", "lamp.warm.flux_lm=1e-6"});
    REQUIRE(dark.code == 0);
    for (const char* word : {"nan", "inf", "NaN", "Infinity"}) CHECK(!contains(dark.out, word));
    CHECK(json::parse(dark.out)["black_share"] == 1.0);
    const Finished table = meter(
        small_scene(folder), {"--set", "sky.horizontal_lx=0", "--set", "lamp.warm.flux_lm=1e-6"});
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
