#include <doctest/doctest.h>

#include <sys/wait.h>
#include <unistd.h>
#include <cstdlib>
#include <filesystem>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

const std::vector<std::string> tiny{"--quality", "draft", "--size", "96x64"};

std::vector<std::string> render_words(const std::string& scene, const fs::path& picture,
                                      const std::vector<std::string>& more) {
    std::vector<std::string> words{"render", scene, "-o", picture.string()};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

Finished render_tiny(const std::string& scene, const fs::path& picture,
                     std::vector<std::string> more = {}) {
    more.insert(more.end(), tiny.begin(), tiny.end());
    return run(render_words(scene, picture, more));
}

unsigned big_endian(const std::string& bytes, std::size_t at) {
    unsigned value = 0;
    for (std::size_t i = 0; i < 4; ++i)
        value = value << 8U | static_cast<unsigned char>(bytes.at(at + i));
    return value;
}

}  // namespace

TEST_CASE("render: a PNG of the size asked for, and one line about it") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished finished = render_tiny(scene, folder / "p.png");
    REQUIRE(finished.code == 0);
    CHECK(finished.out.empty());
    const auto lines = lines_of(finished.err);
    REQUIRE(lines.size() == 1);
    CHECK(contains(lines[0], "p.png"));
    CHECK(contains(lines[0], "96 x 64"));
    CHECK(contains(lines[0], " s"));

    // ISO/IEC 15948 (PNG): signature, then IHDR with width, height, depth 8, colour type 2 (RGB).
    const std::string bytes = read_text(folder / "p.png");
    REQUIRE(bytes.size() > 100);
    CHECK(bytes.substr(0, 8) == "\x89PNG\r\n\x1a\n");
    CHECK(bytes.substr(12, 4) == "IHDR");
    CHECK(big_endian(bytes, 16) == 96);
    CHECK(big_endian(bytes, 20) == 64);
    CHECK(bytes[24] == 8);
    CHECK(bytes[25] == 2);
    CHECK(bytes.substr(37, 4) == "sRGB");
    CHECK(bytes.substr(bytes.size() - 8, 4) == "IEND");
    CHECK(folder.names() == std::vector<std::string>{"p.png", "small.toml"});
}

TEST_CASE("render: a linear picture") {
    const TemporaryFolder folder;
    REQUIRE(render_tiny(small_scene(folder), folder / "p.hdr").code == 0);
    const std::string bytes = read_text(folder / "p.hdr");
    CHECK(bytes.substr(0, 11) == "#?RADIANCE\n");
    CHECK(contains(bytes, "-Y 64 +X 96\n"));
}

TEST_CASE("render: a picture of 16 bits") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    for (const char* name : {"p.tif", "p.TIFF"}) {
        CAPTURE(name);
        REQUIRE(render_tiny(scene, folder / name).code == 0);
        // TIFF 6.0, section 2: the order of bytes, then 42.
        const std::string bytes = read_text(folder / name);
        CHECK(bytes.substr(0, 4) == std::string("II*\0", 4));
        CHECK(contains(bytes, "Small halo\nCamera: "));
    }
    CHECK(folder.names() == std::vector<std::string>{"p.TIFF", "p.tif", "small.toml"});
}

TEST_CASE("render: the settings go with a picture, the place does not") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(scene,
               "place = { latitude_deg = 44.987, longitude_deg = 6.4, when = "
               "2026-11-24T17:35:00+01:00 }\n" +
                   read_text(scene));
    REQUIRE(render_tiny(scene, folder / "p.png", {"--set", "title=\"Mond über dem Grat\""}).code ==
            0);
    const std::string bytes = read_text(folder / "p.png");
    CHECK(contains(bytes, "iTXtTitle"));
    CHECK(contains(bytes, "Mond über dem Grat"));
    CHECK(contains(bytes, "Take short: f/8, ISO 400, 7 s"));
    CHECK(contains(bytes, "Quality: draft"));
    CHECK(!contains(bytes, "44.987"));
    // A title that could steer a terminal is refused at the door.
    CHECK(render_tiny(scene, folder / "q.png", {"--set", "title=\"a\\u001b[31m\""}).code == 3);
    CHECK(folder.names() == std::vector<std::string>{"p.png", "small.toml"});
}

