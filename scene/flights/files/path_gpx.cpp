// Paths in GPX 1.1: routes and tracks, heights above sea level.
#include <string>
#include <utility>

#include <fmt/format.h>

#include "scene/flights/files/path_gathering.h"
#include "scene/flights/files/path_readers.h"
#include "scene/flights/files/path_xml.h"

namespace lampflight {
namespace {

class GpxReader {
public:
    GpxReader(const PathXml& xml, const GeoFrame& place) : xml_(xml), place_(place) {}

    PathFault take() {
        for (const pugi::xml_node& node : xml_.root().children()) {
            const bool is_route = local_name(node) == "rte";
            if (!is_route && local_name(node) != "trk") continue;
            gathering_.begin(text_below(node, "name"));
            if (auto fault = is_route ? take_points(node, "rtept") : take_segments(node))
                return fault;
        }
        return std::nullopt;
    }

    PathFileResult finished() && {
        return std::move(gathering_)
            .finished("it has neither a route (rte) nor a track (trk); needed is one of them");
    }

private:
    PathFault take_segments(const pugi::xml_node& track) {
        for (const pugi::xml_node& segment : track.children()) {
            if (local_name(segment) != "trkseg") continue;
            gathering_.part();
            if (auto fault = take_points(segment, "trkpt")) return fault;
        }
        return std::nullopt;
    }

    PathFault take_points(const pugi::xml_node& nodes, std::string_view name) {
        for (const pugi::xml_node& node : nodes.children()) {
            if (local_name(node) != name) continue;
            if (auto fault = take_point(node))
                return fmt::format("the point in its line {} {}", xml_.line_of(node), *fault);
        }
        return std::nullopt;
    }

    PathFault take_point(const pugi::xml_node& node) {
        GeoPosition at;
        if (auto fault =
                take_number(at.latitude_deg, node.attribute("lat").value(), "lat", latitude_range))
            return fault;
        if (auto fault = take_number(at.longitude_deg, node.attribute("lon").value(), "lon",
                                     longitude_range))
            return fault;
        if (!child_of(node, "ele")) return "has no height; needed is <ele>, metres above sea level";
        if (auto fault =
                take_number(at.above_sea_m, text_below(node, "ele"), "ele", sea_level_range))
            return fault;
        StatedPoint point;
        point.waypoint.at_m = place_.world_m(at);
        return gathering_.add(point);
    }

    const PathXml& xml_;
    const GeoFrame& place_;
    PathGathering gathering_;
};

}  // namespace

PathFileResult read_gpx_paths(std::string_view text, const PathOrigin& origin) {
    PathXml xml;
    if (auto fault = xml.parse(text, "gpx")) return *fault;
    if (!origin.place) return std::string(needs_place);
    GpxReader reader(xml, *origin.place);
    if (auto fault = reader.take()) return *fault;
    return std::move(reader).finished();
}

}  // namespace lampflight
