// Paths of one's own in files of open standards: CSV (RFC 4180), GeoJSON (RFC 7946), GPX 1.1 and
// KML 2.2 (OGC 07-147r2) and 2.3.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/flights/files/geo_frame.h"
#include "scene/flights/waypoint.h"

namespace lampflight {

/// How the files' positions stand to the scene's.
struct PathOrigin {
    std::optional<GeoFrame> place;  ///< of metre zero; needed for latitudes
    double home_up_m = 0.0;         ///< of take-off, above metre zero
};

struct FilePath {
    std::string name;  ///< empty where the file has none
    Waypoints points;  ///< in world metres, two or more, neighbours at least a millimetre apart
};

enum class PathFormat { csv, geojson, gpx, kml };

/// By a file's extension: .csv, .geojson or .json, .gpx, .kml, in any case.
std::optional<PathFormat> path_format_of(const std::filesystem::path& file);

constexpr std::size_t most_path_bytes = std::size_t{16} << 20;
constexpr std::size_t most_path_points = 200'000;
constexpr double farthest_point_m = 20'000.0;  ///< from metre zero, over the ground
constexpr double lowest_point_m = -500.0;      ///< above metre zero
constexpr double highest_point_m = 10'000.0;

using PathFileResult = std::variant<std::vector<FilePath>, std::string>;

/// The paths of a file in its order, one at least; or what is wrong with it, and what is allowed,
/// in a sentence.
/// Heights: CSV tells them above metre zero, GeoJSON and GPX above sea level, KML either so or
/// above take-off. Between the parts of a path (segments, lines of one feature) lamps are off.
PathFileResult read_path_file(std::string_view bytes, PathFormat format, const PathOrigin& origin);

}  // namespace lampflight
