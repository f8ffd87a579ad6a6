#include <doctest/doctest.h>

#include <algorithm>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

namespace {

/// What a scene of `start` needs beside it; nothing for most.
struct StartKind {
    std::string kind;
    std::string beside;
};

const std::vector<StartKind> kinds{{"halo", ""},
                                   {"ring", ""},
                                   {"helix", ""},
                                   {"sweep", ""},
                                   {"figure", "heart.svg"},
                                   {"waypoints", "steps.csv"}};

std::string start_file(const std::string& name) {
    return read_text(LAMPFLIGHT_SOURCE_DIR "/scenes/start/" + name);
}

}  // namespace

TEST_CASE("start: every kind is a scene of its own that check finds sound") {
    std::vector<std::string> texts;
    for (const StartKind& scene : kinds) {
        CAPTURE(scene.kind);
        const TemporaryFolder folder;
        const std::string file = (folder / "scene.toml").string();
        const Finished start = run({"start", scene.kind, "-o", file});
        REQUIRE(start.code == 0);
        const std::string text = read_text(file);
        CHECK(text == start_file(scene.kind + ".toml"));
        CHECK(contains(text, "# "));
        CHECK(std::find(texts.begin(), texts.end(), text) == texts.end());
        texts.push_back(text);
        const Finished check = run({"check", file});
        CHECK(check.code == 0);
        CHECK(check.err.empty());
        CHECK_FALSE(contains(check.out, "danger"));
    }
}

TEST_CASE("start: without a file to write, the scene stands on standard output") {
    for (const StartKind& scene : kinds) {
        CAPTURE(scene.kind);
        const Finished start = run({"start", scene.kind});
        CHECK(start.code == 0);
        CHECK(start.out == start_file(scene.kind + ".toml"));
        CHECK(start.err == (scene.beside.empty() ? ""
                                                 : "It needs " + scene.beside +
                                                       " beside it; with -o both are written.\n"));
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

TEST_CASE("start: a file that the scene needs is written beside it, both or neither") {
    for (const StartKind& scene : kinds) {
        if (scene.beside.empty()) continue;
        CAPTURE(scene.kind);
        const TemporaryFolder folder;
        const std::string file = (folder / "mine.toml").string();
        const std::string beside = (folder / scene.beside).string();
        std::vector<std::string> both{scene.beside, "mine.toml"};
        std::sort(both.begin(), both.end());

        write_text(folder / scene.beside, "my own");
        const Finished refused = run({"start", scene.kind, "-o", file});
        CHECK(refused.code == 4);
        CHECK(contains(refused.err, scene.beside + " is there already; add --replace"));
        CHECK(read_text(beside) == "my own");
        CHECK(folder.names() == std::vector<std::string>{scene.beside});

        CHECK(run({"start", scene.kind, "-o", file, "--replace"}).code == 0);
        CHECK(read_text(beside) == start_file(scene.beside));
        CHECK(read_text(file) == start_file(scene.kind + ".toml"));
        CHECK(folder.names() == both);

        const Finished again = run({"start", scene.kind, "-o", file});
        CHECK(again.code == 4);
        CHECK(contains(again.err, "--replace"));
    }
}

TEST_CASE("start: a scene of its own name does not stand for the file beside it") {
    const TemporaryFolder folder;
    write_text(folder / "mine.toml", "title = \"mine\"\n");
    CHECK(run({"start", "figure", "-o", (folder / "mine.toml").string()}).code == 4);
    CHECK(folder.names() == std::vector<std::string>{"mine.toml"});
    CHECK(read_text(folder / "mine.toml") == "title = \"mine\"\n");
}

TEST_CASE("start: a kind that is missing or mistyped") {
    const Finished mistyped = run({"start", "hallo"});
    CHECK(mistyped.code == 2);
    CHECK(contains(mistyped.err, "did you mean \"halo\"?"));
    CHECK(mistyped.out.empty());
    const Finished missing = run({"start"});
    CHECK(missing.code == 2);
    for (const StartKind& scene : kinds) CHECK(contains(missing.err, scene.kind));
}
