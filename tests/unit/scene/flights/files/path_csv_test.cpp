#include <doctest/doctest.h>

#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

std::string csv_fault(std::string_view text, const PathOrigin& origin = hillside()) {
    return path_fault(text, PathFormat::csv, origin);
}

}  // namespace

TEST_CASE("a file's format goes by its extension") {
    CHECK(path_format_of("a/b.CSV") == PathFormat::csv);
    CHECK(path_format_of("b.geojson") == PathFormat::geojson);
    CHECK(path_format_of("b.Json") == PathFormat::geojson);
    CHECK(path_format_of("b.gpx") == PathFormat::gpx);
    CHECK(path_format_of("b.c.kml") == PathFormat::kml);
    for (const char* name : {"b.txt", "csv", ".csv", "b.kmz", ""})
        CHECK(path_format_of(name) == std::nullopt);
}

TEST_CASE("CSV: metres with all that may be told of a point") {
    const FilePath path = sound_path(
        "up_m,east_m,north_m,speed_m_s,hold_s,lit,corner_radius_m,aim\n"
        "8,1,2,2.5,3,no,0.5,down\n"
        "9,-4,2.25,,,YES,,boulder\n"
        "10,-4,7,,,,,\n"
        "+11,-4,1e1,,,0,,0 0.5 -1\n",
        PathFormat::csv, {});
    CHECK(path.name.empty());
    REQUIRE(path.points.size() == 4);
    const Waypoint& first = path.points[0];
    CHECK(first.at_m == Vec3(1, 2, 8));
    CHECK(first.speed_m_s == 2.5);
    CHECK(first.hold_s == 3.0);
    CHECK(!first.lit);
    CHECK(!first.through);
    CHECK(first.corner_radius_m == 0.5);
    CHECK(first.aim == Aim(AimWord::down));
    const Waypoint& second = path.points[1];
    CHECK(second.at_m == Vec3(-4, 2.25, 9));
    CHECK(!second.speed_m_s);
    CHECK(second.hold_s == 0.0);
    CHECK(second.lit);
    CHECK(!second.corner_radius_m);
    CHECK(second.aim == Aim(AimAtSubject{"boulder"}));
    CHECK(path.points[2].lit);
    CHECK(!path.points[2].aim);
    CHECK(path.points[3].at_m == Vec3(-4, 10, 11));
    CHECK(!path.points[3].lit);
    CHECK(path.points[3].aim == Aim(Vec3(0, 0.5, -1)));
}

TEST_CASE("CSV: as spreadsheets write it") {
    const std::string rows =
        "east_m,north_m,up_m,path\r\n0,0,5,\"a \"\"b\"\", c\"\r\n\r\n 1 ,0,5,\"a "
        "\"\"b\"\", c\"\r\n,,,\r\n";
    const FilePath path = sound_path("\xEF\xBB\xBF" + rows, PathFormat::csv);
    CHECK(path.name == "a \"b\", c");
    CHECK(path.points.size() == 2);
    for (const std::string separator : {";", "\t"}) {
        std::string other = "east_m,north_m,up_m\n0,0,5\n1,0,5.5";
        for (char& letter : other)
            if (letter == ',') letter = separator[0];
        CHECK(sound_path(other, PathFormat::csv).points[1].at_m == Vec3(1, 0, 5.5));
    }
    CHECK(sound_path("east_m,north_m,up_m\r0,0,5\r1,0,5\r", PathFormat::csv).points.size() == 2);
}

TEST_CASE("CSV: rows of several paths, in the order of their first rows") {
    const auto paths =
        sound_paths("path,east_m,north_m,up_m,time_s\nb,0,0,1,5\na,0,0,2,1\nb,1,0,1,6\na,1,0,2,2\n",
                    PathFormat::csv);
    REQUIRE(paths.size() == 2);
    CHECK(paths[0].name == "b");
    CHECK(paths[0].points[1].at_m == Vec3(1, 0, 1));
    CHECK(paths[1].name == "a");
    CHECK(paths[1].points[0].at_m == Vec3(0, 0, 2));
}

TEST_CASE("CSV: latitudes about the place, and metres before them where both stand") {
    const FilePath path =
        sound_path("latitude_deg,longitude_deg,up_m\n50.1,8.2,3\n50.1001,8.2,4\n", PathFormat::csv);
    CHECK_WITHIN(path.points[0].at_m, Vec3(0, 0, 3), 1e-9);
    // 1e-4 deg of a meridian at 50.1 deg: M = 6373.1 km, Snyder 1987, eq. 4-19.
    CHECK_WITHIN(path.points[1].at_m, Vec3(0, 11.123, 4), 2e-3);
    const FilePath both = sound_path(
        "latitude_deg,longitude_deg,up_m,east_m,north_m\n50.1,8.2,3,1,1\n50.1,8.2,3,2,2\n",
        PathFormat::csv);
    CHECK(both.points[1].at_m == Vec3(2, 2, 3));
    CHECK(csv_fault("latitude_deg,longitude_deg,up_m\n50.1,8.2,3\n50.1001,8.2,4\n", {}) ==
          "it tells places by latitude and longitude, for which the scene needs a [place]; allowed "
          "without one is a CSV file of east_m, north_m and up_m");
}

