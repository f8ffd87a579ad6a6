// The house itself: where things stand and which way includes run.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <regex>
#include <set>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

const fs::path root = LAMPFLIGHT_SOURCE_DIR;

bool is_ours(const std::string& name) {
    return name.front() != '.' && name.rfind("build", 0) != 0 && name != "pictures" &&
           name != "compile_commands.json";
}

/// A folder of sources, and the rooms directly below it. What stands below those is open to it as
/// well: `keys` stands on `shoot`, and so may use `sky` and `basics`.
struct Room {
    std::string name;
    std::vector<std::string> stands_on;
};

/// A folder at the top: its rooms from the ground up, and the folder below it.
struct Storey {
    std::string name;
    std::string below;
    std::vector<Room> rooms;
};

// The map of the house. Inside a storey a room stands on rooms that come before it in the list;
// and every room may use the whole of the storeys below.
const std::vector<Storey> house{
    {"scene",
     "",
     {
         {"basics", {}},
         {"camera", {"basics"}},
         {"lamps", {"basics"}},
         {"flights", {"lamps"}},
         {"flights/files", {"flights"}},
         {"subjects", {"basics"}},
         {"subjects/models", {"subjects"}},
         {"ground", {"camera", "subjects"}},
         {"sky", {"camera"}},
         {"shoot", {"lamps", "flights", "ground", "sky"}},
         {"cautions", {"shoot"}},
         {"keys", {"shoot"}},
         {"planning", {"cautions", "keys"}},
         {"reader", {"keys", "subjects/models", "flights/files"}},
     }},
    {"renderer",
     "scene",
     {
         {"sampling", {}},
         {"film", {}},
         {"geometry", {"sampling"}},
         {"air", {"sampling"}},
         {"sky", {"air"}},
         {"lamp_light", {"geometry"}},
         {"surface_light", {"film", "lamp_light", "sky"}},
         {"trails", {"film", "lamp_light", "sky"}},
         {"lens", {"film", "sampling"}},
         {"expose", {"surface_light", "trails", "lens"}},
         {"develop", {"lens"}},
         {"meter", {"develop", "geometry"}},
     }},
    {"cli",
     "renderer",
     {
         {"session", {}},
         {"drawing", {}},
         {"pictures", {"session", "drawing"}},
         {"layers", {"pictures"}},
         {"reports", {"session"}},
         {"sheets", {"drawing", "reports"}},
         {"commands", {"layers", "sheets"}},
     }},
};

/// The one source that stands above the rooms.
const fs::path top_source = "cli/main.cpp";

constexpr std::size_t most_rooms = 15;
constexpr std::size_t most_lines = 400;

/// Sources of a folder at the top, as paths from there.
std::vector<fs::path> sources_in(const std::string& storey) {
    std::vector<fs::path> sources;
    for (const auto& entry : fs::recursive_directory_iterator(root / storey)) {
        const std::string extension = entry.path().extension().string();
        if (extension == ".h" || extension == ".cpp")
            sources.push_back(fs::relative(entry.path(), root));
    }
    CHECK(sources.size() > 5);
    return sources;
}

std::string folder_of(const fs::path& source) {
    return source.parent_path().generic_string();
}

/// Folder of each include that is written with quotes.
std::vector<std::string> folders_included(const fs::path& source) {
    static const std::regex include(R"re(^\s*#\s*include\s*"([^"]*)".*)re");
    std::vector<std::string> folders;
    for (const std::string& line : lines_of(read_text(root / source))) {
        std::smatch match;
        if (std::regex_match(line, match, include)) folders.push_back(folder_of(match[1].str()));
    }
    return folders;
}

/// For each room, by its folder, the folders that its files may include.
using OpenFolders = std::map<std::string, std::set<std::string>>;

OpenFolders open_folders() {
    OpenFolders open;
    std::map<std::string, std::set<std::string>> whole;
    for (const Storey& storey : house) {
        whole[storey.name] = whole[storey.below];
        for (const Room& room : storey.rooms) {
            const std::string folder = storey.name + "/" + room.name;
            std::set<std::string> reached = whole[storey.below];
            reached.insert(folder);
            for (const std::string& below : room.stands_on) {
                CAPTURE(folder);
                CAPTURE(below);
                // Only rooms that came before have an entry, so no circle can be written down.
                const auto found = open.find(storey.name + "/" + below);
                REQUIRE(found != open.end());
                reached.insert(found->second.begin(), found->second.end());
            }
            open[folder] = reached;
            whole[storey.name].insert(folder);
        }
    }
    return open;
}

/// Types that a header declares in its namespace, which is not indented, with their contents.
std::vector<std::string> types_declared(const fs::path& header) {
    static const std::regex type(
        R"re(^(template\s*<.*>\s*)?(struct|class|union|enum( class)?)\s+(\w+)\b(?!\s*(;|<|::)).*)re");
    std::vector<std::string> types;
    for (const std::string& line : lines_of(read_text(root / header))) {
        std::smatch match;
        if (std::regex_match(line, match, type)) types.push_back(match[4]);
    }
    return types;
}

}  // namespace

TEST_CASE("every source stands in a room of the house, and every room has sources") {
    const OpenFolders open = open_folders();
    std::set<std::string> lived_in;
    for (const Storey& storey : house) {
        CHECK(storey.rooms.size() <= most_rooms);
        for (const fs::path& source : sources_in(storey.name)) {
            if (source == top_source) continue;
            CAPTURE(source.string());
            CHECK(open.count(folder_of(source)) == 1);
            lived_in.insert(folder_of(source));
        }
    }
    CHECK(fs::exists(root / top_source));
    for (const auto& [folder, reached] : open) {
        CAPTURE(folder);
        CHECK(lived_in.count(folder) == 1);
    }
}

TEST_CASE("includes run down only, from storey to storey and from room to room") {
    const OpenFolders open = open_folders();
    for (const Storey& storey : house)
        for (const fs::path& source : sources_in(storey.name)) {
            const auto room = open.find(folder_of(source));
            if (room == open.end()) continue;
            for (const std::string& included : folders_included(source)) {
                CAPTURE(source.string());
                CAPTURE(included);
                CHECK(room->second.count(included) == 1);
            }
        }
}

TEST_CASE("a type has a name of its own in the whole house") {
    std::map<std::string, fs::path> header_of;
    for (const Storey& storey : house)
        for (const fs::path& source : sources_in(storey.name)) {
            if (source.extension() != ".h") continue;
            for (const std::string& type : types_declared(source)) {
                const auto [first, is_new] = header_of.emplace(type, source);
                CAPTURE(type);
                CAPTURE(source.string());
                CHECK(first->second.string() == source.string());
            }
        }
    CHECK(header_of.size() > 100);
}

TEST_CASE("no source is too long to be about one thing") {
    for (const Storey& storey : house)
        for (const fs::path& source : sources_in(storey.name)) {
            CAPTURE(source.string());
            CHECK(lines_of(read_text(root / source)).size() <= most_lines);
        }
}

TEST_CASE("the renderer and the scene neither print nor exit") {
    const std::regex talk(
        R"re(\bstd::(exit|abort|printf|puts|cout|cerr)\b|\b(_exit|printf|puts)\s*\()re");
    for (const char* storey : {"scene", "renderer"})
        for (const fs::path& source : sources_in(storey)) {
            for (const std::string& line : lines_of(read_text(root / source))) {
                CAPTURE(source.string());
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
