// Paths in KML 2.2 and 2.3: lines, tracks, and points in a row.
#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/flights/files/path_gathering.h"
#include "scene/flights/files/path_readers.h"
#include "scene/flights/files/path_xml.h"

namespace lampflight {
namespace {

constexpr int deepest = 32;
constexpr std::array<std::string_view, 4> line_names{"LineString", "LinearRing", "Polygon",
                                                     "Track"};
constexpr std::array<std::string_view, 2> multi_names{"MultiGeometry", "MultiTrack"};

/// Cuts the next word off.
std::string_view next_word(std::string_view& text) {
    constexpr std::string_view spaces = " \t\r\n";
    const std::size_t begin = std::min(text.find_first_not_of(spaces), text.size());
    const std::size_t end = std::min(text.find_first_of(spaces, begin), text.size());
    const std::string_view word = text.substr(begin, end - begin);
    text.remove_prefix(end);
    return word;
}

/// Longitude, latitude, height, and what is too much.
using Tuple = std::array<std::string_view, 4>;

Tuple tuple_in(std::string_view text) {
    Tuple tuple;
    for (std::size_t i = 0; i < tuple.size(); ++i) {
        const std::size_t end = i + 1 < tuple.size() ? text.find(',') : std::string_view::npos;
        tuple[i] = text.substr(0, end);
        if (end == std::string_view::npos) break;
        text.remove_prefix(end + 1);
    }
    return tuple;
}

/// What a Placemark tells of its points: a list a word, with a value for each.
struct ToldValues {
    std::string word;
    std::vector<std::string> values;
};

/// One value a line, so that names may have any other character; "-" states nothing.
std::vector<std::string> lines_in(std::string_view text) {
    std::vector<std::string> lines;
    for (bool more = true; more;) {
        const std::size_t end = text.find('\n');
        more = end != std::string_view::npos;
        const std::string_view value = without_spaces(text.substr(0, end));
        lines.emplace_back(value == "-" ? std::string_view{} : value);
        if (more) text.remove_prefix(end + 1);
    }
    return lines;
}

PathFault take_told(std::vector<ToldValues>& told, const pugi::xml_node& placemark) {
    told.clear();
    for (const pugi::xml_node& data : child_of(placemark, "ExtendedData").children()) {
        const std::string word = data.attribute("name").value();
        if (local_name(data) != "Data" || !contains(point_words(), word)) continue;
        if (std::ranges::find(told, word, &ToldValues::word) != told.end())
            return fmt::format("tells {} twice; allowed is once", word);
        told.push_back({word, lines_in(text_below(data, "value"))});
    }
    return std::nullopt;
}

class KmlReader {
public:
    KmlReader(const PathXml& xml, const PathOrigin& origin) : xml_(xml), origin_(origin) {}

    /// Takes the paths of a Document or a Folder, and of those within.
    PathFault take_container(const pugi::xml_node& container, int depth) {
        if (depth > deepest) return fmt::format("it is nested deeper than {} folders", deepest);
        std::vector<pugi::xml_node> points;
        for (const pugi::xml_node& node : container.children()) {
            const std::string_view name = local_name(node);
            PathFault fault;
            if (name == "Document" || name == "Folder")
                fault = take_container(node, depth + 1);
            else if (name == "Placemark" && child_of(node, "Point"))
                points.push_back(child_of(node, "Point"));
            else if (name == "Placemark")
                fault = take_placemark(node);
            if (fault) return fault;
        }
        if (points.empty()) return std::nullopt;
        gathering_.begin(text_below(container, "name"));
        told_.clear();
        number_ = 0;
        for (const pugi::xml_node& point : points)
            if (auto fault = take_line(point)) return fault;
        return std::nullopt;
    }

    PathFileResult finished() && {
        return std::move(gathering_)
            .finished(
                "it has no path; needed is a Placemark with a LineString, or several with "
                "a Point");
    }

private:
    PathFault take_placemark(const pugi::xml_node& placemark) {
        const std::vector<pugi::xml_node> lines = lines_of(placemark);
        if (lines.empty())
            return fmt::format(
                "the Placemark in its line {} has no line and no point; needed is a "
                "LineString, LinearRing, Polygon, Track or Point",
                xml_.line_of(placemark));
        gathering_.begin(text_below(placemark, "name"));
        if (auto fault = take_told(told_, placemark))
            return fmt::format("the Placemark in its line {} {}", xml_.line_of(placemark), *fault);
        number_ = 0;
        for (const pugi::xml_node& line : lines) {
            gathering_.part();
            if (auto fault = take_line(line)) return fault;
        }
        for (const ToldValues& told : told_)
            if (told.values.size() != number_)
                return fmt::format(
                    "the Placemark in its line {} has {} values under {} for {} "
                    "points; needed are as many",
                    xml_.line_of(placemark), told.values.size(), told.word, number_);
        return std::nullopt;
    }

