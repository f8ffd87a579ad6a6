#include "scene/planning/flight_figures.h"

#include <algorithm>

#include "scene/planning/path_plane.h"
#include "scene/shoot/path_times.h"

namespace lampflight {
namespace {

bool burns_at(const LitLamp& lamp, double time_s) {
    return std::ranges::any_of(lamp.lit, [&](const auto& window) {
        return window.from_s <= time_s && time_s <= window.to_s;
    });
}

/// Where the lamps draw while the shutter is open.
std::vector<Vec3> drawn_points(const std::vector<FlownPoint>& flown, const PathTimes& times,
                               const FlightPath& path, const std::vector<LitLamp>& lamps) {
    std::vector<Vec3> drawn;
    for (const FlownPoint& point : flown)
        if (point.time_s >= times.from_s && point.time_s <= times.to_s &&
            std::ranges::any_of(lamps,
                                [&](const LitLamp& lamp) { return burns_at(lamp, point.time_s); }))
            drawn.push_back(point.at_m);
    for (const LitLamp& lamp : lamps)
        for (const auto& window : lamp.lit) {
            drawn.push_back(path.position_m(window.from_s));
            drawn.push_back(path.position_m(window.to_s));
        }
    return drawn;
}

/// The plane of the whole flight; of a round one with its own centre and radius, however much of
/// it is flown.
std::optional<PathPlane> plane_of_flight(const Flight& flight, const FlightPath& path,
                                         const std::vector<FlownPoint>& flown) {
    std::vector<Vec3> points_m;
    points_m.reserve(flown.size());
    for (const FlownPoint& point : flown) points_m.push_back(point.at_m);
    std::optional<PathPlane> plane = plane_of(points_m);
    if (plane && closes(flight.shape)) {
        plane->middle_m = path.centre_m();
        plane->radius_m = flight.radius_m;
    }
    return plane;
}

bool is_straight(const std::vector<FlownPoint>& flown, const std::optional<PathPlane>& plane) {
    if (plane) return false;
    // Points in no plane are either on one line or all about.
    const Vec3 from_m = flown.front().at_m;
    const auto far = std::ranges::max_element(
        flown, {}, [&](const FlownPoint& point) { return glm::distance(point.at_m, from_m); });
    const Vec3 along_m = far->at_m - from_m;
    const double length_m = glm::length(along_m);
    return std::ranges::all_of(flown, [&](const FlownPoint& point) {
        return glm::length(glm::cross(point.at_m - from_m, along_m)) <= 1e-3 * length_m * length_m;
    });
}

SeenShape seen_shape(const Camera& camera, double f_number, const Flight& flight,
                     const FlightPath& path, double shutter_s, const std::vector<LitLamp>& lamps) {
    const std::vector<FlownPoint> flown = flown_points(path, shutter_s);
    SeenShape seen{};
    const std::optional<PathPlane> plane = plane_of_flight(flight, path, flown);
    if (plane) {
        seen.plane_angle_deg = plane_angle_deg(*plane, camera.position_m);
        seen.plane_flattening = plane_flattening(camera, *plane);
    }
    const std::vector<Vec3> drawn = drawn_points(flown, path_times(path, shutter_s), path, lamps);
    seen.figure_px = image_extents_px(camera, drawn);
    if (!seen.figure_px) return seen;
    double face_m = 0.0;
    for (const LitLamp& lamp : lamps)
        if (lamp.lamp->hang_m == 0.0) face_m = std::max(face_m, 1e-3 * lamp.lamp->face_mm);
    if (face_m == 0.0) return seen;  // strips alone: a curtain, no line
    const Stroke stroke{camera, f_number, face_m};
    double line_px = 0.0;
    for (const Vec3& point : drawn)
        line_px = std::max(line_px, stroke.width_px(point).value_or(0.0));
    seen.line_px = line_px;
    seen.detail_lines = finest_detail_lines(flight, path, flown, stroke);
    if (!is_straight(flown, plane))
        seen.legible = legibility(*seen.figure_px, line_px, seen.detail_lines);
    return seen;
}

}  // namespace

FlightFigures flight_figures(const Camera& camera, const ExposureSettings& settings,
                             const Flight& flight, const FlightPath& path,
                             const std::vector<LitLamp>& lamps) {
    const double shutter_s = settings.shutter_s;
    const PathTimes times = path_times(path, shutter_s);
    FlightFigures figures{};
    figures.name = flight.name;
    figures.length_m = path.length_m();
    figures.lap_s = path.lap_s();
    figures.speed_m_s = path.speed_m_s();
    figures.top_speed_m_s = path.top_speed_m_s();
    figures.top_acceleration_m_s2 = path.top_acceleration_m_s2();
    figures.airborne_s = std::max(0.0, times.to_s - times.from_s);
    figures.flown_s = path.duration_s();
    if (const std::optional<Closure> closure = closure_of(flight, path, shutter_s)) {
        figures.closure_deg = closure->deg;
        figures.closure_m = closure->m;
        figures.slow_3_percent = closure_of(flight, path, shutter_s, 0.97);
        figures.slow_5_percent = closure_of(flight, path, shutter_s, 0.95);
    }
    figures.framing = frame_flight(camera, path, shutter_s);
    figures.seen = seen_shape(camera, settings.f_number, flight, path, shutter_s, lamps);
    figures.dial = dial_figures(flight, path, shutter_s);
    return figures;
}

}  // namespace lampflight