TEST_CASE("render: names that are hard on a file system") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    for (const char* name : {"-p.png", "a b\tc.png", "naïve 月.png", "%s%n.png", "..png.png"}) {
        CAPTURE(name);
        CHECK(render_tiny(scene, folder / name).code == 0);
        CHECK(read_text(folder / name).substr(1, 3) == "PNG");
    }
    const auto count = folder.names().size();
    for (const std::string& name : {std::string(300, 'a') + ".png", std::string("no/folder.tif"),
                                    std::string("p.png/"), std::string()}) {
        CAPTURE(name);
        const Finished finished = render_tiny(scene, folder / name);
        CHECK((finished.code == 2 || finished.code == 4));
        CHECK(lines_of(finished.err).size() == 1);
    }
    CHECK(folder.names().size() == count);
}

TEST_CASE("render: the same bytes with any number of threads") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    for (const char* threads : {"1", "2", "5"})
        REQUIRE(render_tiny(scene, folder / (std::string(threads) + ".png"),
                            {"--threads", threads, "--quiet"})
                    .code == 0);
    const std::string one = read_text(folder / "1.png");
    CHECK(!one.empty());
    CHECK(one == read_text(folder / "2.png"));
    CHECK(one == read_text(folder / "5.png"));
}

TEST_CASE("render: one take or another or both make different pictures") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    REQUIRE(render_tiny(scene, folder / "low.png", {"--take", "low"}).code == 0);
    REQUIRE(render_tiny(scene, folder / "short.png", {"--take", "short"}).code == 0);
    REQUIRE(render_tiny(scene, folder / "both.png", {"--take", "low", "--take", "short"}).code ==
            0);
    REQUIRE(render_tiny(scene, folder / "all.png").code == 0);
    CHECK(read_text(folder / "low.png") != read_text(folder / "short.png"));
    CHECK(read_text(folder / "both.png") == read_text(folder / "all.png"));
}

TEST_CASE("render: --set and --bounces reach the picture") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    REQUIRE(render_tiny(scene, folder / "plain.png").code == 0);
    REQUIRE(render_tiny(scene, folder / "iso.png", {"--set", "camera.iso=1600"}).code == 0);
    CHECK(read_text(folder / "plain.png") != read_text(folder / "iso.png"));
    // Light that bounces off bright ground reaches the underside of an arch.
    write_text(scene, read_text(scene) + "[[subject]]\nname = \"arch\"\nmodel = \"arch\"\n");
    REQUIRE(render_tiny(scene, folder / "one.png").code == 0);
    REQUIRE(render_tiny(scene, folder / "none.png", {"--bounces", "0"}).code == 0);
    CHECK(read_text(folder / "one.png") != read_text(folder / "none.png"));
}

TEST_CASE("render: noise is in every picture, by its seed; --clean leaves it out") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const auto bytes_of = [&](const std::string& name, const std::vector<std::string>& more) {
        REQUIRE(render_tiny(scene, folder / name, more).code == 0);
        return read_text(folder / name);
    };
    const std::vector<std::string> seed{"--set", "photograph.noise_seed=2"};
    const std::vector<std::string> other_and_clean{"--set", "photograph.noise_seed=2", "--clean"};
    for (const std::string kind : {".png", ".hdr"}) {
        const std::string noisy = bytes_of("noisy" + kind, {});
        const std::string clean = bytes_of("clean" + kind, {"--clean"});
        CHECK(noisy == bytes_of("again" + kind, {}));
        CHECK(noisy != bytes_of("seed" + kind, seed));
        CHECK(noisy != clean);
        // A .png tells its seed in words, whatever it is good for.
        if (kind == ".hdr") CHECK(clean == bytes_of("still clean" + kind, other_and_clean));
    }
}

TEST_CASE("render: --quiet says nothing, and a pipe sees no progress") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished quiet = render_tiny(scene, folder / "p.png", {"--quiet"});
    CHECK(quiet.code == 0);
    CHECK(quiet.out.empty());
    CHECK(quiet.err.empty());
    const Finished piped = render_tiny(scene, folder / "p.png");
    CHECK(!contains(piped.err, "\r"));
    CHECK(!contains(piped.err, "%"));
}

