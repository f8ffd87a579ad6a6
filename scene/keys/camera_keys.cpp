#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

// How to reach a member from the shoot.
template <auto member>
Field of_camera(Shoot& shoot) {
    return &(shoot.camera.*member);
}
template <auto member>
Field of_lens(Shoot& shoot) {
    return &(shoot.camera.lens.*member);
}
template <auto member>
Field of_sensor(Shoot& shoot) {
    return &(shoot.camera.sensor.*member);
}

}  // namespace

std::vector<Key> camera_keys() {
    return {
        {"camera", "sensor_mm", of_camera<&Camera::sensor_mm>, "Width and height of the sensor.",
         "mm", Range{1.0, 300.0}},
        {"camera", "pixels", of_camera<&Camera::pixels>,
         "Width and height of the picture, together up to 200 megapixels.", "px",
         Range{1.0, 20000.0}},
        {"camera", "position_m", of_camera<&Camera::position_m>,
         "Where the lens stands: east, north, up.", "m", position},
        {"camera", "look_at_m", of_camera<&Camera::look_at_m>,
         "The point in the middle of the frame, instead of bearing_deg and tilt_deg.", "m",
         position},
        {"camera", "bearing_deg", of_camera<&Camera::bearing_deg>,
         "Where the camera looks, clockwise from north.", "deg", bearing},
        {"camera", "tilt_deg", of_camera<&Camera::tilt_deg>,
         "How far above level the camera looks.", "deg", Range{-90.0, 90.0}},
        {"camera", "roll_deg", of_camera<&Camera::roll_deg>,
         "Camera turned clockwise, seen from behind it.", "deg", Range{-180.0, 180.0}},
        {"camera", "focal_mm", of_camera<&Camera::focal_mm>, "Focal length of the lens.", "mm",
         Range{1.0, 2000.0}},
        {"camera", "f_number", of_camera<&Camera::f_number>, "Aperture.", "", f_number},
        {"camera", "iso", of_camera<&Camera::iso>, "Speed of the sensor.", "", iso},
        {"camera", "shutter_s", of_camera<&Camera::shutter_s>, "How long the shutter stays open.",
         "s", shutter},
        {"camera", "focus_m", of_camera<&Camera::focus_m>,
         "Distance in focus along the optical axis.", "m", Range{0.01, 1e6}},
        {"camera", "white_balance_k", of_camera<&Camera::white_balance_k>,
         "Temperature of the light that comes out neutral.", "K", temperature},
        {"camera", "white_balance_duv", of_camera<&Camera::white_balance_duv>,
         "How far that light is off the Planckian locus in CIE 1960 uv; plus is greenish.", "",
         Range{-0.05, 0.05}},
        {"camera", "lens.transmission", of_lens<&Lens::transmission>,
         "Share of light that the glass of the lens passes.", "", above(0.0, 1.0)},
        {"camera", "lens.blades", of_lens<&Lens::blades>,
         "Blades of the iris, which draw the star of a small bright light; below 3 it is round.",
         "", Range{0.0, 30.0}},
        {"camera", "lens.open_f_number", of_lens<&Lens::open_f_number>,
         "f-number of the lens fully open, where its iris is round.", "", f_number},
        {"camera", "lens.distortion", of_lens<&Lens::distortion>,
         "k1 and k2 of Brown's radial model over distance in focal lengths; k1 < 0 is a barrel.",
         "", Range{-0.5, 0.5}},
        {"camera", "lens.corner_stops", of_lens<&Lens::corner_stops>,
         "Stops lost in the corner of the frame beyond the natural falloff; little nearer in.",
         "stops", Range{0.0, 6.0}},
        {"camera", "lens.glare_share", of_lens<&Lens::glare_share>,
         "Share of all light that the glass scatters over the frame.", "", Range{0.0, 0.5}},
        {"camera", "lens.glare_falloff", of_lens<&Lens::glare_falloff>,
         "Exponent by which that light falls off with distance.", "", Range{1.2, 4.0}},
        {"camera", "sensor.quantum_efficiency", of_sensor<&Sensor::quantum_efficiency>,
         "Electrons for a photon of visible light, filters included.", "", above(0.0, 1.0)},
        {"camera", "sensor.full_well_e", of_sensor<&Sensor::full_well_e>,
         "Electrons that a pixel holds; without it, 1700 for each square micrometre.", "e",
         Range{100.0, 1e7}},
        {"camera", "sensor.read_noise_e", of_sensor<&Sensor::read_noise_e>,
         "Noise of reading a pixel, root mean square.", "e", Range{0.0, 1000.0}},
        {"camera", "sensor.dark_current_e_s", of_sensor<&Sensor::dark_current_e_s>,
         "Electrons that a pixel gathers in the dark.", "e/s", Range{0.0, 1000.0}},
    };
}

}  // namespace lampflight
