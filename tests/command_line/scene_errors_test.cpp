// What the commands say of scenes that are wrong, missing or can't be read.
#include <doctest/doctest.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

TEST_CASE("a wrong scene: every problem on a line of its own, then their count, and exit code 3") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    std::string text = read_text(scene);
    text.replace(text.find("iso = 400"), 9, "izo = 400");
    text.replace(text.find("focal_mm = 20"), 13, "focal_mm = -5");
    write_text(scene, text);
    for (const char* command : {"check", "meter"}) {
        CAPTURE(command);
        const Finished finished = run({command, scene});
        CHECK(finished.code == 3);
        CHECK(finished.out.empty());
        const auto lines = lines_of(finished.err);
        REQUIRE(lines.size() == 3);
        CHECK(contains(lines[0], scene + ":8:"));
        CHECK(contains(lines[0], "focal_mm"));
        CHECK(contains(lines[1], scene + ":10:"));
        CHECK(contains(lines[1], "\"iso\""));
        CHECK(contains(lines[2], "2 problems"));
    }
    const Finished render = run({"render", scene, "-o", (folder / "p.png").string()});
    CHECK(render.code == 3);
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
}

TEST_CASE("one problem is counted in the singular") {
    const TemporaryFolder folder;
    const Finished finished = run({"check", small_scene(folder), "--set", "camera.iso=-1"});
    CHECK(finished.code == 3);
    CHECK(contains(finished.err, "camera.iso=-1"));
    CHECK(contains(finished.err, "1 problem;"));
}

TEST_CASE("a scene that is not there or is a folder: exit code 4") {
    const TemporaryFolder folder;
    const Finished missing = run({"check", (folder / "none.toml").string()});
    CHECK(missing.code == 4);
    CHECK(contains(missing.err, "none.toml"));
    CHECK(contains(missing.err, "lampflight start halo"));
    const Finished is_folder = run({"meter", folder.path().string()});
    CHECK(is_folder.code == 4);
    CHECK(is_folder.out.empty());
}

TEST_CASE("an endless file is refused, not read to its end") {
    const Finished finished = run({"check", "/dev/zero"});
    CHECK(finished.code == 3);
    CHECK(!finished.err.empty());
}

TEST_CASE("--set changes what the file says, as often as it is given") {
    const TemporaryFolder folder;
    const Finished finished = run({"check", "--set", "camera.iso=800", "--set",
                                   "flight.halo.radius_m=4", small_scene(folder)});
    CHECK(finished.code == 0);
    CHECK(contains(finished.out, "800"));
    CHECK(contains(finished.out, "25.1"));  // 2 pi 4 m
}

TEST_CASE("--set of an unknown key names the nearest") {
    const TemporaryFolder folder;
    const Finished finished = run({"check", small_scene(folder), "--set", "camera.shuter_s=3"});
    CHECK(finished.code == 3);
    CHECK(contains(finished.err, "shutter_s"));
}
