#include "scene/camera/camera.h"

#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// Where the camera looks; a look-at at the lens itself says nothing, so bearing and tilt hold.
Vec3 forward_of(const Camera& camera) {
    if (camera.look_at_m) {
        const Vec3 towards = *camera.look_at_m - camera.position_m;
        const double distance_m = glm::length(towards);
        if (distance_m > 0.0) return towards / distance_m;
    }
    return direction_of(radians(camera.bearing_deg), radians(camera.tilt_deg));
}

}  // namespace

CameraAxes axes_of(const Camera& camera) {
    const Vec3 forward = forward_of(camera);
    // Straight up or down a direction has no bearing; the camera's own then says where right is.
    const bool vertical = std::hypot(forward.x, forward.y) < 1e-9;
    const double bearing_rad = vertical ? radians(camera.bearing_deg) : bearing_of(forward);
    const Vec3 right{std::cos(bearing_rad), -std::sin(bearing_rad), 0.0};
    const Vec3 up = glm::normalize(glm::cross(right, forward));

    const double roll_rad = radians(camera.roll_deg);
    return {right * std::cos(roll_rad) - up * std::sin(roll_rad),
            up * std::cos(roll_rad) + right * std::sin(roll_rad), forward};
}

Vec2 field_of_view_rad(const Camera& camera) {
    const RadialDistortion distortion(camera.lens.distortion);
    const Vec2 half = camera.sensor_mm / (2.0 * camera.focal_mm);
    return 2.0 * glm::atan(Vec2(distortion.ideal_radius(half.x), distortion.ideal_radius(half.y)));
}

Vec2 widest_tangents(const Camera& camera) {
    const RadialDistortion distortion(camera.lens.distortion);
    const Vec2 half = camera.sensor_mm / (2.0 * camera.focal_mm);
    if (distortion.none()) return half;
    // Outwards from the middle angles only grow, so the frame's edges hold the widest.
    Vec2 widest(0.0);
    constexpr int places = 64;
    for (int i = 0; i <= places; ++i)
        for (const Vec2& share : {Vec2(1.0, i / double{places}), Vec2(i / double{places}, 1.0)}) {
            const Vec2 place = share * half;
            const double radius = glm::length(place);
            widest = glm::max(widest, place * (distortion.ideal_radius(radius) / radius));
        }
    return widest;
}

double corner_radius(const Camera& camera) {
    return 0.5 * glm::length(camera.sensor_mm) / camera.focal_mm;
}

Vec2 pixel_pitch_mm(const Camera& camera) {
    return camera.sensor_mm / Vec2(camera.pixels);
}

bool in_frame(const Camera& camera, const Vec2& film_px) {
    return film_px.x >= 0.0 && film_px.y >= 0.0 && film_px.x < camera.pixels.x &&
           film_px.y < camera.pixels.y;
}

Projection::Projection(const Camera& camera)
    : position_m_(camera.position_m),
      axes_(axes_of(camera)),
      focal_mm_(camera.focal_mm),
      distortion_(camera.lens.distortion),
      pitch_mm_(pixel_pitch_mm(camera)),
      centre_px_(Vec2(camera.pixels) / 2.0) {}

std::optional<Vec2> Projection::film_px(const Vec3& world_m) const {
    const Vec3 from_lens = world_m - position_m_;
    const double depth = glm::dot(from_lens, axes_.forward);
    if (depth <= 1e-9) return std::nullopt;
    Vec2 film_mm = Vec2(glm::dot(from_lens, axes_.right), -glm::dot(from_lens, axes_.up)) *
                   (focal_mm_ / depth);
    if (!distortion_.none()) {
        const double ideal = glm::length(film_mm) / focal_mm_;
        if (ideal >= distortion_.limit()) return std::nullopt;
        if (ideal > 0.0) film_mm *= distortion_.image_radius(ideal) / ideal;
    }
    return centre_px_ + film_mm / pitch_mm_;
}

Vec2 Projection::ideal_mm(const Vec2& film_px) const {
    const Vec2 film_mm = (film_px - centre_px_) * pitch_mm_;
    if (distortion_.none()) return film_mm;
    const double image = glm::length(film_mm) / focal_mm_;
    return image > 0.0 ? film_mm * (distortion_.ideal_radius(image) / image) : film_mm;
}

Vec3 Projection::direction(const Vec2& film_px) const {
    const Vec2 film_mm = ideal_mm(film_px);
    return glm::normalize(axes_.right * film_mm.x - axes_.up * film_mm.y +
                          axes_.forward * focal_mm_);
}

double Projection::depth_m(const Vec3& world_m) const {
    return glm::dot(world_m - position_m_, axes_.forward);
}

double Projection::cos_off_axis(const Vec2& film_px) const {
    const Vec2 film_mm = ideal_mm(film_px);
    return focal_mm_ / std::sqrt(focal_mm_ * focal_mm_ + glm::dot(film_mm, film_mm));
}

double Projection::area_growth(const Vec2& film_px) const {
    if (distortion_.none()) return 1.0;
    const double ideal = glm::length(ideal_mm(film_px)) / focal_mm_;
    if (ideal <= 0.0) return 1.0;
    return distortion_.growth(ideal) * distortion_.image_radius(ideal) / ideal;
}

}  // namespace lampflight
