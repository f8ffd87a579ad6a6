#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

constexpr double most_megapixels = 200.0;
// Of a pixel; beyond any that a camera has, squeezed pictures included.
constexpr double most_oblong = 4.0;
constexpr TableRef ref{"camera", 0};

void check_look(const Checks& checks) {
    const Camera& camera = checks.shoot.camera;
    for (std::string_view key : {"bearing_deg", "tilt_deg"})
        if (checks.map.has(ref, "look_at_m") && checks.map.has(ref, key))
            checks.refuse_key(ref, key,
                              "stands beside \"look_at_m\"; allowed is one of the two ways to say "
                              "where the camera looks");
    if (camera.look_at_m && checks.map.all_sound(ref, {"look_at_m", "position_m"}) &&
        glm::distance(*camera.look_at_m, camera.position_m) < shortest_line_m)
        checks.refuse_value(ref, "look_at_m",
                            "is where the camera stands; allowed is at least {} m off",
                            shortest_line_m);
}

void check_pixels(const Checks& checks) {
    const Camera& camera = checks.shoot.camera;
    const double megapixels =
        static_cast<double>(camera.pixels.x) * static_cast<double>(camera.pixels.y) / 1e6;
    if (megapixels > most_megapixels)
        checks.refuse_value(ref, "pixels", "makes {} megapixels; allowed is up to {}", megapixels,
                            most_megapixels);
    if (!checks.map.all_sound(ref, {"pixels", "sensor_mm"})) return;
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    const double oblong =
        std::max(pitch_mm.x, pitch_mm.y) / std::min(pitch_mm.x, pitch_mm.y);
    if (oblong <= most_oblong) return;
    const double shape = camera.sensor_mm.x / camera.sensor_mm.y;
    const glm::dvec2 square = pitch_mm.x > pitch_mm.y
                                  ? glm::dvec2(camera.pixels.x, camera.pixels.x / shape)
                                  : glm::dvec2(camera.pixels.y * shape, camera.pixels.y);
    checks.refuse_value(ref, checks.map.has(ref, "pixels") ? "pixels" : "sensor_mm",
                        "makes pixels of {:.3g} x {:.3g} mm; allowed are sides up to {} times as "
                        "long as the others, square with {:.0f} x {:.0f} pixels",
                        pitch_mm.x, pitch_mm.y, most_oblong, std::max(1.0, square.x),
                        std::max(1.0, square.y));
}

void check_distortion(const Checks& checks) {
    if (!checks.map.all_sound(ref, {"lens.distortion", "sensor_mm", "focal_mm"})) return;
    const RadialDistortion distortion(checks.shoot.camera.lens.distortion);
    const double corner = corner_radius(checks.shoot.camera);
    if (distortion.none() || distortion.limit() == std::numeric_limits<double>::infinity()) return;
    const double reaches = distortion.image_radius(distortion.limit());
    if (reaches > corner) return;
    checks.refuse_value(ref, "lens.distortion",
                        "folds the picture back {:.4g} focal lengths off its middle, before the "
                        "corner at {:.4g}; allowed is a weaker pair, or a longer lens",
                        reaches, corner);
}

}  // namespace

void check_camera(const Checks& checks) {
    if (!checks.map.has(ref)) return;
    const Camera& camera = checks.shoot.camera;
    check_pixels(checks);
    check_look(checks);
    if (checks.map.all_sound(ref, {"focus_m", "focal_mm"}) &&
        camera.focus_m * 1000.0 <= camera.focal_mm)
        checks.refuse_value(ref, "focus_m", "is {}; allowed is more than the focal length, {} m",
                            camera.focus_m, camera.focal_mm / 1000.0);
    check_distortion(checks);
    check_above_ground(checks, ref, camera.position_m);
}

}  // namespace lampflight
