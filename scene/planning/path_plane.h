// The plane of a flight, and how flat what is drawn there looks from the tripod.
#pragma once

#include <optional>
#include <span>

#include "scene/camera/camera.h"
#include "scene/planning/extents.h"

namespace lampflight {

/// A plane in which points lie, and a circle there about them.
struct PathPlane {
    Vec3 middle_m;
    Vec3 right, up;  ///< unit vectors in the plane, at a right angle
    double radius_m;

    Vec3 normal() const { return glm::cross(right, up); }
};

/// Nothing for points that lie on one line or depart from every plane, either by more than a
/// thousandth of their extent.
std::optional<PathPlane> plane_of(std::span<const Vec3> points_m);

/// Between the plane and the line of sight to its middle: 0 edge-on, 90 face-on.
double plane_angle_deg(const PathPlane& plane, const Vec3& lens_m);

/// Extents of the images of world points, in pixels; nothing where one of them isn't before the
/// lens, or there are none.
std::optional<Extents> image_extents_px(const Camera& camera, std::span<const Vec3> points_m);

/// The plane's circle as the camera sees it, its shorter extent over its longer: 1 for one whose
/// plane is parallel to the film, 0 edge-on. Nothing where it isn't all before the lens. A level
/// circle of radius R at a height h over a level camera and a distance D gives h / sqrt(D^2 - R^2).
std::optional<double> plane_flattening(const Camera& camera, const PathPlane& plane);

}  // namespace lampflight
