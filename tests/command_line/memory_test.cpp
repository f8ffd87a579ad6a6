#include <doctest/doctest.h>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/command_line/program.h"

namespace lampflight::testing {
namespace {

constexpr double gb = 1e9;
constexpr double slack_bytes = 60e6;  // what a small run's constants may be too many
constexpr double most_over = 1.3;

const std::string halo = LAMPFLIGHT_SOURCE_DIR "/scenes/start/halo.toml";
const std::string tower = LAMPFLIGHT_SOURCE_DIR "/scenes/tower.toml";
const std::string sweep = LAMPFLIGHT_SOURCE_DIR "/scenes/ruin-sweep.toml";
const std::string moons = LAMPFLIGHT_SOURCE_DIR "/scenes/three-moons.toml";

/// The bytes that a command says it needs when it may take next to none.
double told_bytes(std::vector<std::string> arguments) {
    arguments.insert(arguments.end(), {"--memory", "0.001"});
    const Finished refused = run(arguments);
    CAPTURE(refused.err);
    CHECK(refused.code == 1);
    const std::string before = "needs up to ";
    const std::size_t place = refused.err.find(before);
    REQUIRE(place != std::string::npos);
    return gb * std::stod(refused.err.substr(place + before.size()));
}

void check_peak(const std::vector<std::string>& arguments) {
    const double told = told_bytes(arguments);
    const Finished done = run(arguments);
    CAPTURE(arguments);
    CAPTURE(done.err);
    CHECK(done.code == 0);
    CHECK(done.peak_bytes <= told);
    CHECK(told <= most_over * done.peak_bytes + slack_bytes);
}

}  // namespace

TEST_CASE("a command takes no more memory than it tells, and not much less") {
    const TemporaryFolder folder;
    const std::string png = (folder / "picture.png").string();
    const std::string layers = (folder / "layers.exr").string();
    check_peak({"render", halo, "-o", png, "--quality", "draft", "--size", "480x320"});
    check_peak({"render", moons, "-o", png, "--quality", "draft", "--size", "1500x1000",
                "--bounces", "0", "--layers", layers});
    // Three takes under three skies: films are most of it.
    check_peak({"render", sweep, "-o", png, "--quality", "draft", "--size", "2400x1600",
                "--bounces", "0"});
    for (const char* name : {"picture.png", "picture.tif", "picture.exr", "picture.hdr"})
        check_peak({"retune", layers, "-o", (folder / name).string()});
    check_peak({"meter", tower, "--size", "1000x1500", "--bounces", "0"});
}

TEST_CASE("what a render would be refused for, check is refused for in the same words") {
    const TemporaryFolder folder;
    const std::string png = (folder / "picture.png").string();
    const Finished check = run({"check", moons, "--memory", "0.05"});
    const Finished render = run({"render", moons, "-o", png, "--memory", "0.05"});
    CHECK(check.code == 1);
    CHECK(render.code == 1);
    CHECK(check.out.empty());
    CHECK(contains(check.err, "--memory allows 0.05 GB"));
    CHECK(contains(check.err, "a smaller --size"));
    CHECK_FALSE(std::filesystem::exists(png));
    CHECK(contains(render.err, "a picture of 1500 x 1000 pixels needs up to"));
}

TEST_CASE("check tells what a usual render takes") {
    const Finished report = run({"check", tower, "--json"});
    REQUIRE(report.code == 0);
    const auto render = nlohmann::json::parse(report.out).at("render");
    CHECK(render.at("quality") == "good");
    CHECK(render.at("pixels") == nlohmann::json({1000, 1500}));
    CHECK(render.at("memory_bytes").get<double>() > 60e6);
    CHECK(render.at("about_s").get<double>() > 0.0);
    CHECK(contains(run({"check", tower}).out, "Render good, 1000 x 1500: up to "));
}

TEST_CASE("a picture of one pixel is rendered; pixels far from square are refused") {
    const TemporaryFolder folder;
    const std::string png = (folder / "picture.png").string();
    const auto render = [&](int code, const std::vector<std::string>& changes) {
        std::vector<std::string> arguments{"render",    halo, "-o",        png,
                                           "--bounces", "0",  "--quality", "draft"};
        for (const std::string& change : changes)
            arguments.insert(arguments.end(), {"--set", change});
        const Finished done = run(arguments);
        CAPTURE(changes);
        CAPTURE(done.err);
        CHECK(done.code == code);
        CHECK(done.peak_bytes < 0.5 * gb);
    };
    render(0, {"camera.pixels=[1, 1]"});
    render(0, {"camera.sensor_mm=[300, 1]", "camera.pixels=[1500, 5]"});
    render(3, {"camera.pixels=[20000, 1]"});
    render(3, {"camera.pixels=[1, 20000]"});
    render(3, {"camera.sensor_mm=[300, 1]", "camera.pixels=[480, 320]"});
}

}  // namespace lampflight::testing
