// libFuzzer's way into SVG files: what is read is laid on its plane, and must be finite there.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <variant>

#include "scene/flights/figure.h"
#include "scene/flights/files/svg_reader.h"

using namespace lampflight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = read_svg({reinterpret_cast<const char*>(data), size});
    const auto* drawing = std::get_if<SvgDrawing>(&read);
    if (drawing == nullptr) {
        if (std::get<std::string>(read).empty()) std::abort();
        return 0;
    }
    FigurePlane plane;
    plane.tilt_deg = 30.0;
    plane.seen_from_m = {0.0, -30.0, 2.0};
    for (const bool shortest_way : {false, true}) {
        const Waypoints waypoints = lay_figure(*drawing, plane, shortest_way);
        if (waypoints.size() < 2) std::abort();
        for (const Waypoint& waypoint : waypoints)
            for (int axis = 0; axis < 3; ++axis)
                if (!std::isfinite(waypoint.at_m[axis])) std::abort();
    }
    return 0;
}
