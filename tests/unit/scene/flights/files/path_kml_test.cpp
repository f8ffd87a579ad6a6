#include <doctest/doctest.h>

#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

std::string kml_fault(std::string_view text, const PathOrigin& origin = hillside()) {
    return path_fault(text, PathFormat::kml, origin);
}

std::string kml_text(const std::string& content) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
           "<kml xmlns=\"http://www.opengis.net/kml/2.2\" "
           "xmlns:gx=\"http://www.google.com/kml/ext/2.2\"><Document><name>all</name>\n" +
           content + "\n</Document></kml>\n";
}

std::string kml_line(const std::string& coordinates, const std::string& mode = "relativeToGround",
                     const std::string& kind = "LineString") {
    return "<" + kind + "><altitudeMode>" + mode + "</altitudeMode><coordinates>" + coordinates +
           "</coordinates></" + kind + ">";
}

std::string kml_placemark(const std::string& content) {
    return kml_text("<Placemark><name>rim</name>" + content + "</Placemark>");
}

const std::string two_tuples = "8.2,50.1,5\n  8.2,50.1001,10.5 ";

}  // namespace

TEST_CASE("KML: lines above take-off and above the sea") {
    const FilePath above = sound_path(kml_placemark(kml_line(two_tuples)), PathFormat::kml);
    CHECK(above.name == "rim");
    REQUIRE(above.points.size() == 2);
    CHECK_WITHIN(above.points[0].at_m, Vec3(0, 0, 5.5), 1e-9);
    CHECK_WITHIN(above.points[1].at_m, Vec3(0, 11.123, 11.0), 2e-3);
    const FilePath sea = sound_path(
        kml_placemark(kml_line("8.2,50.1,485 8.2,50.1001,490.5", "absolute", "LinearRing")),
        PathFormat::kml);
    CHECK_WITHIN(sea.points[0].at_m, Vec3(0, 0, 5), 1e-9);
}

TEST_CASE("KML: folders, rings of polygons, parts, and points in a row") {
    const auto paths = sound_paths(
        kml_text("<Folder><name>dots</name>"
                 "<Placemark>" +
                 kml_line("8.2,50.1,5", "relativeToGround", "Point") +
                 "</Placemark><Folder><Placemark><name>poly</name><Polygon><outerBoundaryIs>" +
                 kml_line(two_tuples, "relativeToGround", "LinearRing") +
                 "</outerBoundaryIs></Polygon></Placemark></Folder><Placemark>" +
                 kml_line("8.2,50.2,5", "relativeToGround", "Point") +
                 "</Placemark></Folder><Placemark><name>parts</name><MultiGeometry>" +
                 kml_line(two_tuples) + kml_line("8.201,50.1,5 8.202,50.1,5") +
                 "</MultiGeometry></Placemark>"),
        PathFormat::kml);
    REQUIRE(paths.size() == 3);
    CHECK(paths[0].name == "poly");
    CHECK(paths[1].name == "dots");
    CHECK(paths[1].points.size() == 2);
    CHECK(paths[2].name == "parts");
    REQUIRE(paths[2].points.size() == 4);
    CHECK(paths[2].points[0].lit);
    CHECK(!paths[2].points[1].lit);
    CHECK(paths[2].points[2].lit);
}

TEST_CASE("KML: tracks, and values for each point") {
    const FilePath track = sound_path(
        kml_placemark("<gx:Track><altitudeMode>absolute</altitudeMode>"
                      "<when>2020-01-01T00:00:00Z</when><when>2020-01-01T00:00:09Z</when>"
                      "<gx:coord>8.2 50.1 485</gx:coord><gx:coord>8.2 50.1001 486</gx:coord>"
                      "</gx:Track>"),
        PathFormat::kml);
    REQUIRE(track.points.size() == 2);
    CHECK_WITHIN(track.points[1].at_m, Vec3(0, 11.123, 6), 2e-3);
    const FilePath told =
        sound_path(kml_placemark("<ExtendedData><Data name='lit'><value>no\nyes</value></Data>"
                                 "<Data name='hold_s'><value>1.5\n0</value></Data>"
                                 "<Data name='aim'><value>the arch\n0 0 -1</value></Data>"
                                 "<Data name='other'><value>1</value></Data></ExtendedData>" +
                                 kml_line(two_tuples)),
                   PathFormat::kml);
    CHECK(!told.points[0].lit);
    CHECK(told.points[1].lit);
    CHECK(told.points[0].hold_s == 1.5);
    CHECK(told.points[0].aim == Aim(AimAtSubject{"the arch"}));
    CHECK(told.points[1].aim == Aim(Vec3(0, 0, -1)));
}