TEST_CASE("render: a terminal sees progress, and it is wiped at the end") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const auto words = render_words(scene, folder / "p.png", tiny);
    const std::string shown = run_on_terminal(words);
    CHECK(contains(shown, "0 %"));
    CHECK(contains(shown, "[ "));
    const std::size_t wiped = shown.rfind(" \r");
    REQUIRE(wiped != std::string::npos);
    CHECK(contains(shown.substr(wiped), "96 x 64"));

    std::vector<std::string> quiet = words;
    quiet.emplace_back("--quiet");
    CHECK(run_on_terminal(quiet).empty());
}

TEST_CASE("render: a size of another shape is refused with one that fits") {
    const TemporaryFolder folder;
    const Finished finished = run(render_words(small_scene(folder), folder / "p.png",
                                               {"--quality", "draft", "--size", "96x96"}));
    CHECK(finished.code == 2);
    CHECK(contains(finished.err, "96x64"));
    CHECK(contains(finished.err, "144x96"));
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
}

TEST_CASE("render: an unknown kind of picture is refused before any work") {
    const TemporaryFolder folder;
    for (const char* name : {"p.jpg", "p", ".png"}) {
        CAPTURE(name);
        const Finished finished = render_tiny(small_scene(folder), folder / name);
        CHECK(finished.code == 2);
        CHECK(contains(finished.err, ".hdr"));
    }
    CHECK(folder.names() == std::vector<std::string>{"small.toml"});
}

TEST_CASE("render: a place that can't be written is refused before any work") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished no_folder = render_tiny(scene, folder / "none" / "p.png");
    CHECK(no_folder.code == 4);
    CHECK(contains(no_folder.err, "there is no folder"));

    fs::create_directory(folder / "taken.png");
    const Finished is_folder = render_tiny(scene, folder / "taken.png");
    CHECK(is_folder.code == 4);
    CHECK(contains(is_folder.err, "not a plain file"));

    // Nobody, not even root, makes files there.
    const Finished unwritable = render_tiny(scene, "/proc/p.png");
    CHECK(unwritable.code == 4);
    CHECK(contains(unwritable.err, "/proc/p.png"));

    if (::geteuid() != 0) {
        fs::create_directory(folder / "locked");
        fs::permissions(folder / "locked", fs::perms::owner_read | fs::perms::owner_exec);
        CHECK(render_tiny(scene, folder / "locked" / "p.png").code == 4);
    }
}

TEST_CASE("render: a device is never replaced by a picture") {
    const TemporaryFolder folder;
    fs::create_symlink("/dev/null", folder / "null.png");
    const Finished finished = render_tiny(small_scene(folder), folder / "null.png");
    CHECK(finished.code == 4);
    CHECK(fs::is_character_file("/dev/null"));
}

TEST_CASE("render: a failed one keeps the picture that was there; a good one replaces it") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(folder / "p.png", "an older picture");
    CHECK(render_tiny(scene, folder / "p.png", {"--set", "camera.iso=0"}).code == 3);
    CHECK(read_text(folder / "p.png") == "an older picture");
    CHECK(render_tiny(scene, folder / "p.png").code == 0);
    CHECK(read_text(folder / "p.png").size() > 100);
    CHECK(folder.names() == std::vector<std::string>{"p.png", "small.toml"});
}

TEST_CASE("render: a link stays a link, its target is replaced") {
    const TemporaryFolder folder;
    write_text(folder / "target.png", "old");
    fs::create_symlink("target.png", folder / "link.png");
    REQUIRE(render_tiny(small_scene(folder), folder / "link.png").code == 0);
    CHECK(fs::is_symlink(folder / "link.png"));
    CHECK(read_text(folder / "target.png").substr(1, 3) == "PNG");
}

TEST_CASE("figures that can't be written to standard output: exit code 4") {
    if (!fs::exists("/dev/full")) return;
    const std::string command = std::string("'") + LAMPFLIGHT_PROGRAM + "' keys >/dev/full 2>&1";
    const int status = std::system(command.c_str());
    CHECK(WEXITSTATUS(status) == 4);
}
