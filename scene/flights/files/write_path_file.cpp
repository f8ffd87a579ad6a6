#include "scene/flights/files/write_path_file.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include <fmt/format.h>

#include "scene/flights/files/csv_rows.h"
#include "scene/flights/files/path_values.h"
#include "scene/flights/files/path_writers.h"

namespace lampflight {
namespace {

constexpr int speed_decimals = 4;

/// Directions have columns of their own in CSV.
bool tells_direction(const PathSample& sample) {
    return sample.aim && std::holds_alternative<Vec3>(*sample.aim);
}

void add_row(std::string& text, const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) text += ',';
        text += cells[i];
    }
    text += "\r\n";
}

template <class Tells>
bool any_sample(const std::vector<PathRecord>& records, const Tells& tells) {
    return std::ranges::any_of(records, [&](const PathRecord& record) {
        return std::ranges::any_of(record.samples, tells);
    });
}

}  // namespace

std::string fixed_text(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    return fmt::format("{:.{}f}", std::round(value * scale) / scale + 0.0, decimals);
}

std::string longitude_text(double longitude_deg) {
    const std::string text = fixed_text(longitude_deg, degree_decimals);
    return text == fixed_text(180.0, degree_decimals) ? fmt::format("-{}", text) : text;
}

std::string value_text(const PathSample& sample, std::string_view word) {
    if (word == "time_s") return fixed_text(sample.time_s, time_decimals);
    if (word == "hold_s") return fixed_text(sample.hold_s, time_decimals);
    if (word == "lit") return sample.lit ? "yes" : "no";
    if (word == "aim") return sample.aim ? aim_text(*sample.aim) : "";
    const std::string speed = fixed_text(sample.speed_m_s, speed_decimals);
    StatedPoint point;
    return word == "speed_m_s" && !take_value(point, word, speed) ? speed : "";
}

std::vector<std::string> words_told(const std::vector<PathRecord>& records) {
    std::vector<std::string> words{"time_s", "speed_m_s", "hold_s", "lit"};
    if (any_sample(records, [](const PathSample& sample) { return sample.aim.has_value(); }))
        words.emplace_back("aim");
    return words;
}

std::string csv_path_text(const std::vector<PathRecord>& records,
                          const std::optional<GeoFrame>& place) {
    const std::vector<std::string> words = words_told(records);
    const bool directions = any_sample(records, tells_direction);
    std::vector<std::string> cells{"path", "east_m", "north_m", "up_m"};
    if (place) cells.insert(cells.end(), {"latitude_deg", "longitude_deg"});
    cells.insert(cells.end(), words.begin(), words.end());
    if (directions) cells.insert(cells.end(), {"aim_east", "aim_north", "aim_up"});
    std::string text;
    add_row(text, cells);
    for (const PathRecord& record : records)
        for (const PathSample& sample : record.samples) {
            cells.assign(1, csv_cell(record.name));
            for (int axis = 0; axis < 3; ++axis)
                cells.push_back(fixed_text(sample.at_m[axis], metre_decimals));
            if (place) {
                const GeoPosition at = place->geodetic(sample.at_m);
                cells.push_back(fixed_text(at.latitude_deg, degree_decimals));
                cells.push_back(longitude_text(at.longitude_deg));
            }
            const bool directed = tells_direction(sample);
            for (const std::string& word : words)
                cells.push_back(directed && word == "aim" ? ""
                                                          : csv_cell(value_text(sample, word)));
            for (int axis = 0; directions && axis < 3; ++axis)
                cells.push_back(directed ? fmt::format("{}", std::get<Vec3>(*sample.aim)[axis])
                                         : "");
            add_row(text, cells);
        }
    return text;
}

bool tells_by_latitude(PathFormat format) {
    return format != PathFormat::csv;
}

std::optional<std::string> path_text(const std::vector<PathRecord>& records, PathFormat format,
                                     const std::optional<GeoFrame>& place,
                                     const std::string& title) {
    if (tells_by_latitude(format) && !place) return std::nullopt;
    switch (format) {
        case PathFormat::csv:
            return csv_path_text(records, place);
        case PathFormat::geojson:
            return geojson_path_text(records, *place, title);
        case PathFormat::gpx:
            return gpx_path_text(records, *place, title);
        case PathFormat::kml:
            return kml_path_text(records, *place, title);
    }
    return std::nullopt;
}

}  // namespace lampflight
