#include <doctest/doctest.h>

#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

std::string geojson_fault(std::string_view text, const PathOrigin& origin = hillside()) {
    return path_fault(text, PathFormat::geojson, origin);
}

std::string geojson_line(const std::string& coordinates, const std::string& properties = "{}") {
    return R"({"type": "Feature", "properties": )" + properties +
           R"(, "geometry": {"type": "LineString", "coordinates": )" + coordinates + "}}";
}

const std::string two_points = "[[8.2, 50.1, 485], [8.2, 50.1001, 490.5, 7]]";

}  // namespace

TEST_CASE("GeoJSON: lines with names, heights above the sea") {
    const FilePath path = sound_path(
        geojson_line(two_points, R"({"name": "tower", "colour": [1, 2, 3]})"), PathFormat::geojson);
    CHECK(path.name == "tower");
    REQUIRE(path.points.size() == 2);
    CHECK_WITHIN(path.points[0].at_m, Vec3(0, 0, 5), 1e-9);
    CHECK_WITHIN(path.points[1].at_m, Vec3(0, 11.123, 10.5), 2e-3);
    CHECK(path.points[0].lit);

    const auto paths =
        sound_paths(R"({"type": "FeatureCollection", "features": [)" + geojson_line(two_points) +
                        "," + geojson_line(two_points, R"({"name": "b"})") + "]}",
                    PathFormat::geojson);
    REQUIRE(paths.size() == 2);
    CHECK(paths[1].name == "b");
    CHECK(sound_path(R"({"type": "LineString", "coordinates": )" + two_points + "}",
                     PathFormat::geojson)
              .points.size() == 2);
}

TEST_CASE("GeoJSON: between the parts of a feature lamps are off") {
    const FilePath parts =
        sound_path(R"({"type": "MultiLineString", "coordinates": [)" + two_points +
                       ", [[8.201, 50.1, 485], [8.202, 50.1, 485]]]}",
                   PathFormat::geojson);
    REQUIRE(parts.points.size() == 4);
    CHECK(parts.points[0].lit);
    CHECK(!parts.points[1].lit);
    CHECK(parts.points[2].lit);
    CHECK(parts.points[3].lit);
    const FilePath ring = sound_path(
        R"({"type": "Polygon", "coordinates":
            [[[8.2, 50.1, 485], [8.2, 50.2, 485], [8.201, 50.1, 485], [8.2, 50.1, 485]]]})",
        PathFormat::geojson);
    REQUIRE(ring.points.size() == 4);
    CHECK(ring.points.front().at_m == ring.points.back().at_m);
}

TEST_CASE("GeoJSON: values for each point, or one for all") {
    const FilePath path = sound_path(
        geojson_line(two_points, R"({"hold_s": [null, 2.5], "lit": [false, true], "speed_m_s": 3,
                                     "aim": ["ahead", [0, 0.5, -1]], "time_s": [1, 2],
                                     "corner_radius_m": [0, null]})"),
        PathFormat::geojson);
    REQUIRE(path.points.size() == 2);
    CHECK(path.points[0].hold_s == 0.0);
    CHECK(path.points[1].hold_s == 2.5);
    CHECK(!path.points[0].lit);
    CHECK(path.points[1].lit);
    CHECK(path.points[1].speed_m_s == 3.0);
    CHECK(path.points[0].aim == Aim(AimWord::ahead));
    CHECK(path.points[1].aim == Aim(Vec3(0, 0.5, -1)));
    CHECK(path.points[0].corner_radius_m == 0.0);
}

TEST_CASE("GeoJSON: what can't be used is refused in a sentence") {
    CHECK(geojson_fault(geojson_line(two_points), {}).starts_with("it tells places by latitude"));
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1], [8.2, 50.2]]")) ==
          "its point 1 has no height; allowed is [longitude, latitude, metres above sea level]");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], [8.2, 95, 485]]")) ==
          "its point 2 has \"95\" under latitude; allowed is a number of degrees from -90 to 90");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], 7]")) ==
          "its point 2 is no position; allowed is [longitude, latitude, metres above sea level]");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], [8.2, 50.1, null]]")) ==
          "its point 2 has nothing under height; allowed is a number of metres from -1000 to "
          "20000");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], [9.2, 50.1, 485]]")) ==
          "its point 2 lies 71.546 km from metre 0; allowed is up to 20 km");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], [8.2, 50.1, 1e999]]")) ==
          "it holds a number beyond all bounds; allowed is GeoJSON (RFC 7946)");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485]]")).starts_with("its path \"\" has one"));
    CHECK(geojson_fault(geojson_line("7")) == "it has no list of coordinates");
    CHECK(geojson_fault(geojson_line(two_points, R"({"hold_s": [1]})")) ==
          "it has 1 values under hold_s for 2 points; needed are as many");
    CHECK(geojson_fault(geojson_line(two_points, R"({"lit": [{"a": 1}, 3]})")) ==
          "its point 1 has \"{\"a\":1}\" under lit; allowed are \"yes\" and \"no\"");
    CHECK(geojson_fault(geojson_line(two_points, R"({"lit": [true, 3]})")) ==
          "its point 2 has \"3\" under lit; allowed are \"yes\" and \"no\"");
    CHECK(geojson_fault(R"({"type": "FeatureCollection", "features": [{"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [8, 50, 3]}}]})") ==
          "its feature 1 is of type \"Point\"; allowed are \"LineString\", \"MultiLineString\" and "
          "\"Polygon\"");
    CHECK(geojson_fault(R"({"type": "FeatureCollection", "features": []})") ==
          "it has no feature; needed is a LineString");
    CHECK(geojson_fault(R"({"type": "FeatureCollection", "features": 3})") ==
          "it has no list of \"features\"; a FeatureCollection does");
    for (const char* other : {"[]", "{}", "7", "null", "\"LineString\"", "{\"type\": 7}"})
        CHECK(geojson_fault(other).starts_with("it is of type none; allowed are"));
    CHECK(geojson_fault(R"({"type": "LineString", "crs": {"properties": {"name":
        "urn:ogc:def:crs:EPSG::25832"}}, "coordinates": [[8.2, 50.1, 485], [8.2, 50.2, 485]]})") ==
          "it has a \"crs\" of its own; allowed is WGS 84 alone (RFC 7946)");
}

TEST_CASE("GeoJSON: damaged and hostile texts are refused") {
    const std::string whole = geojson_line(two_points);
    for (std::size_t length = 0; length < whole.size(); ++length)
        REQUIRE(geojson_fault(whole.substr(0, length)) ==
                "its line 1 is no sound JSON; allowed is GeoJSON (RFC 7946)");
    CHECK(geojson_fault("{\n\n\"type\" 3}") ==
          "its line 3 is no sound JSON; allowed is GeoJSON (RFC 7946)");
    CHECK(geojson_fault(std::string(1'000'000, '[')) == "it is nested deeper than 32 levels");
    CHECK(geojson_fault(repeated("{\"a\":", 100'000)) == "it is nested deeper than 32 levels");
    CHECK(geojson_fault("[" + repeated("1,", 5'000'000) + "1]") ==
          "it holds more than 4000000 values");
    CHECK(geojson_fault(geojson_line("[[8.2, 50.1, 485], [8.2, 50.1, NaN]]"))
              .starts_with("its line 1 is no sound JSON"));
    CHECK(geojson_fault(
              geojson_line(two_points, R"({"aim": ")" + std::string(1'000'000, 'a') + "\"}")) ==
          "its point 1 has an aim of 1000000 letters; allowed are up to 200");
}
