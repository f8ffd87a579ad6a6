// The writers of the single formats, and how they write numbers.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/flights/files/write_path_file.h"

namespace lampflight {

/// A number with so many decimals, never "-0".
std::string fixed_text(double value, int decimals);

/// Digits that tell a tenth of a millimetre, and a microsecond.
constexpr int metre_decimals = 4;
constexpr int degree_decimals = 9;
constexpr int time_decimals = 6;

/// Longitude within [-180, 180), as GPX has it, once it is rounded.
std::string longitude_text(double longitude_deg);

/// The word's value of a sample as `take_value` reads it; empty where it states nothing, as for a
/// speed beyond what may be read.
std::string value_text(const PathSample& sample, std::string_view word);

/// The words of which any sample states something, in the order of the files.
std::vector<std::string> words_told(const std::vector<PathRecord>& records);

std::string csv_path_text(const std::vector<PathRecord>& records,
                          const std::optional<GeoFrame>& place);
std::string geojson_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                              const std::string& title);
std::string gpx_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                          const std::string& title);
/// Heights above take-off.
std::string kml_path_text(const std::vector<PathRecord>& records, const GeoFrame& place,
                          const std::string& title);

}  // namespace lampflight
