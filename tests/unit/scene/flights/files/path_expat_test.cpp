// Written GPX and KML as another reader of XML sees them: libexpat, which knows namespaces.
#include <doctest/doctest.h>

#include <sstream>
#include <string>
#include <vector>

#include <expat.h>

#include "scene/flights/files/path_values.h"
#include "scene/flights/files/write_path_file.h"
#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

struct SeenElement {
    std::string name;  ///< namespace, a space, local name
    std::vector<std::string> attributes;
    std::string text;
};

/// All elements in the order of their beginnings; fails where the text is not well-formed.
class SeenXml {
public:
    explicit SeenXml(const std::string& text) {
        XML_Parser parser = XML_ParserCreateNS(nullptr, ' ');
        XML_SetUserData(parser, this);
        XML_SetElementHandler(parser, on_begin, on_end);
        XML_SetCharacterDataHandler(parser, on_text);
        const bool well_formed = XML_Parse(parser, text.data(), static_cast<int>(text.size()),
                                           XML_TRUE) == XML_STATUS_OK;
        CHECK_MESSAGE(well_formed, XML_ErrorString(XML_GetErrorCode(parser)));
        XML_ParserFree(parser);
    }

    std::vector<SeenElement> of(const std::string& name) const {
        std::vector<SeenElement> found;
        for (const SeenElement& element : elements_)
            if (element.name == name) found.push_back(element);
        return found;
    }
    const SeenElement& root() const { return elements_.front(); }

private:
    static void on_begin(void* data, const XML_Char* name, const XML_Char** attributes) {
        SeenXml& self = *static_cast<SeenXml*>(data);
        self.open_.push_back(self.elements_.size());
        self.elements_.push_back({name, {}, ""});
        for (; *attributes != nullptr; ++attributes)
            self.elements_.back().attributes.emplace_back(*attributes);
    }
    static void on_end(void* data, const XML_Char*) {
        static_cast<SeenXml*>(data)->open_.pop_back();
    }
    static void on_text(void* data, const XML_Char* bytes, int size) {
        SeenXml& self = *static_cast<SeenXml*>(data);
        self.elements_[self.open_.back()].text.append(bytes, static_cast<std::size_t>(size));
    }

    std::vector<SeenElement> elements_;
    std::vector<std::size_t> open_;
};

const std::string gpx_space = "http://www.topografix.com/GPX/1/1 ";
const std::string kml_space = "http://www.opengis.net/kml/2.2 ";

PathRecord zigzag_record() {
    PathRecord record{"there & \"back\" <äß>", {}, 1.5};
    for (int i = 0; i < 9; ++i) {
        PathSample sample;
        sample.at_m = {12.5 * i - 40.0, i % 2 == 0 ? 3.25 : -7.0, 2.0 + 0.125 * i};
        sample.time_s = i;
        sample.speed_m_s = 1.0;
        sample.lit = i != 3;
        record.samples.push_back(sample);
    }
    return record;
}

void check_seen(double latitude_deg, double longitude_deg, const PathSample& sample) {
    const GeoPosition expected = hillside().place->geodetic(sample.at_m);
    CHECK_WITHIN(latitude_deg, expected.latitude_deg, 1e-9);
    CHECK_WITHIN(longitude_deg, expected.longitude_deg, 1e-9);
}

}  // namespace

TEST_CASE("libexpat reads written GPX: namespace, names, segments, every point") {
    const PathRecord record = zigzag_record();
    const auto text = path_text({record}, PathFormat::gpx, hillside().place, "A & B");
    REQUIRE(text.has_value());
    const SeenXml xml(*text);
    CHECK(xml.root().name == gpx_space + "gpx");
    const std::vector<SeenElement> names = xml.of(gpx_space + "name");
    REQUIRE(names.size() == 2);
    CHECK(names[0].text == "A & B");
    CHECK(names[1].text == record.name);
    CHECK(xml.of(gpx_space + "trkseg").size() == 2);
    const auto points = xml.of(gpx_space + "trkpt"), heights = xml.of(gpx_space + "ele");
    REQUIRE(points.size() == record.samples.size());
    REQUIRE(heights.size() == points.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
        const std::vector<std::string>& attributes = points[i].attributes;
        REQUIRE(attributes.size() == 4);
        CHECK(attributes[0] == "lat");
        CHECK(attributes[2] == "lon");
        check_seen(number_in(attributes[1]).value(), number_in(attributes[3]).value(),
                   record.samples[i]);
        CHECK_WITHIN(number_in(heights[i].text).value(), 480.0 + record.samples[i].at_m.z, 1e-4);
    }
}

TEST_CASE("libexpat reads written KML: namespace, names, every point above take-off") {
    const PathRecord record = zigzag_record();
    const auto text = path_text({record}, PathFormat::kml, hillside().place, "A & B");
    REQUIRE(text.has_value());
    const SeenXml xml(*text);
    CHECK(xml.root().name == kml_space + "kml");
    CHECK(xml.of(kml_space + "name").back().text == record.name);
    CHECK(xml.of(kml_space + "altitudeMode").front().text == "relativeToGround");
    const auto lists = xml.of(kml_space + "coordinates");
    REQUIRE(lists.size() == 1);
    std::istringstream tuples(lists.front().text);
    std::size_t count = 0;
    char comma = ' ';
    double longitude_deg = 0.0, latitude_deg = 0.0, above_m = 0.0;
    for (; tuples >> longitude_deg >> comma >> latitude_deg >> comma >> above_m; ++count) {
        REQUIRE(count < record.samples.size());
        check_seen(latitude_deg, longitude_deg, record.samples[count]);
        CHECK_WITHIN(above_m, record.samples[count].at_m.z - 1.5, 1e-4);
    }
    CHECK(count == record.samples.size());
}
