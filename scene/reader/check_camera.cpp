#include <algorithm>
#include <cstddef>
#include <limits>
#include <string_view>

#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

constexpr double most_megapixels = 200.0;
constexpr double most_oblong = 4.0;            // anamorphic lenses squeeze by 2
constexpr double finest_um = 0.4;              // telephones have 0.56
constexpr double most_f_number_per_um = 32.0;  // f/22 on a telephone's
constexpr double airy_um = 2.44 * 0.555;       // width to the first dark ring, over the f-number
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

/// No sensor has such pixels, and the lens's spread would have no end in them.
void check_pixels(const Checks& checks) {
    if (!checks.map.all_sound(ref, {"sensor_mm", "pixels"})) return;
    const Vec2 pitch_um = 1000.0 * pixel_pitch_mm(checks.shoot.camera);
    const double shorter_um = std::min(pitch_um.x, pitch_um.y);
    const std::string_view blamed = checks.map.has(ref, "pixels") ? "pixels" : "sensor_mm";
    if (std::max(pitch_um.x, pitch_um.y) > most_oblong * shorter_um)
        return checks.refuse_value(ref, blamed,
                                   "makes pixels of {:.4g} x {:.4g} um on the sensor; allowed is "
                                   "one side up to {} times the other",
                                   pitch_um.x, pitch_um.y, most_oblong);
    if (shorter_um < finest_um)
        return checks.refuse_value(ref, blamed,
                                   "makes pixels of {:.4g} x {:.4g} um on the sensor; allowed is "
                                   "{} um or more",
                                   pitch_um.x, pitch_um.y, finest_um);
    const double most_f_number = most_f_number_per_um * shorter_um;
    const auto check = [&](TableRef table, double f_number) {
        if (checks.map.has(table, "f_number") && checks.map.is_sound(table, "f_number") &&
            f_number > most_f_number)
            checks.refuse_value(table, "f_number",
                                "is {}, which spreads a point over {:.0f} pixels of {:.4g} um; "
                                "allowed is up to {:.4g} with these pixels",
                                f_number, airy_um * f_number / shorter_um, shorter_um,
                                most_f_number);
    };
    check(ref, checks.shoot.camera.f_number);
    for (std::size_t i = 0; i < checks.shoot.takes.size(); ++i)
        if (const auto& f_number = checks.shoot.takes[i].f_number) check({"take", i}, *f_number);
}

}  // namespace

void check_camera(const Checks& checks) {
    if (!checks.map.has(ref)) return;
    const Camera& camera = checks.shoot.camera;
    const double megapixels =
        static_cast<double>(camera.pixels.x) * static_cast<double>(camera.pixels.y) / 1e6;
    if (megapixels > most_megapixels)
        checks.refuse_value(ref, "pixels", "makes {} megapixels; allowed is up to {}", megapixels,
                            most_megapixels);
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