    /// The lines of a Placemark in order; rings of a polygon among them.
    static std::vector<pugi::xml_node> lines_of(const pugi::xml_node& placemark) {
        std::vector<pugi::xml_node> lines;
        for (const pugi::xml_node& node : placemark.children()) {
            if (contains(line_names, local_name(node))) add_line(lines, node);
            if (contains(multi_names, local_name(node)))
                for (const pugi::xml_node& part : node.children())
                    if (contains(line_names, local_name(part))) add_line(lines, part);
        }
        return lines;
    }

    static void add_line(std::vector<pugi::xml_node>& lines, const pugi::xml_node& line) {
        if (local_name(line) != "Polygon") {
            lines.push_back(line);
            return;
        }
        for (const pugi::xml_node& boundary : line.children())
            if (const pugi::xml_node ring = child_of(boundary, "LinearRing")) lines.push_back(ring);
    }

    /// The points of a line, a track or a single point.
    PathFault take_line(const pugi::xml_node& line) {
        double sea_level_m = 0.0;
        if (auto fault = take_mode(sea_level_m, line)) return fault;
        if (local_name(line) == "Track") return take_track(line, sea_level_m);
        const std::string coordinates = text_below(line, "coordinates");
        std::string_view words = coordinates;
        for (auto word = next_word(words); !word.empty(); word = next_word(words))
            if (auto fault = take_point(tuple_in(word), sea_level_m)) return said_of(line, *fault);
        return std::nullopt;
    }

    PathFault take_track(const pugi::xml_node& track, double sea_level_m) {
        for (const pugi::xml_node& node : track.children()) {
            if (local_name(node) != "coord") continue;
            const std::string text = text_in(node);
            std::string_view words = text;
            Tuple tuple;
            for (std::string_view& word : tuple) word = next_word(words);
            if (auto fault = take_point(tuple, sea_level_m)) return said_of(node, *fault);
        }
        return std::nullopt;
    }

    std::string said_of(const pugi::xml_node& node, const std::string& fault) const {
        return fmt::format("point {} of the {} in its line {} {}", number_, local_name(node),
                           xml_.line_of(node), fault);
    }

    /// How far above sea level heights count from.
    PathFault take_mode(double& sea_level_m, const pugi::xml_node& line) const {
        const pugi::xml_node node = child_of(line, "altitudeMode");
        const std::string mode = node ? text_in(node) : "clampToGround";
        if (mode == "absolute") return std::nullopt;
        if (mode == "relativeToGround") {
            sea_level_m = origin_.place->geodetic({0.0, 0.0, origin_.home_up_m}).above_sea_m;
            return std::nullopt;
        }
        return fmt::format(
            "the {} in its line {} has altitudeMode {}{}, which has no heights; "
            "allowed are \"relativeToGround\" and \"absolute\"",
            local_name(line), xml_.line_of(line), in_quotes(mode),
            node ? "" : " for want of another");
    }

    PathFault take_point(const Tuple& tuple, double sea_level_m) {
        const std::size_t index = number_++;
        GeoPosition at;
        if (auto fault = take_number(at.longitude_deg, tuple[0], "longitude", longitude_range))
            return fault;
        if (auto fault = take_number(at.latitude_deg, tuple[1], "latitude", latitude_range))
            return fault;
        if (tuple[2].empty()) return "has no height; needed are longitude, latitude and height";
        if (auto fault = take_number(at.above_sea_m, tuple[2], "height", sea_level_range))
            return fault;
        if (!tuple[3].empty())
            return "has more than three numbers; needed are longitude, latitude and height";
        at.above_sea_m += sea_level_m;
        StatedPoint point;
        point.waypoint.at_m = origin_.place->world_m(at);
        for (const ToldValues& told : told_)
            if (index < told.values.size())
                if (auto fault = take_value(point, told.word, told.values[index])) return fault;
        return gathering_.add(point);
    }

    const PathXml& xml_;
    const PathOrigin& origin_;
    PathGathering gathering_;
    std::vector<ToldValues> told_;
    std::size_t number_ = 0;  ///< of the path's points so far, merged ones counted
};

}  // namespace

PathFileResult read_kml_paths(std::string_view text, const PathOrigin& origin) {
    PathXml xml;
    if (auto fault = xml.parse(text, "kml")) return *fault;
    if (!origin.place) return std::string(needs_place);
    KmlReader reader(xml, origin);
    if (auto fault = reader.take_container(xml.root(), 0)) return *fault;
    return std::move(reader).finished();
}

}  // namespace lampflight
