// Paths as GeoJSON (RFC 7946).
#include <nlohmann/json.hpp>

#include "scene/flights/files/path_values.h"
#include "scene/flights/files/path_writers.h"

namespace lampflight {
namespace {

using nlohmann::ordered_json;

/// The number that its text tells, so that no more digits are written.
double told_number(const std::string& text) {
    return number_in(text).value();
}

ordered_json coordinates_of(const PathRecord& record, const GeoFrame& place) {
    ordered_json coordinates = ordered_json::array();
    for (const PathSample& sample : record.samples) {
        const GeoPosition at = place.geodetic(sample.at_m);
        coordinates.push_back({told_number(longitude_text(at.longitude_deg)),
                               told_number(fixed_text(at.latitude_deg, degree_decimals)),
                               told_number(fixed_text(at.above_sea_m, metre_decimals))});
    }
    return coordinates;
}

ordered_json told_value(const PathSample& sample, const std::string& word) {
    const std::string text = value_text(sample, word);
    if (text.empty()) return nullptr;
    if (word == "lit") return sample.lit;
    if (word != "aim") return told_number(text);
    if (const Vec3* direction = std::get_if<Vec3>(&*sample.aim))
        return {direction->x, direction->y, direction->z};
    return text;
}

}  // namespace

std::string geojson_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                              const std::string& title) {
    const std::vector<std::string> words = words_told(records);
    ordered_json features = ordered_json::array();
    for (const PathRecord& record : records) {
        ordered_json properties{{"name", record.name}};
        for (const std::string& word : words)
            for (const PathSample& sample : record.samples)
                properties[word].push_back(told_value(sample, word));
        features.push_back(
            {{"type", "Feature"},
             {"properties", properties},
             {"geometry",
              {{"type", "LineString"}, {"coordinates", coordinates_of(record, place)}}}});
    }
    const ordered_json collection{{"type", "FeatureCollection"},
                                  {"title", title},
                                  {"note", path_note},
                                  {"features", features}};
    return collection.dump() + '\n';
}

}  // namespace lampflight
