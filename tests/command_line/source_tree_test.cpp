// The house itself: where things stand and which way includes run.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <regex>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

const fs::path root = LAMPFLIGHT_SOURCE_DIR;

bool is_ours(const std::string& name) {
    return name.front() != '.' && name.rfind("build", 0) != 0 && name != "pictures" &&
           name != "compile_commands.json";
}

std::vector<fs::path> sources_in(const std::string& room) {
    std::vector<fs::path> sources;
    for (const auto& entry : fs::recursive_directory_iterator(root / room)) {
        const std::string extension = entry.path().extension().string();
        if (extension == ".h" || extension == ".cpp") sources.push_back(entry.path());
    }
    return sources;
}

/// First folder of each include that is written with quotes.
std::vector<std::string> rooms_included(const fs::path& source) {
    static const std::regex include(R"re(^\s*#\s*include\s*"([^"]*)".*)re");
    std::vector<std::string> rooms;
    for (const std::string& line : lines_of(read_text(source))) {
        std::smatch match;
        if (std::regex_match(line, match, include))
            rooms.push_back(fs::path(match[1].str()).begin()->string());
    }
    return rooms;
}

}  // namespace

TEST_CASE("includes run down only: the command line, the renderer, the scene") {
    const std::map<std::string, std::vector<std::string>> allowed{
        {"scene", {"scene"}},
        {"renderer", {"scene", "renderer"}},
        {"cli", {"scene", "renderer", "cli"}},
    };
    for (const auto& [room, below] : allowed) {
        const auto sources = sources_in(room);
        CHECK(sources.size() > 5);
        for (const fs::path& source : sources)
            for (const std::string& included : rooms_included(source)) {
                const std::string file = fs::relative(source, root).string();
                CAPTURE(file);
                CAPTURE(included);
                CHECK(std::find(below.begin(), below.end(), included) != below.end());
            }
    }
}

TEST_CASE("the renderer and the scene neither print nor exit") {
    const std::regex talk(
        R"re(\b(std::exit|_exit|std::abort|printf|std::cout|std::cerr|puts)\b.*)re");
    for (const char* room : {"scene", "renderer"})
        for (const fs::path& source : sources_in(room)) {
            const std::string file = fs::relative(source, root).string();
            for (const std::string& line : lines_of(read_text(source))) {
                CAPTURE(file);
                CAPTURE(line);
                CHECK(!std::regex_search(line, talk));
            }
        }
}

TEST_CASE("nothing stands at the top that does not belong there") {
    const std::vector<std::string> expected{"CMakeLists.txt", "DEVELOPERS.md", "LICENSE",
                                            "README.md",      "cli",           "renderer",
                                            "scene",          "scenes",        "tests"};
    for (const auto& entry : fs::directory_iterator(root)) {
        const std::string name = entry.path().filename().string();
        if (!is_ours(name)) continue;
        CAPTURE(name);
        CHECK(std::find(expected.begin(), expected.end(), name) != expected.end());
    }
    for (const std::string& name : expected)
        if (name.find(".md") == std::string::npos) CHECK(fs::exists(root / name));
}
