// Tables and help pages fit the terminal: no line is longer than there is room for.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>

#include <fmt/format.h>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

constexpr std::array<std::size_t, 4> widths{72, 80, 100, 140};

/// Characters of UTF-8 text.
std::size_t characters_of(const std::string& text) {
    return static_cast<std::size_t>(std::ranges::count_if(
        text, [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; }));
}

/// Sets COLUMNS for programs that are started meanwhile.
class Columns {
public:
    explicit Columns(const std::string& text) { ::setenv("COLUMNS", text.c_str(), 1); }
    ~Columns() { ::unsetenv("COLUMNS"); }
    Columns(const Columns&) = delete;
    Columns& operator=(const Columns&) = delete;
};

std::size_t longest_line(const std::string& text) {
    std::size_t longest = 0;
    for (const std::string& line : lines_of(text)) longest = std::max(longest, characters_of(line));
    return longest;
}

/// What a command prints at every width, each time within it.
void check_widths(const std::vector<std::string>& arguments) {
    for (const std::size_t width : widths) {
        const Columns columns(std::to_string(width));
        const Finished finished = run(arguments);
        CAPTURE(width);
        CAPTURE(arguments.front());
        CAPTURE(finished.err);
        CHECK(finished.code == 0);
        CHECK(!finished.out.empty());
        for (const std::string& line : lines_of(finished.out)) {
            CAPTURE(line);
            CHECK(characters_of(line) <= width);
            CHECK((line.empty() || line.back() != ' '));
        }
    }
}

/// Many flights, lamps and points, some with long names, over an evening.
std::string crowded_scene(const TemporaryFolder& folder) {
    std::string text =
        R"(title = "Forty-eight flights over one stone, each with a lamp of its own, to see how tables hold"
place = { latitude_deg = 58.1, longitude_deg = 8.4, when = 2026-10-09T19:20:00+02:00 }
ground = { kind = "flat" }
camera = { position_m = [0, -30, 1.5], look_at_m = [0, 0, 5], shutter_s = 25, pixels = [960, 640] }
)";
    std::string flights;
    for (int i = 0; i < 48; ++i) {
        const std::string name =
            i == 7 ? "the longest flight of all, about the stone" : fmt::format("lap {}", i);
        text += fmt::format("[[lamp]]\nname = \"lantern number {}\"\n", i);
        text += fmt::format(
            "[[flight]]\nname = \"{}\"\nheight_m = {}\nlap_s = {}\ncarries = [\"lantern number "
            "{}\"]\n",
            name, 6 + i, 20 + i % 9, i);
        text += fmt::format("[[point]]\nname = \"place {}\"\nposition_m = [{}, 0, 0]\n", i, i % 9);
        flights += fmt::format("{}\"{}\"", i > 0 ? ", " : "", name);
    }
    text += fmt::format(
        "[[take]]\nname = \"all of them at once, which nobody should fly\"\n"
        "flights = [{}]\n[[take]]\nname = "
        "\"unbroken{}\"\nflights = [\"lap 1\"]\n",
        flights, std::string(150, 'x'));
    const fs::path file = folder / "crowded.toml";
    write_text(file, text);
    return file.string();
}

}  // namespace

TEST_CASE("width: every help page fits 72, 80, 100 and 140 columns") {
    check_widths({"--help"});
    for (const char* command : {"start", "check", "dusk", "render", "retune", "meter", "keys"})
        check_widths({command, "--help"});
}

TEST_CASE("width: every table of a demo and of a crowded scene fits") {
    const TemporaryFolder folder;
    const std::string crowded = crowded_scene(folder);
    check_widths({"keys"});
    check_widths({"check", crowded});
    check_widths({"dusk", crowded});
    check_widths({"dusk", crowded, "--every", "1"});
    check_widths({"meter", crowded, "--size", "48x32"});
    for (const auto& entry : fs::directory_iterator(LAMPFLIGHT_SOURCE_DIR "/scenes"))
        if (entry.path().extension() == ".toml") {
            check_widths({"check", entry.path().string()});
            check_widths({"meter", entry.path().string(), "--size", "96x64"});
        }
}

TEST_CASE("width: of the terminal, else COLUMNS, else 100; never under 72") {
    CHECK(longest_line(run({"keys"}).out) > 80);
    CHECK(longest_line(run({"keys"}).out) <= 100);
    {
        const Columns columns("20");
        CHECK(longest_line(run({"keys"}).out) > 60);
        CHECK(longest_line(run({"keys"}).out) <= 72);
    }
    for (const char* odd : {"", "wide", "-3", "99999999999999999999999", "80 or so"}) {
        const Columns columns(odd);
        CHECK(longest_line(run({"keys"}).out) <= 100);
    }
    const Columns columns("140");
    CHECK(longest_line(run({"keys"}).out) > 100);
    const std::string shown = run_on_terminal({"keys"}, 75);
    // The terminal ends each line with a carriage return as well.
    CHECK(longest_line(shown) <= 76);
}
