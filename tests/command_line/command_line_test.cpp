// The words of the command line itself.
#include <doctest/doctest.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

TEST_CASE("help: each command shows an example and ends well") {
    for (const char* command : {"start", "check", "dusk", "render", "retune", "meter", "keys"}) {
        CAPTURE(command);
        const Finished help = run({command, "--help"});
        CHECK(help.code == 0);
        CHECK(help.err.empty());
        CHECK(contains(help.out, "Example:\n  lampflight " + std::string(command)));
    }
    const Finished help = run({"--help"});
    CHECK(help.code == 0);
    for (const char* command : {"start", "check", "dusk", "render", "retune", "meter", "keys"})
        CHECK(contains(help.out, command));
}

TEST_CASE("help: the linear picture says what its numbers mean") {
    CHECK(contains(run({"render", "--help"}).out, "where mid-grey is"));
}

TEST_CASE("no command at all: help on the error output, exit code 2") {
    const Finished finished = run({});
    CHECK(finished.code == 2);
    CHECK(finished.out.empty());
    CHECK(contains(finished.err, "lampflight COMMAND"));
}

TEST_CASE("wrong words: exit code 2 and what was probably meant") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    struct Case {
        std::vector<std::string> arguments;
        std::string expected;
    };
    const std::vector<Case> cases{
        {{"rendr", scene}, "did you mean \"render\"?"},
        {{"xylophone"}, "there is no command \"xylophone\""},
        {{"check", scene, "--jsn"}, "did you mean \"--json\"?"},
        {{"render", scene, "--qualty=good"}, "did you mean \"--quality\"?"},
        {{"render", scene, "-o", "p.png", "--quality", "god"}, "did you mean \"good\"?"},
        {{"render", scene}, "-o"},
        {{"render", scene, "-o"}, "--help"},
        {{"check"}, "name a scene file"},
        {{"check", scene, "another.toml"}, "one word too many"},
        {{"check", scene, "--set", "camera.iso"}, "key=value"},
        {{"check", scene, "--set", "=4"}, "key=value"},
        {{"check", scene, "--threads", "0"}, "--threads"},
        {{"check", scene, "--threads", "257"}, "256"},
        {{"check", scene, "--threads", "two"}, "--threads"},
        {{"render", scene, "-o", "p.png", "--size", "960"}, "--size 960x640"},
        {{"render", scene, "-o", "p.png", "--size", "4x4"}, "16"},
        {{"render", scene, "-o", "p.png", "--bounces", "-1"}, "--bounces"},
        {{"meter", scene, "--take", "lo"}, "did you mean \"low\"?"},
        {{"keys", "camra"}, "did you mean \"camera\"?"},
    };
    for (const Case& wrong : cases) {
        CAPTURE(wrong.arguments.back());
        const Finished finished = run(wrong.arguments);
        CAPTURE(finished.err);
        CHECK(finished.code == 2);
        CHECK(finished.out.empty());
        CHECK(contains(finished.err, wrong.expected));
    }
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
}
