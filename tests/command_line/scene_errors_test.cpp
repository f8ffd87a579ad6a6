// What the commands say of scenes that are wrong, missing or can't be read.
#include <doctest/doctest.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

TEST_CASE("a wrong scene: every problem with its line and a caret, then their count, exit code 3") {
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
        REQUIRE(lines.size() == 7);
        CHECK(contains(lines[0], scene + ":8:"));
        CHECK(contains(lines[0], "focal_mm"));
        CHECK(lines[1] == "    focal_mm = -5");
        CHECK(lines[2] == "               ^");
        CHECK(contains(lines[3], scene + ":10:"));
        CHECK(contains(lines[3], "\"iso\""));
        CHECK(lines[4] == "    izo = 400");
        CHECK(lines[5] == "    ^");
        CHECK(contains(lines[6], "2 problems"));
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

TEST_CASE("a scene or layers that are not there: what lies in the folder, the nearest name first") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(folder / "other.toml", "");
    const Finished missing = run({"check", (folder / "smal.toml").string()});
    CHECK(missing.code == 4);
    CHECK(contains(missing.err,
                   folder.path().string() + ", where there are \"small.toml\" and \"other.toml\""));
    const Finished no_layers = run({"retune", (folder / "l.exr").string(), "-o", "p.png"});
    CHECK(no_layers.code == 4);
    CHECK(contains(no_layers.err, "where there is no .exr file"));
    const Finished a_scene = run({"retune", scene, "-o", (folder / "p.png").string()});
    CHECK(a_scene.code == 4);
    CHECK(contains(a_scene.err, "is a scene, and retune develops a file of its layers"));
}

TEST_CASE("a file of another kind where a scene belongs is told by its name") {
    const TemporaryFolder folder;
    struct Kind {
        std::string bytes;
        const char* what;
    };
    const Kind kinds[] = {
        {{"\x76\x2f\x31\x01\x02\x10\0\0", 8}, "is a file of layers (OpenEXR), no scene"},
        {{"\x76\x2f\x31\x01\x02\0\0\0", 8}, "is a picture in linear light (OpenEXR), no scene"},
        {"\x89PNG\r\n", "is a picture (PNG), no scene"},
        {"\xff\xd8\xff\xe0", "is a picture (JPEG), no scene"},
    };
    for (const Kind& kind : kinds) {
        write_text(folder / "what", kind.bytes);
        const Finished finished = run({"check", (folder / "what").string()});
        CAPTURE(finished.err);
        CHECK(finished.code == 3);
        CHECK(contains(finished.err, kind.what));
        CHECK(lines_of(finished.err).size() == 1);
    }
}

TEST_CASE("an endless file is refused, not read to its end") {
    const Finished finished = run({"check", "/dev/zero"});
    CHECK(finished.code == 4);
    CHECK(contains(finished.err, "is a device"));
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

TEST_CASE("--set helps with slips of the hand, and takes a key away") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished comma = run({"check", scene, "--set", "camera.f_number=7,1"});
    CHECK(comma.code == 3);
    CHECK(lines_of(comma.err).size() == 2);
    CHECK(contains(comma.err, "is written with a decimal comma; write 7.1"));
    const Finished without = run({"check", scene, "--set", "take.short.shutter_s="});
    CHECK(without.code == 0);
    CHECK_FALSE(contains(without.out, "7 s"));
    CHECK(run({"check", scene, "--set", "take.low.shutter_s="}).code == 3);
}
