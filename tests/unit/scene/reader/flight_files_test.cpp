// What flights are drawn from, at the door: files that are none, or will not be read, and in time.
#include <doctest/doctest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>

#include <sys/stat.h>
#include <unistd.h>

#include "scene/reader/read_shoot.h"
#include "tests/unit/scene/reader/problems_of.h"

using namespace lampflight;

namespace {

/// A folder of its own, gone at the end.
struct PathFolder {
    std::filesystem::path path =
        std::filesystem::temp_directory_path() / ("lampflight_paths_" + std::to_string(getpid()));

    PathFolder() { std::filesystem::create_directories(path); }
    ~PathFolder() {
        std::error_code error;
        std::filesystem::remove_all(path, error);
    }
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path / name, std::ios::binary) << text;
    }
};

std::string scene_of(const std::string& flights) {
    return "[camera]\n[[lamp]]\nname = \"a\"\n" + flights +
           "[[take]]\nname = \"t\"\nflights = [\"f\"]\n";
}

std::string flight_from(const std::string& key, const std::string& file,
                        const std::string& name = "f") {
    return "[[flight]]\nname = \"" + name + "\"\nshape = \"" + key + "\"\n" + key + " = \"" + file +
           "\"\ncarries = [\"a\"]\n";
}

/// The only problem of a scene in that folder.
std::string said_in(const PathFolder& folder, const std::string& flights) {
    const auto begun = std::chrono::steady_clock::now();
    const auto problems = problems_of(read_shoot(scene_of(flights), folder.path / "scene.toml"));
    CHECK(std::chrono::steady_clock::now() - begun < std::chrono::seconds(20));
    REQUIRE(problems.size() == 1);
    return problems.front().text;
}

void check_said(const PathFolder& folder, const std::string& name, const std::string& part) {
    const std::string said = said_in(folder, flight_from("waypoints", name));
    CHECK_MESSAGE(said.find(part) != said.npos, said);
}

const std::string sound_csv = "east_m,north_m,up_m\n0,0,5\n4,0,5\n";

}  // namespace

TEST_CASE("A path file that is no file is refused at once: folder, pipe, device, dead link") {
    const PathFolder folder;
    folder.write("sound.csv", sound_csv);
    std::filesystem::create_directory(folder.path / "folder.csv");
    check_said(folder, "folder.csv", "which is no file; it is a folder, in which there is no .csv");
    REQUIRE(mkfifo((folder.path / "pipe.csv").c_str(), 0600) == 0);
    check_said(folder, "pipe.csv", "which is a named pipe, no file; looked for in");
    std::filesystem::create_symlink("/dev/zero", folder.path / "zeros.csv");
    check_said(folder, "zeros.csv", "which is a device, no file; looked for in");
    std::filesystem::create_symlink("nowhere.csv", folder.path / "dead.csv");
    check_said(folder, "dead.csv", "which is not there; looked for in");
    check_said(folder, "sound.csv/more.csv", "which is not there; looked for in");
    REQUIRE(mkfifo((folder.path / "pipe.svg").c_str(), 0600) == 0);
    const std::string said = said_in(folder, flight_from("figure", "pipe.svg"));
    CHECK_MESSAGE(said.find("which is a named pipe, no file; looked for in") != said.npos, said);
}

TEST_CASE("A path file that is too large is refused unread, and so are many that are it together") {
    const PathFolder folder;
    folder.write("huge.csv", sound_csv);
    std::filesystem::resize_file(folder.path / "huge.csv", std::uintmax_t{40} << 20);
    check_said(folder, "huge.csv",
               "which holds 40 MB; allowed are 16 MB for all such files of a scene together");
    const std::string many_rows(std::size_t{9} << 20, '\n');
    folder.write("one.csv", sound_csv + many_rows);
    folder.write("two.csv", sound_csv + many_rows);
    const std::string said = said_in(
        folder, flight_from("waypoints", "one.csv") + flight_from("waypoints", "two.csv", "g"));
    CHECK_MESSAGE(said.find("\"two.csv\", which holds 9.0 MB; allowed are 16 MB") != said.npos,
                  said);
    // One file for two flights counts once.
    CHECK(problems_of(read_shoot(scene_of(flight_from("waypoints", "one.csv") +
                                          flight_from("waypoints", "one.csv", "g")),
                                 folder.path / "scene.toml"))
              .empty());
}

TEST_CASE("A path file that may not be read is told as that") {
    const PathFolder folder;
    folder.write("closed.csv", sound_csv);
    std::filesystem::permissions(folder.path / "closed.csv", std::filesystem::perms::none);
    if (access((folder.path / "closed.csv").c_str(), R_OK) == 0) return;  // as the superuser
    check_said(folder, "closed.csv",
               "which can't be read: Permission denied; allowed is a file that you may read");
}

TEST_CASE("What a path file holds besides points does not get through either") {
    const PathFolder folder;
    folder.write("zero.csv", sound_csv + std::string(1, '\0'));
    folder.write("empty.csv", "");
    folder.write("header.csv", "east_m,north_m,up_m\n");
    folder.write("nan.csv", "east_m,north_m,up_m\n0,0,5\nnan,0,5\n");
    folder.write("far.csv", "east_m,north_m,up_m\n0,0,5\n1e300,0,5\n");
    folder.write("low.csv", "east_m,north_m,up_m\n0,0,5\n3,0,-2\n");
    for (const std::string name :
         {"zero.csv", "empty.csv", "header.csv", "nan.csv", "far.csv", "low.csv"}) {
        const std::string said = said_in(folder, flight_from("waypoints", name));
        CHECK_MESSAGE((said.find("allowed") != said.npos || said.find("needed") != said.npos),
                      said);
        MESSAGE(said);
    }
}
