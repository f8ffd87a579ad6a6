#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

std::vector<Key> lens_keys() {
    return {
        {"lens.transmission", field<&Shoot::camera, &Camera::lens, &Lens::transmission>,
         "Share of light that the glass of the lens and filters pass.", "", Range{1e-6, 1.0}},
        {"lens.blades", field<&Shoot::camera, &Camera::lens, &Lens::blades>,
         "Blades of the iris, which draw the star of a small bright light; below 3 it is round.",
         "", Range{0.0, 30.0}},
        {"lens.open_f_number", field<&Shoot::camera, &Camera::lens, &Lens::open_f_number>,
         "f-number of the lens fully open, where its iris is round.", "", f_number},
        {"lens.distortion", field<&Shoot::camera, &Camera::lens, &Lens::distortion>,
         "k1 and k2 of Brown's radial model over distance in focal lengths; k1 < 0 is a barrel.",
         "", Range{-0.5, 0.5}},
        {"lens.corner_stops", field<&Shoot::camera, &Camera::lens, &Lens::corner_stops>,
         "Stops lost in the corner of the frame beyond the natural falloff; little nearer in.",
         "stops", Range{0.0, 6.0}},
        {"lens.glare_share", field<&Shoot::camera, &Camera::lens, &Lens::glare_share>,
         "Share of all light that the glass scatters over the frame.", "", Range{0.0, 0.5}},
        {"lens.glare_falloff", field<&Shoot::camera, &Camera::lens, &Lens::glare_falloff>,
         "Exponent by which that light falls off with distance.", "", Range{1.2, 4.0}},
    };
}

std::vector<Key> sensor_keys() {
    return {
        {"sensor.quantum_efficiency",
         field<&Shoot::camera, &Camera::sensor, &Sensor::quantum_efficiency>,
         "Electrons for a photon of visible light, filters included.", "", Range{0.001, 1.0}},
        {"sensor.full_well_e", field<&Shoot::camera, &Camera::sensor, &Sensor::full_well_e>,
         "Electrons that a pixel holds; without it, 1700 for each square micrometre.", "e",
         Range{100.0, 1e7}},
        {"sensor.read_noise_e", field<&Shoot::camera, &Camera::sensor, &Sensor::read_noise_e>,
         "Noise of reading a pixel, root mean square.", "e", Range{0.0, 1000.0}},
        {"sensor.dark_current_e_s",
         field<&Shoot::camera, &Camera::sensor, &Sensor::dark_current_e_s>,
         "Electrons that a pixel gathers in the dark.", "e/s", Range{0.0, 1000.0}},
    };
}

}  // namespace

std::vector<Key> camera_keys() {
    std::vector<Key> keys{
        {"sensor_mm", field<&Shoot::camera, &Camera::sensor_mm>, "Width and height of the sensor.",
         "mm", Range{1.0, 300.0}},
        {"pixels", field<&Shoot::camera, &Camera::pixels>,
         "Width and height of the picture, together up to 200 megapixels.", "px",
         Range{1.0, 20000.0}},
        {"position_m", field<&Shoot::camera, &Camera::position_m>,
         "Where the lens stands: east, north, up.", "m", position},
        {"look_at_m", field<&Shoot::camera, &Camera::look_at_m>,
         "The point in the middle of the frame, instead of bearing_deg and tilt_deg.", "m",
         position},
        {"bearing_deg", field<&Shoot::camera, &Camera::bearing_deg>,
         "Where the camera looks, clockwise from north.", "deg", bearing},
        {"tilt_deg", field<&Shoot::camera, &Camera::tilt_deg>,
         "How far above level the camera looks.", "deg", Range{-90.0, 90.0}},
        {"roll_deg", field<&Shoot::camera, &Camera::roll_deg>,
         "Camera turned clockwise, seen from behind it.", "deg", Range{-180.0, 180.0}},
        {"focal_mm", field<&Shoot::camera, &Camera::focal_mm>, "Focal length of the lens.", "mm",
         Range{1.0, 2000.0}},
        {"f_number", field<&Shoot::camera, &Camera::f_number>,
         "Aperture: focal length over the width of the opening.", "", f_number},
        {"iso", field<&Shoot::camera, &Camera::iso>, "Speed of the sensor.", "", iso},
        {"shutter_s", field<&Shoot::camera, &Camera::shutter_s>, "How long the shutter stays open.",
         "s", shutter},
        {"focus_m", field<&Shoot::camera, &Camera::focus_m>,
         "Distance in focus along the optical axis.", "m", Range{0.01, 1e6}},
        {"dark_frame", field<&Shoot::camera, &Camera::dark_frame>,
         "The camera takes a dark frame after each exposure, as long again, against hot pixels."},
        {"white_balance_k", field<&Shoot::camera, &Camera::white_balance_k>,
         "Temperature of the light that comes out neutral.", "K", temperature},
        {"white_balance_duv", field<&Shoot::camera, &Camera::white_balance_duv>,
         "How far that light is off the Planckian locus in CIE 1960 uv; plus is greenish.", "",
         Range{-0.05, 0.05}},
    };
    for (const auto& inner : {lens_keys(), sensor_keys()})
        keys.insert(keys.end(), inner.begin(), inner.end());
    return keys;
}

}  // namespace lampflight
