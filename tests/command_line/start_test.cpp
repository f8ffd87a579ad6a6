#include <doctest/doctest.h>

#include <algorithm>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

namespace {

const std::vector<std::string> kinds{"halo", "ring", "helix", "sweep"};

}  // namespace

TEST_CASE("start: every kind is a scene of its own that check finds sound") {
    std::vector<std::string> texts;
    for (const std::string& kind : kinds) {
        CAPTURE(kind);
        const TemporaryFolder folder;
        const Finished start = run({"start", kind});
        REQUIRE(start.code == 0);
        CHECK(start.err.empty());
        CHECK(contains(start.out, "# "));
        const std::string file = std::string(LAMPFLIGHT_SOURCE_DIR "/scenes/start/") + kind;
        CHECK(start.out == read_text(file + ".toml"));
        CHECK(std::find(texts.begin(), texts.end(), start.out) == texts.end());
        texts.push_back(start.out);
        write_text(folder / "scene.toml", start.out);
        const Finished check = run({"check", (folder / "scene.toml").string()});
        CHECK(check.code == 0);
        CHECK(check.err.empty());
    }
}

TEST_CASE("start: writes a file, and only over another when told to") {
    const TemporaryFolder folder;
    const std::string file = (folder / "mine.toml").string();
    CHECK(run({"start", "halo", "-o", file}).code == 0);
    const std::string first = read_text(file);
    CHECK(first == run({"start", "halo"}).out);

    const Finished refused = run({"start", "sweep", "-o", file});
    CHECK(refused.code == 4);
    CHECK(contains(refused.err, "--replace"));
    CHECK(read_text(file) == first);

    CHECK(run({"start", "sweep", "-o", file, "--replace"}).code == 0);
    CHECK(read_text(file) == run({"start", "sweep"}).out);
    CHECK(folder.names() == std::vector<std::string>{"mine.toml"});
}

TEST_CASE("start: a kind that is missing or mistyped") {
    const Finished mistyped = run({"start", "hallo"});
    CHECK(mistyped.code == 2);
    CHECK(contains(mistyped.err, "did you mean \"halo\"?"));
    CHECK(mistyped.out.empty());
    const Finished missing = run({"start"});
    CHECK(missing.code == 2);
    for (const std::string& kind : kinds) CHECK(contains(missing.err, kind));
}
