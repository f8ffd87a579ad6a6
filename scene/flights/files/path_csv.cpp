// Paths in CSV: a row a point, under a header of our own words.
#include <algorithm>
#include <map>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/flights/files/csv_rows.h"
#include "scene/flights/files/path_gathering.h"
#include "scene/flights/files/path_readers.h"

namespace lampflight {
namespace {

constexpr NumberRange metres_range{-farthest_point_m, farthest_point_m, "metres"};
constexpr NumberRange up_range{lowest_point_m, highest_point_m, "metres"};

const std::vector<std::string>& known_columns() {
    static const std::vector<std::string> known = [] {
        std::vector<std::string> words{"east_m",       "north_m",       "up_m",
                                       "latitude_deg", "longitude_deg", "aim_east",
                                       "aim_north",    "aim_up",        "path"};
        words.insert(words.end(), point_words().begin(), point_words().end());
        return words;
    }();
    return known;
}

/// What the cells of a row are, by the header.
class CsvColumns {
public:
    PathFault read(const CsvRow& header, bool has_place) {
        line_ = header.line;
        for (const std::string& word : header.cells) {
            if (!contains(known_columns(), word))
                return fmt::format("its line {} names a column {}{}", line_, in_quotes(word),
                                   hint(word, known_columns()));
            if (!column_of_.try_emplace(word, column_of_.size()).second)
                return fmt::format("its line {} names {} twice", line_, in_quotes(word));
        }
        const bool by_latitude = has("latitude_deg") && has("longitude_deg");
        if (!has("up_m") || (!by_metres() && !by_latitude))
            return fmt::format(
                "its line {} names no place of a point; needed are east_m, north_m, "
                "up_m or latitude_deg, longitude_deg, up_m",
                line_);
        if (has("east_m") != has("north_m") || has("latitude_deg") != has("longitude_deg"))
            return fmt::format(
                "its line {} names one half of a place; needed are both east_m and "
                "north_m, or both latitude_deg and longitude_deg",
                line_);
        const int axes = has("aim_east") + has("aim_north") + has("aim_up");
        if (axes != 0 && axes != 3)
            return fmt::format(
                "its line {} names {} of aim_east, aim_north, aim_up; needed are "
                "all three",
                line_, axes);
        if (!by_metres() && !has_place) return std::string(needs_place);
        return std::nullopt;
    }

    bool has(const char* word) const { return column_of_.contains(word); }
    bool by_metres() const { return has("east_m") && has("north_m"); }

    /// Empty where there is no such column.
    std::string_view cell(const CsvRow& row, const std::string& word) const {
        const auto column = column_of_.find(word);
        return column == column_of_.end() ? std::string_view{} : row.cells[column->second];
    }

    PathFault fault_of_count(const CsvRow& row) const {
        if (row.cells.size() == column_of_.size()) return std::nullopt;
        return fmt::format(
            "has {} cells where line {} names {} columns; needed are as many, and "
            "decimals after a point",
            row.cells.size(), line_, column_of_.size());
    }

private:
    std::size_t line_ = 0;
    std::map<std::string, std::size_t> column_of_;
};

class CsvReader {
public:
    explicit CsvReader(const PathOrigin& origin) : origin_(origin) {}

    PathFault take(const CsvRow& row) {
        if (!has_header_) {
            has_header_ = true;
            return columns_.read(row, origin_.place.has_value());
        }
        if (auto fault = take_point(row)) return fmt::format("its line {} {}", row.line, *fault);
        return std::nullopt;
    }

    PathFileResult finished() && {
        return std::move(gathering_)
            .finished(has_header_ ? "it has no points below its header; needed are two and more"
                                  : "it is empty; needed is a header such as "
                                    "east_m,north_m,up_m and a row for each point");
    }

private:
    PathFault take_point(const CsvRow& row) {
        if (auto fault = columns_.fault_of_count(row)) return fault;
        StatedPoint point;
        if (auto fault = take_place(point.waypoint.at_m, row)) return fault;
        for (const std::string& word : point_words())
            if (auto fault = take_value(point, word, columns_.cell(row, word))) return fault;
        const std::string_view east = columns_.cell(row, "aim_east");
        const std::string_view north = columns_.cell(row, "aim_north");
        const std::string_view up = columns_.cell(row, "aim_up");
        if (!east.empty() || !north.empty() || !up.empty()) {
            if (point.waypoint.aim)
                return "has both aim and aim_east, aim_north, aim_up; allowed is one of them";
            if (auto fault = take_direction(point, east, north, up)) return fault;
        }
        gathering_.choose(std::string(columns_.cell(row, "path")));
        return gathering_.add(point);
    }

    /// Metres where there are some, latitudes else. Both are checked.
    PathFault take_place(Vec3& at_m, const CsvRow& row) const {
        const auto take_cell = [&](double& value, const char* word, const NumberRange& range) {
            return columns_.has(word) ? take_number(value, columns_.cell(row, word), word, range)
                                      : std::nullopt;
        };
        Vec3 metres(0.0);
        GeoPosition position;
        if (auto fault = take_cell(metres.z, "up_m", up_range)) return fault;
        if (auto fault = take_cell(metres.x, "east_m", metres_range)) return fault;
        if (auto fault = take_cell(metres.y, "north_m", metres_range)) return fault;
        if (auto fault = take_cell(position.latitude_deg, "latitude_deg", latitude_range))
            return fault;
        if (auto fault = take_cell(position.longitude_deg, "longitude_deg", longitude_range))
            return fault;
        at_m = columns_.by_metres() ? metres : origin_.place->world_m(position);
        at_m.z = metres.z;
        return std::nullopt;
    }

    const PathOrigin& origin_;
    bool has_header_ = false;
    CsvColumns columns_;
    PathGathering gathering_;
};

/// What the header has between its words.
char separator_of(std::string_view text) {
    const std::size_t begin = text.find_first_not_of("\r\n");
    if (begin == std::string_view::npos) return ',';
    const std::string_view header = text.substr(begin, text.find_first_of("\r\n", begin) - begin);
    const std::size_t first = header.find_first_of(",;\t");
    return first == std::string_view::npos ? ',' : header[first];
}

}  // namespace

PathFileResult read_csv_paths(std::string_view text, const PathOrigin& origin) {
    CsvReader reader(origin);
    if (auto fault = for_csv_rows(text, separator_of(text),
                                  [&](const CsvRow& row) { return reader.take(row); }))
        return *fault;
    return std::move(reader).finished();
}

}  // namespace lampflight
