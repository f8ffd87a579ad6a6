// Every scene in tests/broken is refused with exactly the words that stand beside it.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <vector>

#include "cli/session/problem_text.h"
#include "scene/reader/read_shoot.h"
#include "tests/text_of.h"

using namespace lampflight;
namespace fs = std::filesystem;

namespace {

const fs::path broken_folder = fs::path(LAMPFLIGHT_SOURCE_DIR) / "tests" / "broken";

std::vector<fs::path> broken_scenes() {
    std::vector<fs::path> scenes;
    for (const fs::directory_entry& entry : fs::directory_iterator(broken_folder))
        if (entry.path().extension() == ".toml") scenes.push_back(entry.path());
    std::sort(scenes.begin(), scenes.end());
    return scenes;
}

/// What the program says of a scene, with the bare name of the file, and of the folder from here.
std::string said_of(const fs::path& scene) {
    const std::string text = text_of(scene);
    const Checked<PlacedShoot> read = read_placed_shoot(text, scene);
    const auto* problems = std::get_if<std::vector<Problem>>(&read);
    if (!problems) return "(read without a problem)\n";
    std::vector<Problem> bare = *problems;
    for (Problem& problem : bare) problem.file = scene.filename().string();
    std::string said = problems_text(bare, text);
    for (std::size_t at = said.find(broken_folder.string()); at != said.npos;
         at = said.find(broken_folder.string(), at))
        said.replace(at, broken_folder.string().size(), "tests/broken");
    return said;
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

/// Lines that only one of two texts has, marked + (said) and - (expected).
std::string difference(const std::string& said, const std::string& expected) {
    const auto said_lines = lines_of(said), expected_lines = lines_of(expected);
    const auto missing_in = [](const std::vector<std::string>& lines, const std::string& line) {
        return std::find(lines.begin(), lines.end(), line) == lines.end();
    };
    std::string marked;
    for (const std::string& line : expected_lines)
        if (missing_in(said_lines, line)) marked += "  - " + line + '\n';
    for (const std::string& line : said_lines)
        if (missing_in(expected_lines, line)) marked += "  + " + line + '\n';
    return marked.empty() ? "  the order differs\n" : marked;
}

}  // namespace

TEST_CASE("Broken scenes are refused with the expected words") {
    const std::vector<fs::path> scenes = broken_scenes();
    CHECK(scenes.size() >= 90);
    for (const fs::path& scene : scenes) {
        fs::path beside = scene;
        const std::string expected = text_of(beside.replace_extension(".expected"));
        const std::string said = said_of(scene);
        CHECK_MESSAGE(!expected.empty(), scene.filename().string(), " expects nothing");
        CHECK_MESSAGE(said == expected, scene.filename().string(), '\n',
                      difference(said, expected));
    }
}

TEST_CASE("Problems stand in the order of the file") {
    for (const fs::path& scene : broken_scenes()) {
        const Checked<PlacedShoot> read = read_placed_shoot(text_of(scene), scene);
        REQUIRE(std::holds_alternative<std::vector<Problem>>(read));
        const auto& problems = std::get<std::vector<Problem>>(read);
        CHECK_MESSAGE(std::is_sorted(problems.begin(), problems.end(),
                                     [](const Problem& a, const Problem& b) {
                                         return std::pair(a.line, a.column) <
                                                std::pair(b.line, b.column);
                                     }),
                      scene.filename().string());
        for (const Problem& problem : problems) {
            CHECK(problem.line > 0);
            CHECK(problem.column > 0);
        }
    }
}
