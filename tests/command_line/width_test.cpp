// Tables and help pages fit the terminal: no line is longer than there is room for.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdlib>

#include "tests/command_line/program.h"

using namespace lampflight::testing;

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

}  // namespace

TEST_CASE("width: every help page fits 72, 80, 100 and 140 columns") {
    check_widths({"--help"});
    for (const char* command :
         {"start", "check", "dusk", "render", "retune", "meter", "path", "keys"})
        check_widths({command, "--help"});
}

TEST_CASE("width: keys and a scene's figures fit") {
    const TemporaryFolder folder;
    check_widths({"keys"});
    check_widths({"check", small_scene(folder)});
    check_widths({"meter", small_scene(folder), "--size", "48x32"});
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
