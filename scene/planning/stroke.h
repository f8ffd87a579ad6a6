// Strokes: a drawn line against the size of what it draws, and whether that can be made out.
#pragma once

#include <optional>
#include <vector>

#include "scene/camera/camera.h"
#include "scene/flights/flight_path.h"
#include "scene/planning/extents.h"

namespace lampflight {

/// How a figure can be made out; common practice, no source. Legible: ten line widths go into its
/// shorter side and three into its finest detail. A blot: not three into the side, or not one into
/// the detail. Coarse: between them.
enum class Legibility { legible, coarse, blot };

/// `detail_lines` is the finest detail in line widths; nothing for a figure that has none.
Legibility legibility(const Extents& figure_px, double line_px, std::optional<double> detail_lines);

/// A flight as it is flown through to its end, at even times.
struct FlownPoint {
    double time_s;
    Vec3 at_m;
    double share;  ///< of its way, 0 to 1
};

std::vector<FlownPoint> flown_points(const FlightPath& path, double shutter_s);

/// The line that a flight draws with a face of this width.
struct Stroke {
    const Camera& camera;
    double f_number;
    double face_m;

    /// Its width in pixels at a place; nothing where that isn't before the lens.
    std::optional<double> width_px(const Vec3& at_m) const;
};

/// The finest detail of a flight's image, in widths of the line just there. Of waypoints, a figure
/// and a star the shortest lit leg from corner to corner; of a helix or spiral the least way
/// between one turn and the next. Nothing for other shapes, and where nothing lies before the lens.
std::optional<double> finest_detail_lines(const Flight& flight, const FlightPath& path,
                                          const std::vector<FlownPoint>& flown,
                                          const Stroke& stroke);

}  // namespace lampflight
