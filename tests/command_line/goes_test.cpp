// Several goes at a scene, and guides drawn over a picture.
#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

Finished render_small(const std::string& scene, const fs::path& picture,
                      const std::vector<std::string>& more = {}) {
    std::vector<std::string> words{"render",  scene,   "-o",     picture.string(),
                                   "--quality", "draft", "--size", "96x64"};
    words.insert(words.end(), more.begin(), more.end());
    return run(words);
}

std::size_t files_in(const TemporaryFolder& folder) {
    std::size_t count = 0;
    for (const auto& entry : fs::directory_iterator(folder.path())) count += entry.is_regular_file();
    return count;
}

const std::vector<std::string> astray{"--set", "flight.halo.wander_m=0.6"};

std::vector<std::string> astray_and(std::vector<std::string> more) {
    more.insert(more.end(), astray.begin(), astray.end());
    return more;
}

}  // namespace

TEST_CASE("render: --repeats writes so many goes, the first as without") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    REQUIRE(render_small(scene, folder / "one.png", astray).code == 0);
    const Finished goes = render_small(scene, folder / "my.halo.png", astray_and({"--repeats", "3"}));
    CAPTURE(goes.err);
    REQUIRE(goes.code == 0);
    CHECK_FALSE(fs::exists(folder / "my.halo.png"));
    const std::string first = read_text(folder / "my.halo-1.png");
    const std::string second = read_text(folder / "my.halo-2.png");
    const std::string third = read_text(folder / "my.halo-3.png");
    CHECK(first == read_text(folder / "one.png"));
    CHECK(first != second);
    CHECK(second != third);
    CHECK_FALSE(fs::exists(folder / "my.halo-4.png"));
    for (const char* name : {"my.halo-1.png", "my.halo-2.png", "my.halo-3.png"})
        CHECK(contains(goes.err, name));
    REQUIRE(render_small(scene, folder / "again.png", astray_and({"--repeats", "2"})).code == 0);
    CHECK(read_text(folder / "again-2.png") == second);
}

TEST_CASE("render: --repeats of a scene in which nothing strays differ in noise, and say so") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished goes = render_small(scene, folder / "p.png", {"--repeats", "2"});
    REQUIRE(goes.code == 0);
    CHECK(contains(goes.err, "differ in noise alone"));
    CHECK(read_text(folder / "p-1.png") != read_text(folder / "p-2.png"));
    const Finished alike = render_small(scene, folder / "q.png", {"--repeats", "2", "--clean"});
    CHECK(alike.code == 2);
    CHECK(lines_of(alike.err).size() == 1);
    CHECK_FALSE(fs::exists(folder / "q-1.png"));
}

TEST_CASE("render: --repeats that can't be done write nothing") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    for (const char* count : {"1", "0", "-2", "21", "many"}) {
        CAPTURE(count);
        const Finished finished = render_small(scene, folder / "p.png", {"--repeats", count});
        CHECK(finished.code == 2);
        CHECK_FALSE(finished.err.empty());
    }
    const Finished layers = render_small(scene, folder / "p.png",
                                         {"--repeats", "2", "--layers", folder / "l.exr"});
    CHECK(layers.code == 2);
    CHECK(lines_of(layers.err).size() == 1);
    const Finished nowhere = render_small(scene, folder / "none/p.png", {"--repeats", "2"});
    CHECK(nowhere.code == 4);
    fs::create_directory(folder / "p-2.png");  // the second can't be written, so the first is not
    const Finished blocked = render_small(scene, folder / "p.png", {"--repeats", "2"});
    CHECK(blocked.code == 4);
    CHECK(files_in(folder) == 1);  // the scene
}

TEST_CASE("render: --guides draw over the developed picture alone") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    REQUIRE(render_small(scene, folder / "plain.png").code == 0);
    REQUIRE(render_small(scene, folder / "guided.png", {"--guides"}).code == 0);
    CHECK(read_text(folder / "plain.png") != read_text(folder / "guided.png"));
    REQUIRE(render_small(scene, folder / "guided.tif", {"--guides"}).code == 0);
    REQUIRE(render_small(scene, folder / "plain.tif").code == 0);
    CHECK(read_text(folder / "plain.tif") != read_text(folder / "guided.tif"));
    for (const char* name : {"p.hdr", "p.exr"}) {
        const Finished linear = render_small(scene, folder / name, {"--guides"});
        CHECK(linear.code == 2);
        CHECK(contains(linear.err, "--guides"));
        CHECK(lines_of(linear.err).size() == 1);
        CHECK_FALSE(fs::exists(folder / name));
    }
    // Of one take the other's path is not drawn.
    REQUIRE(render_small(scene, folder / "short.png", {"--guides", "--take", "short"}).code == 0);
    REQUIRE(render_small(scene, folder / "bare.png", {"--take", "short"}).code == 0);
    CHECK(read_text(folder / "short.png") != read_text(folder / "bare.png"));
}
