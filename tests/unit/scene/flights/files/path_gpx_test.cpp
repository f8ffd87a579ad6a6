#include <doctest/doctest.h>

#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

std::string gpx_fault(std::string_view text, const PathOrigin& origin = hillside()) {
    return path_fault(text, PathFormat::gpx, origin);
}

std::string gpx_text(const std::string& content) {
    return "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"hand\" "
           "xmlns=\"http://www.topografix.com/GPX/1/1\">\n" +
           content + "\n</gpx>\n";
}

const std::string gpx_route =
    "<rte><name>out &amp; back</name><rtept lat='50.1' lon='8.2'><ele>485</ele></rtept>\n"
    "<rtept lat='50.1001' lon='8.2'><name>x</name><ele> 490.5 </ele></rtept></rte>";

std::string gpx_point(const std::string& latitude_deg) {
    return "<trkpt lat=\"" + latitude_deg + "\" lon=\"8.2\"><ele>485</ele></trkpt>\n";
}

}  // namespace

TEST_CASE("GPX: routes and tracks, heights above the sea") {
    const auto paths = sound_paths(gpx_text(gpx_route + "<trk><trkseg>" + gpx_point("50.1") +
                                            gpx_point("50.1002") + "</trkseg></trk>"),
                                   PathFormat::gpx);
    REQUIRE(paths.size() == 2);
    CHECK(paths[0].name == "out & back");
    REQUIRE(paths[0].points.size() == 2);
    CHECK_WITHIN(paths[0].points[0].at_m, Vec3(0, 0, 5), 1e-9);
    CHECK_WITHIN(paths[0].points[1].at_m, Vec3(0, 11.123, 10.5), 2e-3);
    CHECK(paths[1].name.empty());
    CHECK_WITHIN(paths[1].points[1].at_m, Vec3(0, 22.246, 5), 4e-3);
}

TEST_CASE("GPX: between segments lamps are off; a segment may be a single point") {
    const FilePath path = sound_path(
        gpx_text("<trk><name>a</name><trkseg>" + gpx_point("50.1") + gpx_point("50.11") +
                 "</trkseg><trkseg/><trkseg>" + gpx_point("50.12") + "</trkseg><trkseg>" +
                 gpx_point("50.13") + gpx_point("50.14") + "</trkseg></trk>"),
        PathFormat::gpx);
    REQUIRE(path.points.size() == 5);
    const std::vector<bool> lit{true, false, false, true, true};
    for (std::size_t i = 0; i < lit.size(); ++i) CHECK(path.points[i].lit == lit[i]);
}

TEST_CASE("GPX: prefixes, comments and character data in sections don't matter") {
    const FilePath path = sound_path(
        "<g:gpx xmlns:g='http://www.topografix.com/GPX/1/1'><g:rte><g:name><![CDATA[a<b]]></g:name>"
        "<g:rtept lat='50.1' lon='8.2'><g:ele>4<!-- x -->85</g:ele></g:rtept>"
        "<g:rtept lat='50.1001' lon='8.2'><g:ele>486</g:ele></g:rtept></g:rte></g:gpx>",
        PathFormat::gpx);
    CHECK(path.name == "a<b");
    CHECK_WITHIN(path.points[0].at_m.z, 5.0, 1e-9);
}

