// libFuzzer's way into files of paths: the first byte picks the format, and what is read must lie
// within the limits.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/flights/files/path_file.h"

using namespace lampflight;

namespace {

bool is_sound(const FilePath& path) {
    if (path.points.size() < 2) return false;
    for (const Waypoint& point : path.points) {
        if (!(std::hypot(point.at_m.x, point.at_m.y) <= farthest_point_m)) return false;
        if (!(point.at_m.z >= lowest_point_m && point.at_m.z <= highest_point_m)) return false;
        if (!(point.hold_s >= 0.0) || !(point.speed_m_s.value_or(1.0) > 0.0)) return false;
    }
    return true;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
    const PathOrigin origin{GeoFrame(50.1, 8.2, 480.0), 1.5};
    const auto read = read_path_file(text, static_cast<PathFormat>(data[0] % 4), origin);
    if (const auto* fault = std::get_if<std::string>(&read)) {
        if (fault->empty()) std::abort();
        return 0;
    }
    const auto& paths = std::get<std::vector<FilePath>>(read);
    if (paths.empty()) std::abort();
    for (const FilePath& path : paths)
        if (!is_sound(path)) std::abort();
    return 0;
}
