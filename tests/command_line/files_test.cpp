// What is read stays as it is, what is written is whole or not there, and why not is told.
#include <doctest/doctest.h>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include <fmt/format.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

using Words = std::vector<std::string>;

/// A scene with a figure, a path, a mesh and the mesh's materials, all of them small.
std::string scene_of_files(const TemporaryFolder& folder) {
    write_text(folder / "figure.svg",
               "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0 L10 0 L10 10 Z\"/></svg>");
    write_text(folder / "path.csv", "east_m,north_m,up_m\n-3,9,4\n3,9,4\n");
    write_text(folder / "stone.obj",
               "mtllib stone.mtl\nusemtl grey\nv -1 12 0\nv 1 12 0\nv 0 12 2\n"
               "f 1 2 3\n");
    write_text(folder / "stone.mtl", "newmtl grey\nKd 0.3 0.3 0.3\n");
    write_text(folder / "scene.toml", R"([camera]
[[subject]]
name = "stone"
mesh = "stone.obj"
[[lamp]]
name = "warm"
[[flight]]
name = "drawn"
shape = "figure"
figure = "figure.svg"
width_m = 4
height_m = 6
centre_m = [0, 12]
carries = ["warm"]
[[flight]]
name = "way"
shape = "waypoints"
waypoints = "path.csv"
carries = ["warm"]
[[take]]
name = "one"
flights = ["way"]
[[take]]
name = "two"
flights = ["drawn"]
)");
    return (folder / "scene.toml").string();
}