TEST_CASE("GPX: what can't be used is refused in a sentence") {
    const auto track_fault = [](const std::string& point) {
        return gpx_fault(
            gpx_text("<trk><trkseg>\n" + gpx_point("50.1") + point + "</trkseg></trk>"));
    };
    CHECK(gpx_fault(gpx_text(gpx_route), {}).starts_with("it tells places by latitude"));
    CHECK(track_fault("<trkpt lat='50.2' lon='8.2'/>") ==
          "the point in its line 5 has no height; needed is <ele>, metres above sea level");
    CHECK(track_fault("<trkpt lon='8.2'><ele>3</ele></trkpt>") ==
          "the point in its line 5 has nothing under lat; allowed is a number of degrees from -90 "
          "to 90");
    CHECK(track_fault("<trkpt lat='50,2' lon='8.2'><ele>3</ele></trkpt>") ==
          "the point in its line 5 has \"50,2\" under lat; allowed is a number of degrees from -90 "
          "to 90, with a point before decimals");
    CHECK(track_fault("<trkpt lat='50.2' lon='181'><ele>3</ele></trkpt>") ==
          "the point in its line 5 has \"181\" under lon; allowed is a number of degrees from -180 "
          "to 180");
    CHECK(track_fault("<trkpt lat='50.1' lon='8.2'><ele>-900</ele></trkpt>") ==
          "the point in its line 5 lies -1380.0 m above metre 0; allowed is -500 to 10000 m");
    CHECK(track_fault("") ==
          "its path \"\" has one point; allowed are two points and more, a "
          "millimetre apart and more");
    CHECK(gpx_fault(gpx_text("<trk/>")).starts_with("its path \"\" has no point"));
    CHECK(gpx_fault(gpx_text("<wpt lat='50' lon='8'/>")) ==
          "it has neither a route (rte) nor a track (trk); needed is one of them");
    CHECK(gpx_fault("<kml/>") == "its outermost element is \"kml\"; allowed is \"gpx\"");
    CHECK(gpx_fault("<gpx/><gpx/>") == "it has 2 outermost elements; allowed is one, \"gpx\"");
}

TEST_CASE("GPX: damaged and hostile texts are refused, and no other file is opened") {
    const std::string whole = gpx_text(gpx_route);
    const std::string last_sign = "</gpx>";
    for (std::size_t length = 0; length + 1 < whole.size(); ++length)
        REQUIRE(gpx_fault(whole.substr(0, length)) != "no fault");
    CHECK(gpx_fault("").starts_with("its line 1 is no sound XML"));
    CHECK(gpx_fault("<gpx>\n<rte>\n</gpx>") ==
          "its line 3 is no sound XML; allowed is a whole gpx file");
    const std::string refused =
        "it declares entities of its own; allowed is a file without a "
        "DOCTYPE";
    CHECK(gpx_fault("<!DOCTYPE gpx [<!ENTITY a 'x'><!ENTITY b '&a;&a;&a;'>]><gpx>&b;</gpx>") ==
          refused);
    CHECK(gpx_fault("<!DOCTYPE gpx [<!ENTITY e SYSTEM 'file:///etc/hostname'>]>"
                    "<gpx><rte><name>&e;</name></rte></gpx>") == refused);
    // A DOCTYPE elsewhere is never fetched, so what it might declare is not replaced.
    const FilePath path = sound_path(
        "<!DOCTYPE gpx SYSTEM 'file:///nowhere/gpx.dtd'><gpx><rte><name>&e;</name>"
        "<rtept lat='50.1' lon='8.2'><ele>485</ele></rtept>"
        "<rtept lat='50.2' lon='8.2'><ele>485</ele></rtept></rte></gpx>",
        PathFormat::gpx);
    CHECK(path.name == "&e;");
    CHECK(gpx_fault(repeated("<gpx>", 1'000'000)).starts_with("its line 1 is no sound XML"));
    CHECK(gpx_fault("<gpx>" + repeated("<rte>", 500'000) + repeated("</rte>", 500'000) + "</gpx>")
              .starts_with("its path \"\" has no point"));
    CHECK(gpx_fault(std::string("<gpx>\n") + '\0' + "</gpx>") ==
          "its line 2 is no text; allowed is text in UTF-8");
    CHECK(gpx_fault(gpx_text("<trk><trkseg>" +
                             repeated("<trkpt lat='50.1' lon='8.2'><ele>1</ele></trkpt>",
                                      most_path_points + 1) +
                             "</trkseg></trk>"))
              .ends_with("is one point too many; allowed are 200000"));
}
