// Ctrl-C at any moment of any command: at an end within half a second, and nothing left behind.
#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <csignal>
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

/// Large enough to run for a long time on any machine.
Words long_render(const std::string& scene, const fs::path& picture) {
    return {"render",    scene, "-o", picture.string(), "--set", "camera.pixels=[9000, 6000]",
            "--quality", "fine"};
}

struct Interrupted {
    Finished finished;
    double taken_s;  ///< from the signal to the end
};

Interrupted interrupt(const Words& words, double after_s, int number = SIGINT) {
    Running running(words);
    std::this_thread::sleep_for(std::chrono::duration<double>(after_s));
    const auto asked = std::chrono::steady_clock::now();
    running.signal(number);
    Finished finished = running.wait();
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - asked;
    return {finished, taken.count()};
}

/// A mesh of so many triangles around a mast.
std::string fan_of(int triangles) {
    std::string text = "v 0 0 0\n";
    for (int i = 0; i <= triangles; ++i)
        text += fmt::format("v {} 9 {}\n", 1e-4 * i, 1.0 + 1e-5 * (i % 97));
    for (int i = 0; i < triangles; ++i) text += fmt::format("f 1 {} {}\n", i + 2, i + 3);
    return text;
}

}  // namespace

TEST_CASE("Ctrl-C and its kin leave nothing behind and end with 130") {
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        CAPTURE(number);
        const TemporaryFolder folder;
        const std::string scene = small_scene(folder);
        write_text(folder / "p.png", "an older picture");
        const Finished finished =
            interrupt(long_render(scene, folder / "p.png"), 0.3, number).finished;
        CHECK(finished.code == 130);
        CHECK(finished.err == "lampflight: interrupted; nothing was written\n");
        CHECK(finished.out.empty());
        CHECK(read_text(folder / "p.png") == "an older picture");
        CHECK(folder.names() == Words{"p.png", "small.toml"});
    }
}

TEST_CASE("A second Ctrl-C ends a render at once") {
    const TemporaryFolder folder;
    Running render(long_render(small_scene(folder), folder / "p.png"));
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    render.signal(SIGINT);
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    render.signal(SIGINT);
    CHECK(render.wait().code == 130);
    CHECK(folder.names() == Words{"small.toml"});
}

TEST_CASE("Pictures written before Ctrl-C are named") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    Running goes({"render", scene, "-o", (folder / "p.png").string(), "--repeats", "20",
                  "--quality", "draft", "--size", "1800x1200"});
    for (int i = 0; i < 3000 && !fs::exists(folder / "p-1.png"); ++i)
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    goes.signal(SIGINT);
    const Finished finished = goes.wait();
    CHECK(finished.code == 130);
    CHECK(contains(finished.err, "interrupted; written before: "));
    for (const std::string& name : folder.names())
        if (name != "small.toml") CHECK_MESSAGE(contains(finished.err, name), finished.err);
}

// Half a second on a machine that is not busy; here it may be, so four times that.
TEST_CASE("The longest that any command is deaf to Ctrl-C") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const std::string demo = std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/ruin-sweep.toml";
    write_text(folder / "fan.obj", fan_of(900000));
    write_text(folder / "fan.toml",
               read_text(scene) + "\n[[subject]]\nname = \"fan\"\nmesh = \"fan.obj\"\n");
    const std::string fan = (folder / "fan.toml").string();
    const std::string layers = (folder / "layers.exr").string();
    const std::string picture = (folder / "p.png").string();
    REQUIRE(run({"render", demo, "-o", picture, "--layers", layers, "--quality", "draft", "--size",
                 "2400x1600", "--quiet"})
                .code == 0);
    const std::vector<Words> commands{
        long_render(scene, picture),
        {"render", demo, "-o", picture, "--quality", "good", "--size", "6000x4000"},
        {"render", fan, "-o", picture},
        {"check", fan},
        {"meter", demo, "--quality", "fine"},
        {"retune", layers, "-o", picture},
        {"dusk", demo, "--every", "1"},
    };
    double longest_s = 0.0;
    std::string of_what;
    int interrupted = 0;
    for (const Words& words : commands)
        for (const double after_s : {0.01, 0.1, 0.3, 1.2}) {
            const auto [finished, taken_s] = interrupt(words, after_s);
            CAPTURE(words.front());
            CAPTURE(after_s);
            CHECK_MESSAGE((finished.code == 130 || finished.code == 0), finished.err);
            if (finished.code != 130) continue;
            ++interrupted;
            if (taken_s <= longest_s) continue;
            longest_s = taken_s;
            of_what = fmt::format("{} after {} s", words.front(), after_s);
        }
    MESSAGE("longest: " << longest_s << " s, of " << of_what << "; heard " << interrupted
                        << " times");
    CHECK(interrupted >= 12);
    CHECK(longest_s < 2.0);
}