TEST_CASE("KML: what can't be used is refused in a sentence") {
    CHECK(kml_fault(kml_placemark(kml_line(two_tuples)), {})
              .starts_with("it tells places by latitude"));
    CHECK(kml_fault(kml_placemark(kml_line(two_tuples, "clampToGround"))) ==
          "the LineString in its line 3 has altitudeMode \"clampToGround\", which has no heights; "
          "allowed are \"relativeToGround\" and \"absolute\"");
    CHECK(kml_fault(kml_placemark("<LineString><coordinates>8.2,50.1,3</coordinates></LineString>"))
              .starts_with("the LineString in its line 3 has altitudeMode \"clampToGround\" for "
                           "want of another"));
    CHECK(kml_fault(kml_placemark(kml_line("8.2,50.1,5 8.2,50.2"))) ==
          "point 2 of the LineString in its line 3 has no height; needed are longitude, latitude "
          "and height");
    CHECK(kml_fault(kml_placemark(kml_line("8.2, 50.1, 5"))) ==
          "point 1 of the LineString in its line 3 has nothing under latitude; allowed is a number "
          "of degrees from -90 to 90");
    CHECK(kml_fault(kml_placemark(kml_line("8.2,50.1,5 8.2,50.2,5,6"))) ==
          "point 2 of the LineString in its line 3 has more than three numbers; needed are "
          "longitude, latitude and height");
    CHECK(kml_fault(kml_placemark(kml_line("8.2,50.1,5 8.2,50.2,nan"))) ==
          "point 2 of the LineString in its line 3 has \"nan\" under height; allowed is a number "
          "of metres from -1000 to 20000");
    CHECK(kml_fault(kml_placemark(kml_line("8.2,50.1,5")))
              .starts_with("its path \"rim\" has one point"));
    CHECK(kml_fault(kml_placemark("<Model/>")) ==
          "the Placemark in its line 3 has no line and no point; needed is a LineString, "
          "LinearRing, Polygon, Track or Point");
    CHECK(kml_fault(kml_text("")) ==
          "it has no path; needed is a Placemark with a LineString, or several with a Point");
    CHECK(kml_fault(kml_placemark("<ExtendedData><Data name='lit'><value>1</value></Data>"
                                  "</ExtendedData>" +
                                  kml_line(two_tuples))) ==
          "the Placemark in its line 3 has 1 values under lit for 2 points; needed are as many");
    CHECK(kml_fault(kml_placemark("<ExtendedData><Data name='lit'/><Data name='lit'/>"
                                  "</ExtendedData>" +
                                  kml_line(two_tuples))) ==
          "the Placemark in its line 3 tells lit twice; allowed is once");
    CHECK(kml_fault("<gpx/>") == "its outermost element is \"gpx\"; allowed is \"kml\"");
}

TEST_CASE("KML: damaged and hostile texts are refused") {
    const std::string whole = kml_placemark(kml_line(two_tuples));
    for (std::size_t length = 0; length + 1 < whole.size(); ++length)
        REQUIRE(kml_fault(whole.substr(0, length)) != "no fault");
    CHECK(kml_fault("<!DOCTYPE kml [<!ENTITY a 'x'>]><kml/>")
              .starts_with("it declares entities of its own"));
    CHECK(kml_fault("<kml>" + repeated("<Folder>", 100'000) + repeated("</Folder>", 100'000) +
                    "</kml>") == "it is nested deeper than 32 folders");
    CHECK(kml_fault("<kml>" + repeated("<a>", 1'000'000) + repeated("</a>", 1'000'000) + "</kml>")
              .starts_with("it has no path"));
    CHECK(kml_fault(kml_placemark(kml_line(repeated("8.2,50.1,5 ", most_path_points + 1))))
              .ends_with("is one point too many; allowed are 200000"));
}
