// Flown paths as texts of the formats that `read_path_file` reads.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/flights/files/path_file.h"
#include "scene/flights/files/sample_path.h"

namespace lampflight {

/// What such files are for; GeoJSON, GPX and KML carry it.
constexpr std::string_view path_note =
    "For looking and planning; not a mission for an autopilot. Local rules and the pilot decide "
    "what is flown.";

/// Whether a format tells places by latitude and longitude alone.
bool tells_by_latitude(PathFormat format);

/// Positions to a tenth of a millimetre. CSV tells all of a sample, in metres and with a place in
/// latitudes as well; GeoJSON and KML as lists beside the line; GPX only where lamps are off, by
/// ending its segments there. Nothing for latitudes without a place.
std::optional<std::string> path_text(const std::vector<PathRecord>& records, PathFormat format,
                                     const std::optional<GeoFrame>& place,
                                     const std::string& title);

}  // namespace lampflight
