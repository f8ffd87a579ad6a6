// A scene of sky alone: no lamp, no flight, and every command has something to say of it.
#include <doctest/doctest.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

namespace {

/// Writes a tiny scene of the sky, that of a place or a stated one.
std::string sky_scene(const TemporaryFolder& folder, bool with_place) {
    const std::string place =
        "[place]\nlatitude_deg = 44.9\nlongitude_deg = 6.4\nwhen = 2026-11-12T18:10:00+01:00\n";
    const std::string scene = (folder / "sky.toml").string();
    write_text(scene, (with_place ? place : "[sky]\nhorizontal_lx = 0.01\n") +
                          "[camera]\npixels = [48, 32]\nposition_m = [0, -12, 1.5]\n"
                          "look_at_m = [0, 0, 5]\nfocal_mm = 20\nf_number = 2.8\niso = 1600\n"
                          "shutter_s = 20\n[[point]]\nname = \"zenith\"\n"
                          "position_m = [0, 60, 40]\n[[take]]\nname = \"stars\"\n");
    return scene;
}

}  // namespace

TEST_CASE("sky alone: checked without cautions of flights or lamps") {
    const TemporaryFolder folder;
    for (const bool with_place : {true, false}) {
        const std::string scene = sky_scene(folder, with_place);
        const Finished checked = run({"check", scene});
        CAPTURE(checked.err);
        CHECK(checked.code == 0);
        CHECK(checked.err.empty());
        CHECK(contains(checked.out, "No cautions."));
        for (const char* word : {"Flight", "flight", "Lamp ", "drone", "nan", "inf"})
            CHECK_FALSE(contains(checked.out, word));
        CHECK(run({"check", scene, "--json"}).code == 0);
    }
}

TEST_CASE("sky alone: a lamp that never burns stays a caution") {
    const TemporaryFolder folder;
    const std::string scene = sky_scene(folder, true);
    write_text(scene, read_text(scene) + "[[lamp]]\nname = \"spare\"\n");
    const Finished checked = run({"check", scene});
    CHECK(checked.code == 0);
    CHECK(contains(checked.out, "Lamp \"spare\" is carried by no flight"));
}

TEST_CASE("sky alone: dusk tells of it where there is a place, and says why not elsewhere") {
    const TemporaryFolder folder;
    const Finished dusk = run({"dusk", sky_scene(folder, true)});
    CHECK(dusk.code == 0);
    CHECK(contains(dusk.out, "where no lamp lights it"));
    const Finished no_place = run({"dusk", sky_scene(folder, false)});
    CHECK(no_place.code == 3);
    CHECK(contains(no_place.err, "the scene has no [place]"));
}

TEST_CASE("sky alone: rendered, metered, and retuned to the render's own bytes") {
    const TemporaryFolder folder;
    const auto path = [&](const char* name) { return (folder / name).string(); };
    for (const bool with_place : {true, false}) {
        const std::string scene = sky_scene(folder, with_place);
        REQUIRE(run({"render", scene, "-o", path("p.png"), "--size", "48x32", "--quality", "draft",
                     "--layers", path("l.exr"), "--float"})
                    .code == 0);
        REQUIRE(run({"retune", path("l.exr"), "-o", path("q.png")}).code == 0);
        CHECK(read_text(path("p.png")) == read_text(path("q.png")));
        const Finished brighter =
            run({"retune", path("l.exr"), "-o", path("q.png"), "--set", "camera.iso=6400"});
        CHECK(brighter.code == 0);
        CHECK(read_text(path("p.png")) != read_text(path("q.png")));
        const Finished metered = run({"meter", scene, "--size", "48x32"});
        CHECK(metered.code == 0);
        CHECK(contains(metered.out, "the sky itself"));
        CHECK_FALSE(contains(metered.out, "Trail of"));
    }
}

TEST_CASE("a stated sky that is dark is no light") {
    const TemporaryFolder folder;
    const Finished checked =
        run({"check", sky_scene(folder, false), "--set", "sky.horizontal_lx=0"});
    CHECK(checked.code == 3);
    CHECK(contains(checked.err, "[[take]] \"stars\" has no light"));
}
