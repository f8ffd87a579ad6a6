// Paths in GeoJSON (RFC 7946): longitude, latitude, metres above sea level.
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "scene/basics/wording.h"
#include "scene/flights/files/path_gathering.h"
#include "scene/flights/files/path_readers.h"

namespace lampflight {
namespace {

using nlohmann::json;

constexpr int deepest = 32;
constexpr std::size_t most_values = 4'000'000;

const std::vector<std::string> line_types{"LineString", "MultiLineString", "Polygon"};

/// Ends the parsing of what is too much.
struct TooMuch {
    std::string fault;
};

std::size_t line_of_byte(std::string_view text, std::size_t byte) {
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(byte, text.size()));
    return 1 + static_cast<std::size_t>(std::count(text.begin(), end, '\n'));
}

/// Takes the text as JSON of bounded depth and size.
PathFault parse_json(json& root, std::string_view text) {
    std::size_t values = 0;
    const auto watch = [&values](int depth, json::parse_event_t, json&) {
        if (depth > deepest)
            throw TooMuch{fmt::format("it is nested deeper than {} levels", deepest)};
        if (++values > most_values)
            throw TooMuch{fmt::format("it holds more than {} values", most_values)};
        return true;
    };
    try {
        root = json::parse(text, watch);
    } catch (const TooMuch& too_much) {
        return too_much.fault;
    } catch (const json::parse_error& error) {
        return fmt::format("its line {} is no sound JSON; allowed is GeoJSON (RFC 7946)",
                           line_of_byte(text, error.byte));
    } catch (const json::exception&) {
        return "it holds a number beyond all bounds; allowed is GeoJSON (RFC 7946)";
    }
    return std::nullopt;
}

const json none;

/// What stands under a key of an object; null where nothing does.
const json& member(const json& object, const char* key) {
    if (!object.is_object()) return none;
    const auto found = object.find(key);
    return found == object.end() ? none : *found;
}

std::string text_member(const json& object, const char* key) {
    const json& value = member(object, key);
    return value.is_string() ? value.get<std::string>() : "";
}

/// A value as a cell of text would have it.
std::string cell_text(const json& value) {
    if (value.is_null()) return "";
    if (value.is_string()) return value.get<std::string>();
    if (!value.is_array()) return value.dump();
    std::string words;
    for (const json& part : value) {
        if (!words.empty()) words += ' ';
        words += part.dump();
    }
    return words;
}

/// The one coordinate system that RFC 7946 has, as files before it named it.
bool is_known_crs(const json& crs) {
    const std::string name = text_member(member(crs, "properties"), "name");
    return name.find("CRS84") != std::string::npos || name.find("4326") != std::string::npos;
}

class GeoJsonReader {
public:
    explicit GeoJsonReader(const GeoFrame& place) : place_(place) {}

    PathFault take(const json& root) {
        if (const json& crs = member(root, "crs"); !crs.is_null() && !is_known_crs(crs))
            return "it has a \"crs\" of its own; allowed is WGS 84 alone (RFC 7946)";
        if (text_member(root, "type") != "FeatureCollection") return take_feature(root, "it");
        const json& features = member(root, "features");
        if (!features.is_array()) return "it has no list of \"features\"; a FeatureCollection does";
        for (std::size_t i = 0; i < features.size(); ++i)
            if (auto fault = take_feature(features[i], fmt::format("its feature {}", i + 1)))
                return fault;
        return std::nullopt;
    }

    PathFileResult finished() && {
        return std::move(gathering_).finished("it has no feature; needed is a LineString");
    }

private:
    PathFault take_feature(const json& feature, const std::string& where) {
        const bool is_feature = text_member(feature, "type") == "Feature";
        const json& geometry = is_feature ? member(feature, "geometry") : feature;
        const json& properties = is_feature ? member(feature, "properties") : none;
        const std::string type = text_member(geometry, "type");
        if (std::ranges::find(line_types, type) == line_types.end())
            return fmt::format("{} is of type {}; allowed are {}", where,
                               type.empty() ? "none" : in_quotes(type),
                               alternatives(line_types, "and"));
        const json& coordinates = member(geometry, "coordinates");
        const bool one_part = type == "LineString";
        std::vector<const json*> parts;
        if (one_part || !coordinates.is_array())
            parts.push_back(&coordinates);
        else
            for (const json& part : coordinates) parts.push_back(&part);
        std::size_t count = 0;
        for (const json* part : parts) {
            if (!part->is_array()) return fmt::format("{} has no list of coordinates", where);
            count += part->size();
        }
        if (auto fault = fault_of_lists(properties, count, where)) return fault;
        gathering_.begin(text_member(properties, "name"));
        return take_parts(parts, properties, where);
    }

    /// Lists of our words need a value for each point.
    static PathFault fault_of_lists(const json& properties, std::size_t count,
                                    const std::string& where) {
        for (const std::string& word : point_words()) {
            const json& values = member(properties, word.c_str());
            if (values.is_array() && values.size() != count)
                return fmt::format("{} has {} values under {} for {} points; needed are as many",
                                   where, values.size(), word, count);
        }
        return std::nullopt;
    }

    PathFault take_parts(const std::vector<const json*>& parts, const json& properties,
                         const std::string& where) {
        std::size_t number = 0;
        for (const json* part : parts) {
            gathering_.part();
            for (const json& position : *part)
                if (auto fault = take_point(position, properties, number++))
                    return where == "it" ? fmt::format("its point {} {}", number, *fault)
                                         : fmt::format("{}, point {}, {}", where, number, *fault);
        }
        return std::nullopt;
    }

    PathFault take_point(const json& position, const json& properties, std::size_t index) {
        if (!position.is_array() || position.size() < 2)
            return "is no position; allowed is [longitude, latitude, metres above sea level]";
        if (position.size() < 3)
            return "has no height; allowed is [longitude, latitude, metres above sea level]";
        GeoPosition at;
        if (auto fault =
                take_number(at.longitude_deg, cell_text(position[0]), "longitude", longitude_range))
            return fault;
        if (auto fault =
                take_number(at.latitude_deg, cell_text(position[1]), "latitude", latitude_range))
            return fault;
        if (auto fault =
                take_number(at.above_sea_m, cell_text(position[2]), "height", sea_level_range))
            return fault;
        StatedPoint point;
        point.waypoint.at_m = place_.world_m(at);
        for (const std::string& word : point_words()) {
            const json& values = member(properties, word.c_str());
            const json& value = values.is_array() ? values[index] : values;
            if (auto fault = take_value(point, word, cell_text(value))) return fault;
        }
        return gathering_.add(point);
    }

    const GeoFrame& place_;
    PathGathering gathering_;
};

}  // namespace

PathFileResult read_geojson_paths(std::string_view text, const PathOrigin& origin) {
    json root;
    if (auto fault = parse_json(root, text)) return *fault;
    if (!origin.place) return std::string(needs_place);
    GeoJsonReader reader(*origin.place);
    if (auto fault = reader.take(root)) return *fault;
    return std::move(reader).finished();
}

}  // namespace lampflight
