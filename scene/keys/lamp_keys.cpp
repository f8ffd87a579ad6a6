#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> lamp_keys() {
    return {
        required(
            named({"name", field<&Shoot::lamps, &Lamp::name>, "What flights and takes call it."})),
        {"flux_lm", field<&Shoot::lamps, &Lamp::flux_lm>,
         "All the light it sends, without its gel.", "lm", Range{1e-6, 1e6}},
        {"beam_deg", field<&Shoot::lamps, &Lamp::beam_deg>,
         "Full width of the beam at half its peak; 360 is alike all round.", "deg",
         Range{1.0, 175.0, false, 360.0}},
        {"temperature_k", field<&Shoot::lamps, &Lamp::temperature_k>,
         "Colour of its light, without its gel.", "K", temperature},
        {"dominant_nm", field<&Shoot::lamps, &Lamp::dominant_nm>,
         "Dominant wavelength of coloured light, instead of temperature_k.", "nm",
         Range{400.0, 700.0}},
        {"purity", field<&Shoot::lamps, &Lamp::purity>,
         "Excitation purity of that colour: 1 is spectral, 0 white.", "", share},
        {"chromaticity_xy", field<&Shoot::lamps, &Lamp::chromaticity_xy>,
         "CIE 1931 x and y of its light, instead of temperature_k.", "", Range{0.0, 1.0}},
        {"gel.shift_mired", field<&Shoot::lamps, &Lamp::gel, &Gel::shift_mired>,
         "How far the gel moves the colour; orange is positive.", "mired", Range{-1000.0, 1000.0}},
        {"gel.transmission", field<&Shoot::lamps, &Lamp::gel, &Gel::transmission>,
         "Share of light that the gel passes.", "", Range{0.0001, 1.0}},
        {"face_mm", field<&Shoot::lamps, &Lamp::face_mm>,
         "Width of the face that shines, which gives the trail its width.", "mm",
         Range{0.01, 1000.0}},
        {"spill", field<&Shoot::lamps, &Lamp::spill>,
         "Share of the light sent evenly all round, outside the beam as well.", "", share},
        naming("subject",
               {"aim", field<&Shoot::lamps, &Lamp::aim>,
                "Where it points: a word, a subject's name, or a direction east, north, up.", "",
                position}),
        {"position_m", field<&Shoot::lamps, &Lamp::position_m>,
         "Where it stands, if it is not carried: east, north, up.", "m", position},
        {"offset_m", field<&Shoot::lamps, &Lamp::offset_m>,
         "Where it sits on its drone: to the right, ahead, up.", "m", Range{-50.0, 50.0}},
        {"hang_m", field<&Shoot::lamps, &Lamp::hang_m>,
         "Length of a strip that hangs plumb below, all of it shining; 0 for a lamp.", "m",
         Range{0.0, 50.0}},
        {"mount", field<&Shoot::lamps, &Lamp::mount>,
         "Held level, or fixed to the drone, with which it turns and leans; its direction is then "
         "to the right, ahead, up."},
        {"lit_s", field<&Shoot::lamps, &Lamp::lit_s>,
         "From when to when it is switched on, from the shutter's opening; always without it.", "s",
         within_exposure},
        {"pulse.per_minute", field<&Shoot::lamps, &Lamp::pulse, &Pulse::per_minute>,
         "How many flashes a beacon gives in a minute, instead of steady light.", "per min",
         flashes_per_minute},
        {"pulse.on_s", field<&Shoot::lamps, &Lamp::pulse, &Pulse::on_s>, "How long a flash lasts.",
         "s", flash},
        {"pulse.first_s", field<&Shoot::lamps, &Lamp::pulse, &Pulse::first_s>,
         "When the first flash begins, from the shutter's opening.", "s", within_exposure},
    };
}

}  // namespace lampflight