Words render_words(const std::string& scene, const fs::path& picture, const Words& more = {}) {
    Words words{"render", scene, "-o", picture.string(), "--quality", "draft", "--size", "48x32"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// Exit code of a shell's command, in which $LAMPFLIGHT is the program; its words go to a file.
int shell(const std::string& command, const fs::path& said) {
    const std::string line = fmt::format("LAMPFLIGHT='{}'; ( {} ) > '{}' 2>&1", LAMPFLIGHT_PROGRAM,
                                         command, said.string());
    const int status = std::system(line.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

void check_refused(const Words& words, int code, const std::string& part) {
    const Finished finished = run(words);
    CHECK_MESSAGE(finished.code == code, words.front() << ": " << finished.err);
    CHECK_MESSAGE(contains(finished.err, part), finished.err);
}

}  // namespace

TEST_CASE("No output goes over what it is made from, however it is spelled") {
    const TemporaryFolder folder;
    const std::string scene = scene_of_files(folder);
    REQUIRE(run(render_words(scene, folder / "p.png", {"--layers", (folder / "l.exr").string()}))
                .code == 0);
    std::vector<std::string> names = folder.names();
    std::vector<std::string> before;
    for (const std::string& name : names) before.push_back(read_text(folder / name));

    fs::create_symlink("scene.toml", folder / "to_scene.svg");
    fs::create_hard_link(folder / "scene.toml", folder / "hard.svg");
    fs::create_symlink("to_scene.svg", folder / "chain.svg");
    for (const char* other : {"to_scene.svg", "hard.svg", "chain.svg", "./hard.svg"})
        check_refused({"check", scene, "-o", (folder / other).string()}, 2,
                      "it is the scene itself");
    check_refused({"check", scene, "-o", (folder / "figure.svg").string()}, 2,
                  "it is what a flight of the scene is drawn from");
    check_refused({"path", scene, "--flight", "way", "-o", (folder / "path.csv").string()}, 2,
                  "it is what a flight of the scene is drawn from");
    fs::create_symlink("stone.obj", folder / "stone.png");
    fs::create_symlink("stone.mtl", folder / "material.png");
    for (const char* other : {"stone.png", "material.png"}) {
        check_refused(render_words(scene, folder / other), 2,
                      "it is what a subject of the scene is made from");
        check_refused({"meter", scene, "--overlay", (folder / other).string()}, 2,
                      "it is what a subject of the scene is made from");
    }
    check_refused(render_words(scene, folder / "p.png", {"--layers", (folder / "p.png").string()}),
                  2, "it is the same file as");
    check_refused(
        render_words(scene, folder / "new.exr", {"--layers", (folder / "." / "new.exr").string()}),
        2, "it is the same file as");
    check_refused({"retune", (folder / "l.exr").string(), "-o", (folder / "l.exr").string()}, 2,
                  "it is the file of layers itself");
    for (std::size_t i = 0; i < names.size(); ++i)
        CHECK_MESSAGE(read_text(folder / names[i]) == before[i], names[i]);
}

TEST_CASE("A place that can't be written is found before the work, with the true reason") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    fs::create_symlink("loop.png", folder / "loop.png");
    check_refused(render_words(scene, folder / "loop.png"), 4, "symbolic links");
    check_refused(render_words(scene, folder / (std::string(300, 'n') + ".png")), 4, "too long");
    fs::create_symlink("nowhere/p.png", folder / "dead.png");
    check_refused(render_words(scene, folder / "dead.png"), 4, "there is no folder");
    check_refused(render_words(scene, folder / "small.toml" / "p.png"), 4, "there is no folder");
    fs::create_directory(folder / "folder.png");
    check_refused(render_words(scene, folder / "folder.png"), 4, "it is a folder");
    REQUIRE(mkfifo((folder / "pipe.png").c_str(), 0600) == 0);
    check_refused(render_words(scene, folder / "pipe.png"), 4, "it is a named pipe");
    fs::create_symlink("/dev/null", folder / "null.png");
    check_refused(render_words(scene, folder / "null.png"), 4, "it is a device");
    // A link to nothing yet, in a folder that is there, is written through.
    fs::create_symlink("later.png", folder / "link.png");
    CHECK(run(render_words(scene, folder / "link.png")).code == 0);
    CHECK(fs::is_symlink(folder / "link.png"));
    CHECK(fs::exists(folder / "later.png"));
}

TEST_CASE("Pipes and devices are refused as inputs by their kind, and nobody waits for them") {
    const TemporaryFolder folder;
    REQUIRE(mkfifo((folder / "pipe").c_str(), 0600) == 0);
    const std::string pipe = (folder / "pipe").string();
    for (const char* command : {"check", "dusk"}) {
        check_refused({command, pipe}, 4, "is a named pipe, no scene");
        check_refused({command, "/dev/zero"}, 4, "is a device, no scene");
    }
    const std::string picture = (folder / "p.png").string();
    check_refused({"retune", pipe, "-o", picture}, 4, "is a named pipe, no file of layers");
    check_refused({"retune", "/dev/zero", "-o", picture}, 4, "is a device, no file of layers");
    const std::string scene = scene_of_files(folder);
    for (const char* file : {"stone.obj", "path.csv", "figure.svg"}) {
        fs::remove(folder / file);
        REQUIRE(mkfifo((folder / file).c_str(), 0600) == 0);
        check_refused({"check", scene}, 3, "is a named pipe, no file");
        fs::remove(folder / file);
        scene_of_files(folder);
    }
}

TEST_CASE("A limit on the size of files: a sentence, the older file, and nothing else") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(folder / "p.png", "an older picture");
    const auto limited = [&](const std::string& words) {
        const TemporaryFolder said;
        const int code =
            shell(fmt::format("ulimit -f 8; \"$LAMPFLIGHT\" render '{}' --quality draft --size "
                              "480x320 {}",
                              scene, words),
                  said / "said");
        const std::string text = read_text(said / "said");
        CHECK_MESSAGE(code == 4, text);
        CHECK_MESSAGE(contains(text, "File too large; lift the limit"), text);
    };
    limited(fmt::format("-o '{}'", (folder / "p.png").string()));
    limited(fmt::format("-o '{}'", (folder / "p.exr").string()));
    limited(fmt::format("-o '{}' --layers '{}'", (folder / "q.png").string(),
                        (folder / "l.exr").string()));
    CHECK(read_text(folder / "p.png") == "an older picture");
    CHECK(folder.names() == Words{"p.png", "small.toml"});
}

TEST_CASE("A closed pipe is a sentence and exit code 4, whatever it was to hold") {
    const TemporaryFolder folder;
    const int code = shell("{ \"$LAMPFLIGHT\" keys; echo $? >&2; } | true", folder / "said");
    CHECK(code == 0);
    const std::string said = read_text(folder / "said");
    CHECK_MESSAGE(contains(said, "can't write to standard output"), said);
    CHECK_MESSAGE(contains(said, "4\n"), said);
}

TEST_CASE("What a killed run left behind goes with the next that writes there") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(folder / ".lampflight-99999999-0", "half a picture");
    write_text(folder / ".lampflight-12-0-mine", "no name of ours");
    write_text(folder / ".lampflight-notes", "no name of ours");
    // One that a living process holds.
    const fs::path held = folder / ".lampflight-1-7";
    const int descriptor = ::open(held.c_str(), O_CREAT | O_WRONLY | O_CLOEXEC, 0600);
    REQUIRE(descriptor >= 0);
    REQUIRE(::flock(descriptor, LOCK_EX) == 0);
    REQUIRE(run(render_words(scene, folder / "p.png")).code == 0);
    CHECK(folder.names() == Words{".lampflight-1-7", ".lampflight-12-0-mine", ".lampflight-notes",
                                  "p.png", "small.toml"});
    ::close(descriptor);
    REQUIRE(run(render_words(scene, folder / "p.png")).code == 0);
    CHECK(!fs::exists(held));
}

TEST_CASE("Runs that write one file at once leave it whole and nothing beside it") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    REQUIRE(run(render_words(scene, folder / "alone.png")).code == 0);
    std::vector<std::jthread> runs;
    std::atomic<int> done = 0;
    for (int i = 0; i < 4; ++i)
        runs.emplace_back([&] {
            for (int k = 0; k < 4; ++k)
                if (run(render_words(scene, folder / "p.png")).code == 0) ++done;
        });
    runs.clear();
    CHECK(done == 16);
    CHECK(read_text(folder / "p.png") == read_text(folder / "alone.png"));
    CHECK(folder.names() == Words{"alone.png", "p.png", "small.toml"});
}
