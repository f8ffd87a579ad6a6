#include "scene/camera/sensor.h"

#include <algorithm>
#include <cmath>

#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"

namespace lampflight {

double sensor_pixel_um2(const Camera& camera) {
    const Vec2 pitch_um = 1000.0 * pixel_pitch_mm(camera) / camera.sensor_pixels_across;
    return pitch_um.x * pitch_um.y;
}

double electrons(const Camera& camera, double exposure_lxs) {
    return exposure_lxs * photons_per_lxs_um2 * sensor_pixel_um2(camera) *
           camera.sensor.quantum_efficiency;
}

double dark_electrons(const Camera& camera, double shutter_s) {
    return camera.sensor.dark_current_e_s * shutter_s;
}

double full_well_electrons(const Camera& camera) {
    return camera.sensor.full_well_e.value_or(full_well_e_per_um2 * sensor_pixel_um2(camera));
}

double clipping_lxs(const Camera& camera, double iso) {
    return std::min(saturation_lxs(iso), full_well_electrons(camera) / electrons(camera, 1.0));
}

double noise_electrons(const Camera& camera, double exposure_lxs, double shutter_s) {
    const double read_e = camera.sensor.read_noise_e;
    return std::sqrt(std::max(0.0, electrons(camera, exposure_lxs)) +
                     dark_electrons(camera, shutter_s) + read_e * read_e);
}

double signal_to_noise(const Camera& camera, double exposure_lxs, double shutter_s) {
    const double signal_e = electrons(camera, exposure_lxs);
    if (!(signal_e > 0.0)) return 0.0;
    return signal_e / noise_electrons(camera, exposure_lxs, shutter_s);
}

}  // namespace lampflight
