// The readers of the single formats, for texts that are sound UTF-8 of a bounded size.
#pragma once

#include <string_view>

#include "scene/flights/files/path_file.h"

namespace lampflight {

PathFileResult read_csv_paths(std::string_view text, const PathOrigin& origin);
PathFileResult read_geojson_paths(std::string_view text, const PathOrigin& origin);
PathFileResult read_gpx_paths(std::string_view text, const PathOrigin& origin);
PathFileResult read_kml_paths(std::string_view text, const PathOrigin& origin);

/// The fault of a file of latitudes in a scene without a place.
constexpr std::string_view needs_place =
    "it tells places by latitude and longitude, for which the scene needs a [place]; allowed "
    "without one is a CSV file of east_m, north_m and up_m";

}  // namespace lampflight
