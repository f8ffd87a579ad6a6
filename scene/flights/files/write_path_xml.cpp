// Paths as GPX 1.1 and KML 2.2.
#include <sstream>
#include <string>

#include <fmt/format.h>
#include <pugixml.hpp>

#include "scene/basics/wording.h"
#include "scene/flights/files/path_writers.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_text = 1000;

/// A child with a text, without the control characters that XML can't hold.
void add_text(pugi::xml_node& parent, const char* name, std::string_view text) {
    parent.append_child(name).text().set(printable(text, longest_text).c_str());
}

pugi::xml_node document_root(pugi::xml_document& document, const char* name,
                             const char* name_space) {
    pugi::xml_node declaration = document.append_child(pugi::node_declaration);
    declaration.append_attribute("version") = "1.0";
    declaration.append_attribute("encoding") = "UTF-8";
    pugi::xml_node root = document.append_child(name);
    root.append_attribute("xmlns") = name_space;
    return root;
}

std::string text_of(const pugi::xml_document& document) {
    std::ostringstream text;
    document.save(text, " ", pugi::format_indent, pugi::encoding_utf8);
    return std::move(text).str();
}

/// Segments are where lamps burn; dark ways lie between them, each of their inner points a segment
/// of its own, so that the whole way can be read back.
void add_segments(pugi::xml_node& track, const PathRecord& record, const GeoFrame& place) {
    pugi::xml_node segment;
    for (const PathSample& sample : record.samples) {
        if (!segment) segment = track.append_child("trkseg");
        const GeoPosition at = place.geodetic(sample.at_m);
        pugi::xml_node point = segment.append_child("trkpt");
        point.append_attribute("lat") = fixed_text(at.latitude_deg, degree_decimals).c_str();
        point.append_attribute("lon") = longitude_text(at.longitude_deg).c_str();
        add_text(point, "ele", fixed_text(at.above_sea_m, metre_decimals));
        if (!sample.lit) segment = pugi::xml_node();
    }
}

/// One value a line; "-" where nothing is stated.
void add_values(pugi::xml_node& data, const PathRecord& record, const std::string& word) {
    std::string values;
    for (const PathSample& sample : record.samples) {
        const std::string value = value_text(sample, word);
        if (!values.empty()) values += '\n';
        values += value.empty() ? "-" : value;
    }
    pugi::xml_node list = data.append_child("Data");
    list.append_attribute("name") = word.c_str();
    list.append_child("value").text().set(values.c_str());
}

std::string kml_coordinates(const PathRecord& record, const GeoFrame& place) {
    std::string tuples;
    for (const PathSample& sample : record.samples) {
        const GeoPosition at = place.geodetic(sample.at_m);
        if (!tuples.empty()) tuples += '\n';
        tuples += fmt::format("{},{},{}", longitude_text(at.longitude_deg),
                              fixed_text(at.latitude_deg, degree_decimals),
                              fixed_text(sample.at_m.z - record.home_up_m, metre_decimals));
    }
    return tuples;
}

}  // namespace

std::string gpx_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                          const std::string& title) {
    pugi::xml_document document;
    pugi::xml_node root = document_root(document, "gpx", "http://www.topografix.com/GPX/1/1");
    root.append_attribute("xmlns:xsi") = "http://www.w3.org/2001/XMLSchema-instance";
    root.append_attribute("xsi:schemaLocation") =
        "http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd";
    root.append_attribute("version") = "1.1";
    root.append_attribute("creator") = "Lampflight";
    pugi::xml_node metadata = root.append_child("metadata");
    add_text(metadata, "name", title);
    add_text(metadata, "desc", path_note);
    for (const PathRecord& record : records) {
        pugi::xml_node track = root.append_child("trk");
        add_text(track, "name", record.name);
        add_segments(track, record, place);
    }
    return text_of(document);
}

std::string kml_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                          const std::string& title) {
    const std::vector<std::string> words = words_told(records);
    pugi::xml_document document;
    pugi::xml_node root = document_root(document, "kml", "http://www.opengis.net/kml/2.2");
    pugi::xml_node all = root.append_child("Document");
    add_text(all, "name", title);
    add_text(all, "description", path_note);
    for (const PathRecord& record : records) {
        pugi::xml_node placemark = all.append_child("Placemark");
        add_text(placemark, "name", record.name);
        pugi::xml_node data = placemark.append_child("ExtendedData");
        for (const std::string& word : words) add_values(data, record, word);
        pugi::xml_node line = placemark.append_child("LineString");
        line.append_child("altitudeMode").text().set("relativeToGround");
        line.append_child("coordinates").text().set(kml_coordinates(record, place).c_str());
    }
    return text_of(document);
}

}  // namespace lampflight
