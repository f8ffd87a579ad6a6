#include "scene/flights/files/path_file.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/utf8.h"
#include "scene/basics/wording.h"
#include "scene/flights/files/path_readers.h"

namespace lampflight {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// What makes a file no text in UTF-8.
std::optional<std::string> fault_of_text(std::string_view text) {
    std::size_t line = 1;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = utf8_length(text.substr(i));
        if (length == 0 || text[i] == '\0')
            return fmt::format("its line {} is no text; allowed is text in UTF-8", line);
        if (text[i] == '\n') ++line;
        i += length;
    }
    return std::nullopt;
}

}  // namespace

std::optional<PathFormat> path_format_of(const std::filesystem::path& file) {
    const std::string extension = lower_case(file.extension().string());
    if (extension == ".csv") return PathFormat::csv;
    if (extension == ".geojson" || extension == ".json") return PathFormat::geojson;
    if (extension == ".gpx") return PathFormat::gpx;
    if (extension == ".kml") return PathFormat::kml;
    return std::nullopt;
}

PathFileResult read_path_file(std::string_view bytes, PathFormat format, const PathOrigin& origin) {
    if (bytes.size() > most_path_bytes)
        return fmt::format("it holds {:.1f} MB; allowed is up to {} MB",
                           static_cast<double>(bytes.size()) / (1 << 20), most_path_bytes >> 20);
    if (bytes.starts_with(byte_order_mark)) bytes.remove_prefix(byte_order_mark.size());
    if (auto fault = fault_of_text(bytes)) return *fault;
    switch (format) {
        case PathFormat::csv:
            return read_csv_paths(bytes, origin);
        case PathFormat::geojson:
            return read_geojson_paths(bytes, origin);
        case PathFormat::gpx:
            return read_gpx_paths(bytes, origin);
        case PathFormat::kml:
            return read_kml_paths(bytes, origin);
    }
    return "it is of no known format";
}

}  // namespace lampflight