TEST_CASE("CSV: points less than a millimetre apart become one, with the longer hold") {
    const FilePath path = sound_path(
        "east_m,north_m,up_m,hold_s,lit,corner_radius_m\n"
        "0,0,5,4,yes,1\n0,0.0009,5,2,no,\n0,1,5,,,\n0,1.0011,5,,,\n",
        PathFormat::csv);
    REQUIRE(path.points.size() == 3);
    CHECK(path.points[0].at_m == Vec3(0, 0, 5));
    CHECK(path.points[0].hold_s == 4.0);
    CHECK(path.points[0].corner_radius_m == 1.0);
    CHECK(!path.points[0].lit);
}

TEST_CASE("CSV: what can't be used is refused in a sentence") {
    const std::string head = "east_m,north_m,up_m\n";
    const auto row_fault = [&](const std::string& column, const std::string& cell) {
        return csv_fault("east_m,north_m,up_m," + column + "\n0,0,5,\n1,0,5," + cell + "\n");
    };
    CHECK(csv_fault("") ==
          "it is empty; needed is a header such as east_m,north_m,up_m and a row "
          "for each point");
    CHECK(csv_fault(head) == "it has no points below its header; needed are two and more");
    CHECK(csv_fault(head + "0,0,5\n") ==
          "its path \"\" has one point; allowed are two points and more, a millimetre apart and "
          "more");
    CHECK(csv_fault("est_m,north_m,up_m\n") ==
          "its line 1 names a column \"est_m\"; did you mean \"east_m\"?");
    CHECK(csv_fault(head + "0,0,5\n\n0,1,abc\n") ==
          "its line 4 has \"abc\" under up_m; allowed is a number of metres from -500 to 10000");
    CHECK(csv_fault("east_m;north_m;up_m\n0;0;5\n0;1;5,5\n") ==
          "its line 3 has \"5,5\" under up_m; allowed is a number of metres from -500 to 10000, "
          "with a point before decimals");
    CHECK(csv_fault(head + "0,0,5\n0,5,0,0,5,0\n") ==
          "its line 3 has 6 cells where line 1 names 3 columns; needed are as many, and decimals "
          "after a point");
    CHECK(csv_fault(head + "0,,5\n") ==
          "its line 2 has nothing under north_m; allowed is a number of metres from -20000 to "
          "20000");
    for (const char* number : {"nan", "inf", "-inf", "1e999", "0x10", "1.2.3", "1 2", "--1", "+-1"})
        CHECK(csv_fault(head + "0," + number + ",5\n").starts_with("its line 2 has \""));
    CHECK(csv_fault(head + "0,0,5\n15000,15000,5\n") ==
          "its line 3 lies 21.213 km from metre 0; allowed is up to 20 km");
    CHECK(csv_fault("east_m,north_m,up_m,up_m\n") == "its line 1 names \"up_m\" twice");
    CHECK(csv_fault("east_m,north_m\n") ==
          "its line 1 names no place of a point; needed are east_m, north_m, up_m or "
          "latitude_deg, longitude_deg, up_m");
    CHECK(csv_fault("east_m,up_m,latitude_deg,longitude_deg\n") ==
          "its line 1 names one half of a place; needed are both east_m and north_m, or both "
          "latitude_deg and longitude_deg");
    CHECK(csv_fault("east_m,north_m,up_m,aim_up\n") ==
          "its line 1 names 1 of aim_east, aim_north, aim_up; needed are all three");
    CHECK(row_fault("speed_m_s", "0") ==
          "its line 3 has \"0\" under speed_m_s; allowed is a number of metres a second from 0.01 "
          "to 100");
    CHECK(row_fault("hold_s", "-1") ==
          "its line 3 has \"-1\" under hold_s; allowed is a number of seconds from 0 to 3600");
    CHECK(row_fault("lit", "on") ==
          "its line 3 has \"on\" under lit; allowed are \"yes\" and \"no\"");
    CHECK(row_fault("aim", "0 0 0") ==
          "its line 3 has an aim without a direction; allowed is any but [0, 0, 0]");
    CHECK(row_fault("aim,aim_east,aim_north,aim_up", "down,0,0,1").starts_with("its line 2 has 4"));
    CHECK(csv_fault("east_m,north_m,up_m,aim,aim_east,aim_north,aim_up\n0,0,5,down,0,0,1\n") ==
          "its line 2 has both aim and aim_east, aim_north, aim_up; allowed is one of them");
    CHECK(csv_fault("east_m,north_m,up_m,time_s\n0,0,5,3\n1,0,5,3\n") ==
          "its line 3 has 3 under time_s after 3; allowed are times that rise");
    CHECK(csv_fault(head + "0,0,\"5\n") == "its last quotes are never closed");
    CHECK(csv_fault(head + "0,0,5\"5\"\n").starts_with("its line 2 has quotes that don't pair"));
    CHECK(csv_fault(head + "0,0," + std::string(1, '\0') + "\n") ==
          "its line 2 is no text; allowed is text in UTF-8");
    CHECK(csv_fault(head + "0,0,\xFF\n") == "its line 2 is no text; allowed is text in UTF-8");
}

TEST_CASE("CSV: too much is refused") {
    const std::string head = "east_m,north_m,up_m\n";
    CHECK(csv_fault(std::string(most_path_bytes + 1, ' ')) ==
          "it holds 16.0 MB; allowed is up to 16 MB");
    CHECK(csv_fault(std::string(4000, ',') + "\n") == "its line 1 has more than 100 cells");
    CHECK(csv_fault(head + repeated("0,0,5\n1,0,5\n", most_path_points / 2 + 1)) ==
          "its line 200002 is one point too many; allowed are 200000");
    CHECK(csv_fault(std::string(most_path_bytes, '"')) != "no fault");
}
