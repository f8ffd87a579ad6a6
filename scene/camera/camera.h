// Camera pose, settings and projection: by a rectilinear lens, or one that departs from it radially
// (distortion.h). The film's pixel (0, 0) is the upper left one and x
// grows to the right, y downwards, in pixels.
#pragma once

#include <optional>

#include <glm/glm.hpp>

#include "scene/basics/vector.h"
#include "scene/camera/distortion.h"
#include "scene/camera/lens.h"
#include "scene/camera/sensor.h"

namespace lampflight {

struct Camera {
    Vec2 sensor_mm{36.0, 24.0};
    glm::ivec2 pixels{6000, 4000};  ///< of the picture
    /// How many of the sensor's own pixels lie side by side in one of the picture's: 1 but for a
    /// reduced picture.
    double sensor_pixels_across = 1.0;
    Vec3 position_m{0.0, -16.0, 1.4};
    std::optional<Vec3> look_at_m;  ///< wins over bearing and tilt when present
    double bearing_deg = 0.0;
    double tilt_deg = 0.0;  ///< upwards positive
    double roll_deg = 0.0;  ///< camera turned clockwise, seen from behind it
    double focal_mm = 20.0;
    double f_number = 8.0;
    double iso = 640.0;
    double shutter_s = 25.0;
    double focus_m = 16.0;
    bool dark_frame = false;  ///< takes one as long as the exposure after each, and makes one wait
    double white_balance_k = 5200.0;
    /// How far off the Planckian locus the balanced light lies, in CIE 1960 uv; plus is greenish.
    double white_balance_duv = 0.0;
    Lens lens;
    Sensor sensor;
};

/// The camera's axes in the world: unit vectors, right-handed with forward = up x right.
struct CameraAxes {
    Vec3 right;
    Vec3 up;
    Vec3 forward;
};

CameraAxes axes_of(const Camera& camera);

/// Horizontal and vertical field of view in radians, through the middle of the frame; without
/// distortion 2 atan(d / 2f).
Vec2 field_of_view_rad(const Camera& camera);

/// Tangents of the angles from the axis to the sides of the pyramid that holds all of the frame,
/// across and up; without distortion half the sensor over the focal length.
Vec2 widest_tangents(const Camera& camera);

/// Distance from the middle of the film to its corner, in focal lengths.
double corner_radius(const Camera& camera);

/// Side of a pixel on the sensor in millimetres (x, y).
Vec2 pixel_pitch_mm(const Camera& camera);

/// Whether a film position in pixels lies within the frame.
bool in_frame(const Camera& camera, const Vec2& film_px);

/// Maps between the world and the film for one camera; cheap to copy, made once per picture.
class Projection {
public:
    explicit Projection(const Camera& camera);

    /// Film position in pixels of a world point, or nothing when it lies behind the lens or so far
    /// aside that the lens's distortion says nothing of it, which is outside every frame.
    std::optional<Vec2> film_px(const Vec3& world_m) const;

    /// Unit direction from the lens through a film position given in pixels: undoes `film_px` to
    /// rounding over the frame.
    Vec3 direction(const Vec2& film_px) const;

    /// Distance along the optical axis in metres; negative behind the camera.
    double depth_m(const Vec3& world_m) const;

    /// Cosine of the angle between the optical axis and the ray through a film position.
    double cos_off_axis(const Vec2& film_px) const;

    /// Area of the image over that of a rectilinear lens's, about a film position: 1 without
    /// distortion.
    double area_growth(const Vec2& film_px) const;

    Vec3 position_m() const { return position_m_; }

private:
    /// Where a rectilinear lens would put what lies at a film position, from the middle.
    Vec2 ideal_mm(const Vec2& film_px) const;

    Vec3 position_m_;
    CameraAxes axes_;
    double focal_mm_;
    RadialDistortion distortion_;
    Vec2 pitch_mm_;
    Vec2 centre_px_;
};

}  // namespace lampflight
